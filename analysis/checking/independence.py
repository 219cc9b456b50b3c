"""Families that check that deals are independent, which every interval of the study assumes.

They have no exact values: what is known is the spread of counts about their own mean.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from analysis.checking.family import Family
from analysis.counting.independence_counts import (
    NEIGHBOURS,
    OUTCOMES_BY_STRETCH,
    STAGES,
)
from analysis.counting.tally import Counts, Tally
from analysis.statistics.goodness_of_fit import independence


def independence_families(tally: Tally) -> Iterator[Family]:
    """How far auctions went, by stretch of the run, and by how far the deal before went."""
    by_stretch = tally[OUTCOMES_BY_STRETCH.name]
    passed_out, opened = by_stretch[:, 0], by_stretch[:, 1:]
    by_stage = opened.reshape(len(opened), -1, len(STAGES)).sum(axis=1)
    yield _family("stages by stretch", np.column_stack([passed_out, by_stage]))
    yield _family("seats and stages by stretch", by_stretch)
    yield _family("stages of neighbours", tally[NEIGHBOURS.name])


def _family(name: str, table: Counts) -> Family:
    """A family of which there is a joint test only."""
    nothing = np.empty(0)
    deals = int(table.sum())
    return Family(name, [], nothing.astype(np.int64), nothing, deals, own_test=independence(table))
