"""What a class gets wrong: cases of the double, and hands that look like a double and are none.

A pitfall is a choice of auctions and reasons, so the same definition picks its cells of the counts
and its deals among those that are dealt again. Boards of look-alikes are drawn by ``--decoys``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import CLUBS, DIAMONDS, HEARTS, Bid, bid_code
from double_study.cards.hands import BoolArray
from double_study.columns import COLUMNS
from double_study.counting.counts import CALL_COUNTS, DOUBLE_COUNTS, JUMP_TOO_WEAK
from double_study.counting.run import Counted
from double_study.lessons.case import OPENER, RESPONDER
from double_study.rules.answer import JUMP_NEEDS, THREE_CARD_SUIT
from double_study.rules.batch import DEALS, Batch, column
from double_study.rules.response import (
    DOUBLE_RULE,
    ENOUGH_POINTS,
    PROMISED_LENGTH,
    REASON,
)
from double_study.rules.terms import (
    BOTH_MAJORS,
    BOTH_MINORS,
    FOUR_SPADES,
    GAME_LEVEL,
    OTHER_MAJOR,
    SEQUENCE,
    SEQUENCES,
    Comparison,
    Overcalled,
    cheapest_level,
    every_sequence,
)


def _called(b: Batch, call: str) -> BoolArray:
    return np.asarray(b["call"] == COLUMNS["call"].code(call))


def _could_double(b: Batch) -> BoolArray:
    return DOUBLE_RULE.holds(b.decided("response").situation)


def _five_spades(b: Batch) -> BoolArray:
    return _called(b, "one_level_major") & (b["overcall_bid"] == Bid(1, HEARTS).code)


def _one_major(b: Batch) -> BoolArray:
    return _called(b, "one_level_major") & (b["overcalled_suit"] == DIAMONDS)


def _one_short(b: Batch, condition: Comparison) -> BoolArray:
    """Hands with all that the double asks for, except one card or point."""
    situation = b.decided("response").situation
    return DOUBLE_RULE.almost(situation, condition, by=1) & ~_could_double(b)


def _one_card_short(b: Batch) -> BoolArray:
    other = np.any([_called(b, call) for call in ("new_minor", "notrump", "raise_minor")], axis=0)
    return other & _one_short(b, PROMISED_LENGTH)


def _answered(b: Batch, *names: str) -> BoolArray:
    return np.isin(b["answer"], [COLUMNS["answer"].code(name) for name in names])


def _below_next_raise(b: Batch) -> BoolArray:
    """Raises that one point more would have made higher: below game, where there is room."""
    opener = b.decided("answer").situation
    points, suit = opener.hands.support_points, opener.longest_promised
    room = b["answer_bid"] < bid_code(GAME_LEVEL.take(suit), 0)
    jump = _answered(b, "raise_minimum") & (points == JUMP_NEEDS(opener) - 1)
    game = _answered(b, "raise_jump") & (points == b.agreement.answer.raise_game - 1)
    return (jump | (game & (suit >= HEARTS))) & room


def _three_only(b: Batch) -> BoolArray:
    three = THREE_CARD_SUIT.suit(b.decided("answer").situation) >= 0
    return three & _answered(b, "own_suit", "second_suit", "notrump", "cue_bid")


@dataclass(frozen=True)
class LookAlike:
    """A kind of look-alike: its name, its wording, which deals of which stage are of it.

    The responder is asked where the stage is that of the overcall, after a double the opener.
    """

    name: str
    wording: str
    of: Callable[[Batch], BoolArray]
    stage: str = "overcalled"

    @property
    def asks(self) -> str:
        """RESPONDER or OPENER."""
        return RESPONDER if self.stage == "overcalled" else OPENER


LOOK_ALIKES = (
    LookAlike("five_spades", "five spades over 1♥, where the double denies five", _five_spades),
    LookAlike(
        "penalty_pass",
        "shape and values for a double, but a hand that would rather defend",
        lambda b: _called(b, "penalty_pass") & _could_double(b),
    ),
    LookAlike(
        "just_under",
        "the right shape, one point under the values",
        lambda b: _called(b, "pass") & _one_short(b, ENOUGH_POINTS),
    ),
    LookAlike(
        "bid_the_major",
        "the length and the points to bid the major",
        lambda b: _called(b, "new_major") & _could_double(b),
    ),
    LookAlike(
        "raise_first",
        "four in the other major, but support for the major opened",
        lambda b: _called(b, "raise_major") & _could_double(b),
    ),
    LookAlike("one_major", "a major to bid at level 1 over 1♦", _one_major),
    LookAlike("one_card_short", "the values, one card short of the promise", _one_card_short),
    LookAlike(
        "below_next_raise",
        "four in support, one point under a higher raise",
        _below_next_raise,
        "quiet",
    ),
    LookAlike(
        "three_only",
        "three in a promised major, where another call comes first",
        _three_only,
        "quiet",
    ),
    LookAlike(
        "opener_defends",
        "a hand that leaves the double in",
        lambda b: _answered(b, "penalty_pass"),
        "doubled",
    ),
)


@column(DEALS, "look_alikes")
def _(b: Batch) -> NDArray[np.int16]:
    """The kinds of look-alike of each deal, as bits."""
    marks = np.zeros(len(b), dtype=np.int16)
    for bit, kind in enumerate(LOOK_ALIKES):
        part = b.at(kind.stage)
        marks[part["deal"]] |= kind.of(part).astype(np.int16) << bit
    return marks


def look_alike_of(deal: Batch, asked: str) -> LookAlike | None:
    """The kind of look-alike that a single deal is, if any."""
    marks = deal["look_alikes"][0]
    kinds = [kind for bit, kind in enumerate(LOOK_ALIKES) if marks >> bit & 1]
    return next((kind for kind in kinds if kind.asks == asked), None)


SequenceMask = NDArray[np.bool_]


def _calls(*names: str) -> Callable[[Counted, SequenceMask], int]:
    """Deals on which the responder chose one of some calls after some sequences."""

    def deals(run: Counted, after: SequenceMask) -> int:
        table = run.tally[CALL_COUNTS.name].sum(axis=0)
        return int(table[after][:, [COLUMNS["call"].code(name) for name in names]].sum())

    return deals


def _doubles(run: Counted, after: SequenceMask, reasons: tuple[str, ...]) -> int:
    """Doubles for some reasons after some sequences."""
    table = run.tally.along(DOUBLE_COUNTS, SEQUENCE, "reason")
    return int(table[after][:, [COLUMNS["reason"].code(reason) for reason in reasons]].sum())


def _too_weak(run: Counted, after: SequenceMask) -> int:
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
    alike: Callable[[Counted, SequenceMask], int]

    def after(self, agreement: Agreement) -> SequenceMask:
        """Which of SEQUENCES the case is about."""
        return np.broadcast_to(self.auctions(every_sequence(agreement)), (len(SEQUENCES),))

    def deals(self, run: Counted) -> int:
        """Deals of the case."""
        return _doubles(run, self.after(run.agreement), self.reasons)

    def deals_alike(self, run: Counted) -> int:
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
        "With four spades the hand doubles; 1♠ shows five or more. A partnership that mixes the two "
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
