"""Two agreements compared on the same deals: what either does, and what becomes of each deal.

Since every deal is bid under both, most of the chance in the deals cancels in the difference: it is
known far better than the frequencies that it is the difference of.

A fit that nobody mentions
--------------------------
The responder's side holds eight or more cards of a major that neither side has bid, and the
responder's call neither bids that major nor, being a double, promises it. What opener may still
bid of its own accord is not looked at. Over an overcall above either agreement's ceiling a call is
not known, so such deals are left out on both sides.

The price of the double
-----------------------
Since the double shows suits, a hand that would double for penalties passes. The penalty is had
after all where the advancer passes and the opener reopens with a double, which the responder
passes; otherwise it is lost, and how often that is, is what the double costs. Where the double is not
played nothing is given up for it: such a hand need not wait.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.another_agreement import rebid
from analysis.bidding.auction import Auctions
from analysis.bidding.final_contract import FIT_TRUMPS
from analysis.bidding.reopening import DOUBLE_AGAIN
from analysis.bidding.response import ABOVE_CEILING, CALL, DOUBLE_CALL, PENALTY_PASS_CALL
from analysis.bidding.stages import Responses
from analysis.cards.bids import MAJORS, NO_BID
from analysis.cards.hands import BoolArray
from analysis.counting.blocks import Blocks
from analysis.counting.sampling import cards_of, over_blocks
from analysis.counting.tally import Counts
from analysis.errors import InputError
from analysis.vocabulary.dimension import Dimension

_NO_RESPONDER = {
    "passed_out": "passed out",
    "other_opening": "an opening not of one of a suit",
    "no_suit_overcall": "no overcall in a suit",
}
_PENALTY_PASS = CALL.names[PENALTY_PASS_CALL]
OUTCOME = Dimension(
    "outcome",
    "outcome",
    "What a deal comes to: as far as it goes without a responder, else the responder's call.",
    _NO_RESPONDER
    | CALL.wordings
    | {
        _PENALTY_PASS: "penalty pass, and the penalty had",
        "penalty_lost": "penalty pass, and the penalty lost",
    },
)
NO_RESPONDER = OUTCOME.names[: len(_NO_RESPONDER)]
"""What a deal may come to without a responder to an overcall."""

PASSED_OUT, OTHER_OPENING, NO_SUIT_OVERCALL = range(len(NO_RESPONDER))
DOUBLED = OUTCOME.code(CALL.names[DOUBLE_CALL])
NO_CALL = OUTCOME.code(CALL.names[ABOVE_CEILING])
PENALTY_HAD = OUTCOME.code(_PENALTY_PASS)
PENALTY_LOST = OUTCOME.code("penalty_lost")

SHAPE = (OUTCOME.size, 2, OUTCOME.size, 2, 2)


@dataclass(frozen=True)
class Paired:
    """A yes-or-no matter on the same deals: the four counts of its two-by-two table."""

    both: int
    first_only: int
    second_only: int
    neither: int

    @property
    def deals(self) -> int:
        """All deals of the table."""
        return self.both + self.first_only + self.second_only + self.neither

    @property
    def first(self) -> int:
        """Deals on which it holds under the first agreement."""
        return self.both + self.first_only

    @property
    def second(self) -> int:
        """Deals on which it holds under the second."""
        return self.both + self.second_only

    @property
    def cells(self) -> tuple[int, int, int, int]:
        """The counts as :func:`analysis.statistics.intervals.paired_difference` takes them."""
        return self.both, self.first_only, self.second_only, self.neither


@dataclass(frozen=True, eq=False)
class Comparison:
    """Deals by what they came to under two agreements.

    ``counts`` is int64 of shape :data:`SHAPE`: outcome (a code of :data:`OUTCOME`) and whether
    a fit went without mention under the first, the same under the second, and whether the hand that
    responded was the same under both.
    """

    first: Agreement
    second: Agreement
    counts: Counts

    @property
    def deals(self) -> int:
        """How many deals were bid."""
        return int(self.counts.sum())

    @property
    def doubles(self) -> Paired:
        """Whether a deal was doubled."""
        return self._came_to(DOUBLED)

    @property
    def responders(self) -> Paired:
        """Whether a deal came to a responder over an overcall of a suit."""
        return self._came_to(*range(len(NO_RESPONDER), OUTCOME.size))

    @property
    def penalties_wanted(self) -> Paired:
        """Whether the responder held a hand that would double for penalties, and must pass."""
        return self._given_up(PENALTY_HAD, PENALTY_LOST)

    @property
    def penalties_lost(self) -> Paired:
        """Whether it must and the penalty was lost (see the head of this module)."""
        return self._given_up(PENALTY_LOST)

    def _given_up(self, *outcomes: int) -> Paired:
        paired = self._came_to(*outcomes)
        first, second = (
            held if agreement.response.double else 0
            for held, agreement in ((paired.first, self.first), (paired.second, self.second))
        )
        both = paired.both if first and second else 0
        return Paired(both, first - both, second - both, paired.deals - first - second + both)

    def _came_to(self, *outcomes: int) -> Paired:
        return _paired(self.counts.sum(axis=(1, 3, 4)), np.isin(np.arange(OUTCOME.size), outcomes))

    @property
    def unmentioned_fits(self) -> Paired:
        """Whether a fit went without mention, on the deals for which both agreements have a call."""
        known = np.delete(np.delete(self.counts, NO_CALL, axis=0), NO_CALL, axis=2)
        return _paired(known.sum(axis=(0, 2, 4)), np.array([False, True]))

    def reversed(self) -> Comparison:
        """The same deals with the second agreement first."""
        return Comparison(self.second, self.first, self.counts.transpose(2, 3, 0, 1, 4))


def _paired(table: Counts, holds: BoolArray) -> Paired:
    """A square table of counts reduced to whether something ``holds`` under each."""
    first, second = (
        [int(table[np.ix_(rows, columns)].sum()) for columns in (holds, ~holds)]
        for rows in (holds, ~holds)
    )
    return Paired(first[0], first[1], second[0], second[1])


def compare(
    agreements: Sequence[Agreement],
    deals: int,
    seed: int,
    workers: int | None = None,
    executor: Executor | None = None,
    progress: bool = True,
) -> list[Comparison]:
    """The first agreement compared with each of the others, all on the same deals.

    The last four parameters are those of :func:`analysis.counting.sampling.count`. Raises :class:`InputError`
    for fewer than two agreements, or two with the same name.
    """
    names = [agreement.name for agreement in agreements]
    if len(names) < 2:
        raise InputError("one agreement has nothing to be compared with; allowed: two or more")
    for one, other in combinations(names, 2):
        if one == other:
            raise InputError(f"two agreements are called {one}; allowed: different names")
    work = partial(count_outcomes, seed, tuple(agreements))
    counts = sum(
        over_blocks(work, deals, workers, executor, progress),
        np.zeros((len(agreements) - 1, *SHAPE), dtype=np.int64),
    )
    first = agreements[0]
    return [Comparison(first, *pair) for pair in zip(agreements[1:], counts, strict=True)]


def without_the_double(comparisons: Sequence[Comparison]) -> Comparison:
    """A comparison of an agreement that has the double (first) with one that has not.

    Turned round if need be. Raises :class:`InputError` if all the agreements, or none, play it.
    """
    for comparison in comparisons:
        for one in (comparison, comparison.reversed()):
            if one.first.response.double and not one.second.response.double:
                return one
    raise InputError("allowed: agreements of which one plays the double and another does not")


def count_outcomes(seed: int, agreements: Sequence[Agreement], blocks: Blocks) -> Counts:
    """The deals of some blocks by what they came to under the first agreement and each other.

    Returns int64 of shape (agreements - 1, *:data:`SHAPE`).
    """
    counts = np.zeros((len(agreements) - 1, *SHAPE), dtype=np.int64)
    base = Auctions(cards_of(seed, blocks), agreements[0])
    first = _came_to(base)
    for at, agreement in enumerate(agreements[1:]):
        second = _came_to(rebid(base, agreement))
        same = (first[2] == second[2]) & (first[2] > 0)
        cell = np.ravel_multi_index((*first[:2], *second[:2], same), SHAPE)
        counts[at] = np.bincount(cell, minlength=counts[at].size).reshape(SHAPE)
    return counts


def _came_to(auctions: Auctions) -> tuple[NDArray[np.intp], BoolArray, NDArray[np.int8]]:
    """Each deal's outcome, whether a fit went without mention, and opener's seat.

    The seat is 0 where nobody responded to an overcall.
    """
    deals = auctions.cards.shape[1]
    outcome = np.full(deals, PASSED_OUT, dtype=np.intp)
    unmentioned, seat = np.zeros(deals, dtype=np.bool_), np.zeros(deals, dtype=np.int8)
    outcome[auctions.openings.seat > 0] = OTHER_OPENING
    outcome[auctions.next_hands.rows] = NO_SUIT_OVERCALL
    responses = auctions.responses
    outcome[responses.rows] = len(NO_RESPONDER) + responses.call
    passes = auctions.passes
    lost = passes.rows[
        (responses.call[passes.rows] == PENALTY_PASS_CALL) & (passes.reopening != DOUBLE_AGAIN)
    ]
    outcome[responses.rows[lost]] = PENALTY_LOST
    unmentioned[responses.rows] = unmentioned_fit(responses)
    seat[responses.rows] = responses.seat
    return outcome, unmentioned, seat


def unmentioned_fit(responses: Responses) -> BoolArray:
    """Deals in which a fit goes without mention (see the head of this module); bool (deals,)."""
    situation, call = responses.situation, responses.call
    bids = responses.bid
    promised = np.where(call == DOUBLE_CALL, situation.promised_set, 0)
    unmentioned = np.zeros(call.shape, dtype=np.bool_)
    for suit in MAJORS:
        together = situation.hands.lengths[suit] + responses.opener.lengths[suit]
        mentioned = ((bids != NO_BID) & (bids % 5 == suit)) | (promised >> suit & 1).astype(bool)
        unmentioned |= situation.is_unbid(suit) & (together >= FIT_TRUMPS) & ~mentioned
    return unmentioned
