"""Whether deals are independent: what becomes of them by stretch of the run, and by the deal before.

Every interval of the study takes deals for independent. Two tables can tell: how far each deal went
in each stretch of the run, whose spread is known for independent deals, and how far each deal went
beside the one before it. Both look at the first deals of every block only. A stretch is a part of
two neighbouring blocks, so deals that repeat in the next block make the spread too wide. Which
stretch a deal is in depends on its block's number and its place there: the tables of parts add up to
those of the whole, however a run's blocks are shared out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.auction import Auctions
from analysis.bidding.response import DOUBLE_CALL
from analysis.cards.bids import NOTRUMP, SEAT
from analysis.cards.dealing import BLOCK_DEALS
from analysis.counting.blocks import Blocks
from analysis.counting.dealt_counts import CHECKED_SHARE, EVERY_SEAT
from analysis.counting.tally import Count, Counts
from analysis.vocabulary.dimension import Combinations, Dimension, Numbers

LOOKED_AT = BLOCK_DEALS // CHECKED_SHARE
"""Deals looked at in each block, its first."""

STRETCH = 1250
"""Deals that each of two blocks gives to a stretch."""

STRETCHES = 1000
"""Stretches told apart; the next ones are added to the first again, so the table never grows."""

STAGE = Dimension(
    "stage",
    "stage",
    "How far the auction went.",
    {
        "passed_out": "passed out",
        "another_opening": "another opening than one of a suit",
        "one_of_a_suit": "one of a suit, without an overcall of a suit",
        "overcalled": "an overcall of a suit, without a double",
        "doubled": "the responder's double",
    },
)
STAGES = STAGE.names[1:]
"""The stages of a deal that was opened."""

_OUTCOMES = ((0, STAGE.names[0]), *((seat, stage) for seat in SEAT.names for stage in STAGES))
OUTCOME = Combinations((EVERY_SEAT, STAGE), _OUTCOMES)
"""The opener's seat, 0 for none, and how far the auction went."""

NEXT_OUTCOME = Combinations(
    (
        Numbers("next_seat", "next seat", "The opener's seat on the deal after it.", range(5)),
        Dimension("next_stage", "next stage", "How far the deal after it went.", STAGE.wordings),
    ),
    _OUTCOMES,
)
STRETCH_NUMBER = Numbers("stretch", "stretch", "A stretch of the run.", range(STRETCHES))


def _outcomes(auctions: Auctions, first: int, end: int) -> NDArray[np.intp]:
    """What became of the deals from ``first`` to before ``end``, as codes of OUTCOME."""
    seat = auctions.openings.seat[first:end].astype(np.intp)
    bid = auctions.openings.bid[first:end]
    outcome = np.maximum(len(STAGES) * (seat - 1) + 1, 0) + ((bid >= 0) & (bid < NOTRUMP))
    overcalled = auctions.responses
    here = slice(*np.searchsorted(overcalled.rows, (first, end)))
    outcome[overcalled.rows[here] - first] += 1 + (overcalled.call[here] == DOUBLE_CALL)
    return outcome


def _of_blocks(auctions: Auctions, blocks: Blocks) -> Iterator[tuple[int, NDArray[np.intp]]]:
    """The number of each block, and what became of its deals looked at."""
    first = 0
    for block, deals in blocks:
        yield block, _outcomes(auctions, first, first + min(deals, LOOKED_AT))
        first += deals


@dataclass(frozen=True)
class _StretchCount(Count):
    """What became of deals, by stretch of the run."""

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of some blocks; int64, of :attr:`shape`."""
        table = np.zeros(self.shape, dtype=np.int64)
        for block, outcomes in _of_blocks(auctions, blocks):
            stretch = block // 2 * (LOOKED_AT // STRETCH)
            for start in range(0, len(outcomes), STRETCH):
                part = outcomes[start : start + STRETCH]
                table[stretch % STRETCHES] += np.bincount(part, minlength=OUTCOME.size)
                stretch += 1
        return table


@dataclass(frozen=True)
class _NeighbourCount(Count):
    """What became of two successive deals of a block."""

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of some blocks; int64, of :attr:`shape`."""
        both = np.zeros(OUTCOME.size**2, dtype=np.int64)
        for _, outcomes in _of_blocks(auctions, blocks):
            both_outcomes = OUTCOME.size * outcomes[:-1] + outcomes[1:]
            both += np.bincount(both_outcomes, minlength=len(both))
        return both.reshape(self.shape)


OUTCOMES_BY_STRETCH = _StretchCount(
    "outcomes_by_stretch", (STRETCH_NUMBER, OUTCOME), lambda auctions: ()
)
NEIGHBOURS = _NeighbourCount("neighbours", (OUTCOME, NEXT_OUTCOME), lambda auctions: ())

INDEPENDENCE_COUNTS = (OUTCOMES_BY_STRETCH, NEIGHBOURS)
"""The tables that check that deals are independent."""
