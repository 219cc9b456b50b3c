"""A family of cells: counts, exact probabilities, and one joint test over all of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.counting.tally import DEALS
from analysis.statistics.goodness_of_fit import (
    EXACT,
    GoodnessOfFit,
    compared,
    goodness_of_fit,
)
from analysis.statistics.intervals import OF, Floats, with_intervals
from analysis.vocabulary.column import Column

FAMILY = Column("family", "family", "Cells that exclude each other, tested together.")
CASE = Column("case", "case", "The case, by its name in the column that the grouping names.")

# The rounding of a sum of float64 probabilities stays far below this.
_ALL = 1 - 1e-12


@dataclass(frozen=True, eq=False)
class Grouping:
    """Coarser cells for a family: their ``labels`` and ``cases``, and each cell's ``group``."""

    labels: list[str]
    cases: list[str]
    group: NDArray[np.intp]

    @classmethod
    def of(cls, labels: Iterable[str], cases: Iterable[str] = ()) -> Grouping:
        """From one label a cell, and one case where shares are to be of a case."""
        cells = [*zip(cases, labels, strict=True)] if cases else [("", each) for each in labels]
        found = sorted(set(cells))
        place = {cell: at for at, cell in enumerate(found)}
        group = np.array([place[cell] for cell in cells], dtype=np.intp)
        return cls([label for _, label in found], [c for c, _ in found] if cases else [], group)


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
    cases : sequence of str, one a cell, optional
        What each cell's share is stated of, such as "5 outstanding" for the label "3-2"; without
        them shares are of all deals looked at.
    own_test : GoodnessOfFit, optional
        The joint test where it is not the chi-square over all cells.
    """

    name: str
    labels: Sequence[str]
    counts: NDArray[np.integer]
    probabilities: Floats
    deals: int
    cases: Sequence[str] = ()
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
        """The family's rows of :func:`analysis.checking.comparison.counterparts`."""
        counts, exact = self.counts, self.probabilities
        of = np.full(len(counts), self.deals)
        labels = self.labels
        if self.cases:
            labels = [f"{case}: {label}" for case, label in zip(self.cases, labels, strict=True)]
            _, case = np.unique(self.cases, return_inverse=True)
            of = _totals(case, counts)[case]
            with np.errstate(invalid="ignore"):
                exact = exact / np.bincount(case, exact)[case]
        table = pd.DataFrame({FAMILY: self.name, CASE: labels, DEALS: counts, OF: of, EXACT: exact})
        table = with_intervals(table, DEALS, OF)
        table = table.assign(**compared(counts, of, exact))
        return table[(counts > 0) | (self.probabilities > 0)]

    def grouped(self, name: str, grouping: Grouping) -> Family:
        """The family by coarser cells: those of the same group are put together."""
        probabilities = np.bincount(grouping.group, self.probabilities).astype(np.float64)
        counts = _totals(grouping.group, self.counts)
        return Family(name, grouping.labels, counts, probabilities, self.deals, grouping.cases)


def _totals(group: NDArray[np.intp], counts: NDArray[np.integer]) -> NDArray[np.int64]:
    # float64, in which the sums are made, holds whole numbers up to 2**53 exactly.
    return np.bincount(group, counts).astype(np.int64)
