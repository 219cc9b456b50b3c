"""A family of cells: counts, exact probabilities, and one joint test over all of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.counting.tally import DEALS
from analysis.statistics.goodness_of_fit import (
    SMALLEST_EXPECTED,
    GoodnessOfFit,
    goodness_of_fit,
    z_score,
)
from analysis.statistics.intervals import Floats, with_intervals

FAMILY, CASE, OF, EXACT, Z = "family", "case", "of", "exact", "z"

# The rounding of a sum of float64 probabilities stays far below this.
_ALL = 1 - 1e-12


@dataclass(frozen=True, eq=False)
class Grouping:
    """Coarser labels for the cells of a family: their ``names``, and each cell's ``group``."""

    names: list[str]
    group: NDArray[np.intp]

    @classmethod
    def of(cls, labels: Iterable[str]) -> Grouping:
        """From one label a cell."""
        names, group = np.unique(list(labels), return_inverse=True)
        return cls(names.tolist(), group)


@dataclass(frozen=True, eq=False)
class Family:
    """Cells that exclude each other, such as the 39 patterns of the dealer's hand.

    Parameters
    ----------
    name : str
        What the family is, in a few words.
    labels : sequence of str, one a cell
    counts : whole numbers, shape (cells,)
        Deals seen in each cell.
    probabilities : float64, shape (cells,)
        Exact; their sum is less than 1 where some deals belong to no cell.
    deals : int
        Deals looked at.
    conditional : bool
        Whether labels read "case: part", such as "5 outstanding: 3-2". The table of twins then
        states each cell's share of its case, otherwise its share of all deals looked at.
    own_test : GoodnessOfFit, optional
        The joint test where it is not the chi-square over all cells.
    """

    name: str
    labels: Sequence[str]
    counts: NDArray[np.integer]
    probabilities: Floats
    deals: int
    conditional: bool = False
    own_test: GoodnessOfFit | None = None

    @property
    def joint(self) -> GoodnessOfFit:
        """The joint test: small cells pooled by the rule of ``goodness_of_fit``."""
        if self.own_test is not None:
            return self.own_test
        counts, probabilities = self.counts, self.probabilities
        if (covered := probabilities.sum()) < _ALL:
            counts = np.append(counts, self.deals - counts.sum())
            probabilities = np.append(probabilities, 1 - covered)
        return goodness_of_fit(counts, probabilities)

    def rows(self) -> pd.DataFrame:
        """The family's part of the table of twins; see :func:`analysis.checking.comparison.twins`."""
        counts, exact = self.counts, self.probabilities
        of = np.full(len(counts), self.deals)
        if self.conditional:
            cases = [label.partition(":")[0] for label in self.labels]
            _, case = np.unique(cases, return_inverse=True)
            of = _totals(case, counts)[case]
            with np.errstate(invalid="ignore"):
                exact = exact / np.bincount(case, exact)[case]
        table = pd.DataFrame(
            {FAMILY: self.name, CASE: self.labels, DEALS: counts, OF: of, EXACT: exact}
        )
        table = with_intervals(table, DEALS, OF)
        expects = of * exact
        small = (expects > 0) & (expects < SMALLEST_EXPECTED)
        table[Z] = np.where(small, np.nan, z_score(counts, of, exact))
        return table[(counts > 0) | (self.probabilities > 0)]

    def grouped(self, name: str, grouping: Grouping, conditional: bool = False) -> Family:
        """The family by coarser labels: cells with the same label are put together."""
        probabilities = np.bincount(grouping.group, self.probabilities).astype(np.float64)
        counts = _totals(grouping.group, self.counts)
        return Family(name, grouping.names, counts, probabilities, self.deals, conditional)


def _totals(group: NDArray[np.intp], counts: NDArray[np.integer]) -> NDArray[np.int64]:
    # float64, in which the sums are made, holds whole numbers up to 2**53 exactly.
    return np.bincount(group, counts).astype(np.int64)
