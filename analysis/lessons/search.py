"""The deals that a lesson may use: a search over blocks, and the look-alikes among them.

A look-alike (``--decoys``) is a deal where the auction is that of a double and the hand nearly is,
but something else is called for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import partial

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import GAME_LEVEL, SEQUENCES
from analysis.bidding.answer import jump_needs
from analysis.bidding.auction import Auctions
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.double import (
    DOUBLE,
    ENOUGH_POINTS,
    PROMISED_LENGTH,
    REASON_GIVEN,
    one_short,
)
from analysis.bidding.response import CALL
from analysis.bidding.spade_raise import SPADE_RAISE, SpadeRaiseSituation
from analysis.bidding.stages import Doubles, Responses
from analysis.cards.bids import DIAMONDS, HEARTS, NO_BID, Bid, bid_code
from analysis.cards.dealing import BLOCK_DEALS, deal_block
from analysis.cards.hands import BoolArray
from analysis.counting.blocks import Blocks
from analysis.counting.sampling import over_blocks
from analysis.lessons.case import (
    FIVE_SPADES_CODE,
    LESSON_MESSAGE,
    OPENER,
    REOPENING,
    RESPONDER,
    Case,
)

_ONE_HEART = Bid(1, HEARTS).code
_NONE = -1


def _called(r: Responses, call: str) -> BoolArray:
    return r.call == CALL.code(call)


def _could_double(r: Responses) -> BoolArray:
    return DOUBLE.holds(r.situation)


def _five_spades(r: Responses) -> BoolArray:
    return _called(r, "one_level_major") & (r.situation.overcall_bid == _ONE_HEART)


def _one_major(r: Responses) -> BoolArray:
    return _called(r, "one_level_major") & (np.asarray(r.situation.overcall) == DIAMONDS)


def _one_card_short(r: Responses) -> BoolArray:
    other = np.any([_called(r, call) for call in ("new_minor", "notrump", "raise_minor")], axis=0)
    return other & one_short(r.situation, PROMISED_LENGTH)


def _answered(d: Doubles, *names: str) -> BoolArray:
    return np.isin(d.answer, [ANSWER_GIVEN.code(name) for name in names])


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
    LookAlike("five_spades", "five spades over 1♥, where the double denies five", _five_spades),
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


def look_alike_of(auctions: Auctions, asked: str) -> LookAlike | None:
    """The kind of look-alike that a single deal with an overcall is to whoever is asked, if any."""
    marks = _look_alikes(auctions)[0]
    kinds = [kind for bit, kind in enumerate(LOOK_ALIKES) if marks >> bit & 1]
    return next((kind for kind in kinds if kind.asks == asked), None)


@dataclass(frozen=True)
class Found:
    """Deals that a lesson may use, in the order they were dealt; every array has shape (n,).

    ``deal`` counts from the first deal of block 0; ``seat`` is the opener's, ``sequence`` a
    code of SEQUENCE; ``message`` (of LESSON_MESSAGE), ``reason`` and ``answer`` are -1 where there
    is none;
    ``points`` are the responder's total points; ``look_alikes`` has bit *k* set for kind *k* of
    LOOK_ALIKES; ``reopening`` tells the opener in the pass-out seat.
    """

    deal: NDArray[np.int64]
    seat: NDArray[np.int8]
    sequence: NDArray[np.int8]
    message: NDArray[np.int8]
    reason: NDArray[np.int8]
    answer: NDArray[np.int8]
    points: NDArray[np.int16]
    look_alikes: NDArray[np.int16]
    reopening: BoolArray

    def askable(self, asked: str) -> BoolArray:
        """Deals that somebody can be asked about, whatever the case."""
        if asked == REOPENING:
            return self.reopening
        return (self.message != _NONE) & ((self.message != FIVE_SPADES_CODE) | (asked == OPENER))

    def of_case(self, case: Case, agreement: Agreement, asked: str) -> BoolArray:
        """Deals of a case; of the doubles alone where a case that is no reopening has no message."""
        here = self.in_auction(case, agreement) & self.askable(asked)
        if asked == REOPENING:
            return here
        if case.message:
            here &= self.message == LESSON_MESSAGE.code(case.message)
        else:
            here &= self.message != FIVE_SPADES_CODE
        if case.reason:
            here &= self.reason == REASON_GIVEN.code(case.reason)
        if case.answer:
            here &= self.answer == ANSWER_GIVEN.code(case.answer)
        return here

    def in_auction(self, case: Case, agreement: Agreement) -> BoolArray:
        """Deals with an opening and an overcall of the case, whatever responder called."""
        return case.sequences(agreement)[self.sequence]

    def of_kind(self, kind: LookAlike) -> BoolArray:
        """Deals of a kind of look-alike."""
        return (self.look_alikes >> LOOK_ALIKES.index(kind) & 1).astype(np.bool_)

    def cases(self, asked: str) -> list[Case]:
        """The cases that came up, by message, level and reason, the commonest first.

        For the opener in the pass-out seat, by level alone.
        """
        levels = np.array([bid.level for _, bid in SEQUENCES])[self.sequence]
        rows = np.stack([self.message, levels, self.reason])[:, self.askable(asked)]
        found, deals = np.unique(rows, axis=1, return_counts=True)
        return [
            Case(
                "" if message == _NONE else LESSON_MESSAGE.names[message],
                str(level),
                "" if reason == _NONE else REASON_GIVEN.names[reason],
            )
            for message, level, reason in found[:, np.argsort(-deals, kind="stable")].T
        ]


def search(seed: int, deals: int, agreement: Agreement, progress: bool = True) -> Found:
    """Everything that a lesson may use among the first ``deals`` deals of a seed."""
    # One process: a lesson's search is a matter of seconds, and its parts come in order.
    work = partial(_found_in, seed, agreement=agreement)
    parts = list(over_blocks(work, deals, workers=1, progress=progress))
    return Found(
        *(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(Found))
    )


def _found_in(seed: int, blocks: Blocks, agreement: Agreement) -> Found:
    cards = np.concatenate([deal_block(seed, block)[:, :deals] for block, deals in blocks], axis=1)
    auctions = Auctions(cards, agreement)
    r, d = auctions.responses, auctions.doubles
    message, reason, answer = (np.full(len(r.rows), _NONE, dtype=np.int8) for _ in range(3))
    message[d.rows], reason[d.rows], answer[d.rows] = d.responder.message, d.reason, d.answer
    _add_spade_raises(r, message, answer)
    look_alikes = _look_alikes(auctions)
    passes, reopening = auctions.passes, np.zeros(len(r.rows), dtype=np.bool_)
    reopening[passes.rows[passes.to_opener]] = True
    kept = np.flatnonzero((message != _NONE) | (look_alikes > 0) | reopening)
    return Found(
        blocks[0][0] * BLOCK_DEALS + r.rows[kept],
        r.seat[kept],
        r.sequence[kept],
        message[kept],
        reason[kept],
        answer[kept],
        r.situation.total_points[kept],
        look_alikes[kept],
        reopening[kept],
    )


def _look_alikes(auctions: Auctions) -> NDArray[np.int16]:
    """The kinds of look-alike of each deal with an overcall, as bits."""
    r, d = auctions.responses, auctions.doubles
    marks = np.zeros(len(r.rows), dtype=np.int16)
    for bit, kind in enumerate(LOOK_ALIKES):
        if kind.responses:
            marks |= kind.responses(r).astype(np.int16) << bit
        if kind.doubles:
            marks[d.rows] |= kind.doubles(d).astype(np.int16) << bit
    return marks


def _add_spade_raises(r: Responses, message: NDArray[np.int8], answer: NDArray[np.int8]) -> None:
    """Enter the deals where 1♠ over 1♥ showed five and opener raises."""
    rows = np.flatnonzero(_five_spades(r))
    situation = SpadeRaiseSituation(r.opener.rows(rows), r.situation.agreement)
    raised = np.array(SPADE_RAISE.names)[SPADE_RAISE.decide(situation).name]
    for name in set(SPADE_RAISE.names) & set(ANSWER_GIVEN.names):
        here = rows[raised == name]
        message[here], answer[here] = FIVE_SPADES_CODE, ANSWER_GIVEN.code(name)
