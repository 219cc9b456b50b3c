"""Look-alikes: deals where the auction is that of a double and the hand nearly is, but it is none.

Boards of them are asked for by ``--decoys``. A new kind is one more entry of LOOK_ALIKES.

Cases of the double that a class gets wrong: what they are, and what looks like them.

Each case is a choice of auctions and reasons, so the same definition picks its cells of the counts
and its deals among those that are dealt again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import CLUBS, DIAMONDS, HEARTS, NO_BID, Bid, bid_code
from double_study.cards.hands import BoolArray
from double_study.columns import COLUMNS
from double_study.counting.counts import CALL_COUNTS, DOUBLE_COUNTS, JUMP_TOO_WEAK
from double_study.counting.run import Run
from double_study.lessons.case import OPENER, RESPONDER
from double_study.rules.answer import jump_needs
from double_study.rules.auction import Auctions, Doubles, Responses
from double_study.rules.response import (
    DOUBLE,
    ENOUGH_POINTS,
    PROMISED_LENGTH,
    REASON,
    one_short,
)
from double_study.rules.terms import (
    BOTH_MAJORS,
    BOTH_MINORS,
    FOUR_SPADES,
    GAME_LEVEL,
    OTHER_MAJOR,
    SEQUENCE,
    SEQUENCES,
    Overcalled,
    cheapest_level,
    every_sequence,
)

_ONE_HEART = Bid(1, HEARTS).code


def _called(r: Responses, call: str) -> BoolArray:
    return r.call == COLUMNS["call"].code(call)


def _could_double(r: Responses) -> BoolArray:
    return DOUBLE.holds(r.situation)


def five_spades(r: Responses) -> BoolArray:
    """Deals where the responder bids 1♠ over 1♥."""
    return _called(r, "one_level_major") & (r.situation.overcall_bid == _ONE_HEART)


def _one_major(r: Responses) -> BoolArray:
    return _called(r, "one_level_major") & (np.asarray(r.situation.overcall) == DIAMONDS)


def _one_card_short(r: Responses) -> BoolArray:
    other = np.any([_called(r, call) for call in ("new_minor", "notrump", "raise_minor")], axis=0)
    return other & one_short(r.situation, PROMISED_LENGTH)


def _answered(d: Doubles, *names: str) -> BoolArray:
    return np.isin(d.answer, [COLUMNS["answer"].code(name) for name in names])


def _undisturbed(d: Doubles) -> BoolArray:
    return d.advancer.bid == NO_BID


def _below_next_raise(d: Doubles) -> BoolArray:
    """Raises that one point more would have made higher: below game, where there is room."""
    needs, points = d.opener.agreement.answer, d.opener.hands.support_points
    room = d.answer_bid < bid_code(GAME_LEVEL.take(d.opener.longest_promised), 0)
    jump = _answered(d, "raise_minimum") & (points == jump_needs(d.opener) - 1)
    game = _answered(d, "raise_jump") & (points == needs.raise_game - 1)
    return (jump | (game & (d.opener.longest_promised >= HEARTS))) & room & _undisturbed(d)


def _three_only(d: Doubles) -> BoolArray:
    three = (d.opener.three_card_suit >= 0) & _undisturbed(d)
    return three & _answered(d, "own_suit", "second_suit", "notrump", "cue_bid")


@dataclass(frozen=True)
class LookAlike:
    """A kind of look-alike: its name, its wording, whom it asks, which deals are of it.

    ``responses`` looks at deals where the responder is asked, ``doubles`` at deals doubled, where
    opener is.
    """

    name: str
    wording: str
    responses: Callable[[Responses], BoolArray] | None = None
    doubles: Callable[[Doubles], BoolArray] | None = None

    @property
    def asks(self) -> str:
        """RESPONDER or OPENER."""
        return OPENER if self.responses is None else RESPONDER


LOOK_ALIKES = (
    LookAlike("five_spades", "five spades over 1♥, where the double denies five", five_spades),
    LookAlike(
        "penalty_pass",
        "shape and values for a double, but a hand that would rather defend",
        lambda r: _called(r, "penalty_pass") & _could_double(r),
    ),
    LookAlike(
        "just_under",
        "the right shape, one point under the values",
        lambda r: _called(r, "pass") & one_short(r.situation, ENOUGH_POINTS),
    ),
    LookAlike(
        "bid_the_major",
        "the length and the points to bid the major",
        lambda r: _called(r, "new_major") & _could_double(r),
    ),
    LookAlike(
        "raise_first",
        "four in the other major, but support for the major opened",
        lambda r: _called(r, "raise_major") & _could_double(r),
    ),
    LookAlike("one_major", "a major to bid at level 1 over 1♦", _one_major),
    LookAlike("one_card_short", "the values, one card short of the promise", _one_card_short),
    LookAlike(
        "below_next_raise",
        "four in support, one point under a higher raise",
        doubles=_below_next_raise,
    ),
    LookAlike(
        "three_only",
        "three in a promised major, where another call comes first",
        doubles=_three_only,
    ),
    LookAlike(
        "opener_defends",
        "a hand that leaves the double in",
        doubles=lambda d: _answered(d, "penalty_pass"),
    ),
)


def kinds_marked(auctions: Auctions) -> NDArray[np.int16]:
    """The kinds of look-alike of each deal with an overcall, as bits; int16 of shape (overcalls,)."""
    r, d = auctions.responses, auctions.doubles
    marks = np.zeros(len(r.rows), dtype=np.int16)
    for bit, kind in enumerate(LOOK_ALIKES):
        if kind.responses:
            marks |= kind.responses(r).astype(np.int16) << bit
        if kind.doubles:
            marks[d.rows] |= kind.doubles(d).astype(np.int16) << bit
    return marks


def look_alike_of(auctions: Auctions, asked: str) -> LookAlike | None:
    """The kind of look-alike that a single deal with an overcall is to whoever is asked, if any."""
    marks = kinds_marked(auctions)[0]
    kinds = [kind for bit, kind in enumerate(LOOK_ALIKES) if marks >> bit & 1]
    return next((kind for kind in kinds if kind.asks == asked), None)


SequenceMask = NDArray[np.bool_]


def _calls(*names: str) -> Callable[[Run, SequenceMask], int]:
    """Deals on which the responder chose one of some calls after some sequences."""

    def deals(run: Run, after: SequenceMask) -> int:
        table = run.tally[CALL_COUNTS.name].sum(axis=0)
        return int(table[after][:, [COLUMNS["call"].code(name) for name in names]].sum())

    return deals


def _doubles(run: Run, after: SequenceMask, reasons: tuple[str, ...]) -> int:
    """Doubles for some reasons after some sequences."""
    table = run.tally.along(DOUBLE_COUNTS, SEQUENCE, "reason")
    return int(table[after][:, [COLUMNS["reason"].code(reason) for reason in reasons]].sum())


def _too_weak(run: Run, after: SequenceMask) -> int:
    return int(run.tally[JUMP_TOO_WEAK.name][after].sum())


def _says(message: int) -> Callable[[Overcalled], NDArray[np.bool_]]:
    return lambda s: s.message == message


def _after(opening: int, overcall: Bid) -> Callable[[Overcalled], NDArray[np.bool_]]:
    return lambda s: (np.asarray(s.opening) == opening) & (s.overcall_bid == overcall.code)


@dataclass(frozen=True)
class Pitfall:
    """A case that is easily got wrong, and the case that looks like it.

    ``auctions`` tells the sequences of opening and overcall, ``reasons`` the reasons of the double,
    ``alike`` counts the hands that look like it after those sequences; ``title``, ``lesson`` and
    ``alike_title`` are for readers and hold under every agreement.
    """

    name: str
    title: str
    lesson: str
    alike_title: str
    auctions: Callable[[Overcalled], NDArray[np.bool_]]
    reasons: tuple[str, ...]
    alike: Callable[[Run, SequenceMask], int]

    def after(self, agreement: Agreement) -> SequenceMask:
        """Which of SEQUENCES the case is about."""
        return np.broadcast_to(self.auctions(every_sequence(agreement)), (len(SEQUENCES),))

    def deals(self, run: Run) -> int:
        """Deals of the case."""
        return _doubles(run, self.after(run.agreement), self.reasons)

    def deals_alike(self, run: Run) -> int:
        """Deals of the case that looks like it."""
        return self.alike(run, self.after(run.agreement))


PITFALLS: tuple[Pitfall, ...] = (
    Pitfall(
        "five_hearts_too_light",
        "Five hearts or more, and too light to bid them",
        "Bidding the suit shows more strength or length than this; passing loses the suit. The "
        "double shows hearts, and the hand may bid them later.",
        "hearts bid at once",
        lambda s: _says(OTHER_MAJOR)(s) & s.promised[HEARTS],
        ("five_or_more",),
        _calls("new_major"),
    ),
    Pitfall(
        "four_and_strong",
        "Four cards in the one major, and a strong hand",
        "The double has no upper limit. A strong hand with only four cards in the major has no "
        "better start: it doubles first and shows the strength afterwards.",
        "five cards or more and the values, which bid the major",
        _says(OTHER_MAJOR),
        ("four_and_strong",),
        _calls("new_major"),
    ),
    Pitfall(
        "exactly_four_spades",
        "Exactly four spades over 1♥",
        "With four spades the hand doubles; 1♠ is kept for five or more. A partnership that mixes the two "
        "cannot raise on three cards.",
        "five spades or more, which bid 1♠",
        _says(FOUR_SPADES),
        (COLUMNS["message"].names[FOUR_SPADES],),
        _calls("one_level_major"),
    ),
    Pitfall(
        "both_majors_over_diamonds",
        "Both majors after 1♣ (1♦)",
        "With four cards in each major the double shows both at once; a hand that can bid a major at "
        "level 1 bids it.",
        "one major bid at level 1",
        lambda s: _says(BOTH_MAJORS)(s) & _after(CLUBS, Bid(1, DIAMONDS))(s),
        ("both_suits",),
        _calls("one_level_major"),
    ),
    Pitfall(
        "both_minors",
        "Both minors when both majors were bid",
        "No major is left to be shown, so the double shows the two unbid suits, whatever they are.",
        "one minor bid as a new suit",
        _says(BOTH_MINORS),
        ("both_suits",),
        _calls("new_minor"),
    ),
    Pitfall(
        "jump_overcall",
        "A jump overcall",
        "The values asked are those of the overcall as it was made, not of the simple one. Where a "
        "higher level asks for more, what would do over the simple overcall is too little over the "
        "jump.",
        "the promise held, with enough over the simple overcall, but passed over the jump",
        lambda s: np.asarray(s.level) > cheapest_level(s.overcall, np.asarray(s.opening)),
        REASON.names,
        _too_weak,
    ),
)
