"""Counts compared with exact probabilities, cell by cell and a whole family at once; independence.

References
----------
.. [1] W. G. Cochran, "Some methods for strengthening the common chi-square tests",
       Biometrics 10 (1954) 417-451 (on small expected counts).
"""

from dataclasses import dataclass

import numpy as np
import scipy  # its parts are loaded when first used: scipy.stats takes half a second
from numpy.typing import ArrayLike

from analysis.errors import InputError
from analysis.statistics.intervals import Floats, checked_counts
from analysis.vocabulary.measure import Measure, PValue, Share

EXACT = Share("exact", "exact", "The same probability worked out without sampling.", optional=True)
Z = Measure(
    "z",
    "z",
    "Standard errors by which the estimate lies above the exact value.",
    "standard errors",
    optional=True,
    least=None,
    form="+.2f",
)
P_VALUE = PValue(
    "p_value",
    "p-value",
    "Chance that a right machine differs from the exact values at least so much.",
    optional=True,
)

SMALLEST_EXPECTED = 5.0
"""A cell that expects fewer deals than this is pooled in `goodness_of_fit` [1]_."""


def z_score(successes: ArrayLike, deals: ArrayLike, exact: ArrayLike) -> Floats:
    """Standard errors by which a counted proportion lies above its exact value.

    The standard error is that of the exact value, sqrt(p (1 - p) / n), so z is standard normal in
    the limit if the machine is right. Infinite where a case of probability 0 was seen (or one of
    probability 1 missed), 0 where it was not.

    Raises
    ------
    InputError
        If a count is negative or successes exceed deals.
    """
    k, n = checked_counts(successes, deals)
    p = np.asarray(exact, dtype=np.float64)
    excess = k - n * p
    spread = np.sqrt(n * p * (1 - p))
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(excess == 0, 0.0, excess / spread)


def p_value(successes: ArrayLike, deals: ArrayLike, exact: ArrayLike) -> Floats:
    """How often a count would lie as far from what is expected as this one, or farther, by chance.

    Twice the smaller tail of the binomial itself, at most 1, so it holds for any number expected,
    where a z means little below `SMALLEST_EXPECTED`. Because counts are whole it is at most as often
    small as it says.

    Raises
    ------
    InputError
        If a count is negative or successes exceed deals.
    """
    k, n = checked_counts(successes, deals)
    p = np.asarray(exact, dtype=np.float64)
    below, above = scipy.stats.binom.cdf(k, n, p), scipy.stats.binom.sf(k - 1, n, p)
    return np.minimum(2 * np.minimum(below, above), 1.0)


def compared(successes: ArrayLike, deals: ArrayLike, exact: ArrayLike) -> dict[str, Floats]:
    """The columns `Z` and `P_VALUE` of some counts.

    Both are missing where there are no deals or no exact value. A z is missing, too, where fewer than
    `SMALLEST_EXPECTED` are expected in the cell or outside it, since it is then far from normal.
    """
    k, n = checked_counts(successes, deals)
    p = np.asarray(exact, dtype=np.float64)
    expects = n * np.minimum(p, 1 - p)
    known = (n > 0) & ~np.isnan(p)
    few = (expects > 0) & (expects < SMALLEST_EXPECTED)
    return {
        Z: np.where(known & ~few, z_score(k, n, p), np.nan),
        P_VALUE: np.where(known, p_value(k, n, p), np.nan),
    }


@dataclass(frozen=True)
class GoodnessOfFit:
    """What a joint test of a family of counts found."""

    statistic: float
    """Pearson's chi-square."""
    df: int
    """Degrees of freedom: cells after pooling, less one."""
    p_value: float
    pooled: int
    """Cells that were put together because they expect too few deals."""

    @property
    def cells(self) -> int:
        """Cells that were compared: possible ones, and those put together as one."""
        return self.df + 1


def goodness_of_fit(counts: ArrayLike, probabilities: ArrayLike) -> GoodnessOfFit:
    """Pearson's chi-square of counts against exact probabilities, small cells pooled.

    The rule: all cells that expect fewer than `SMALLEST_EXPECTED` are put into one pool, and if
    the pool still expects fewer, the cell with the next smallest expectation joins it. It looks
    at the expectations only, never at the counts. A cell of probability 0 is no part of the
    statistic, but a deal seen in one is proof of a fault: infinite statistic, p-value 0.

    Parameters
    ----------
    counts : array_like of whole numbers, any shape
    probabilities : array_like of float, same shape, sum 1
        Add a last cell for "anything else" where the family does not cover all deals.

    Raises
    ------
    InputError
        If the shapes differ, a value is negative, or the probabilities do not sum to 1.
    """
    seen = np.ravel(np.asarray(counts, dtype=np.float64))
    p = np.ravel(np.asarray(probabilities, dtype=np.float64))
    if seen.shape != p.shape:
        raise InputError(f"{seen.size} counts cannot be compared with {p.size} probabilities")
    if np.any(seen < 0) or np.any(p < 0):
        raise InputError("counts and probabilities must be 0 or more")
    # A sum of float64 probabilities of a partition is off by rounding only: far below 1e-9.
    if abs(p.sum() - 1) > 1e-9:
        raise InputError(f"the probabilities sum to {p.sum():.10g}, not to 1")
    impossible = bool(np.any(seen[p == 0] > 0))
    seen, p = seen[p > 0], p[p > 0]
    order = np.argsort(p, kind="stable")
    seen, expected = seen[order], p[order] * seen.sum()
    pooled = int(np.searchsorted(expected, SMALLEST_EXPECTED))
    if pooled and expected[:pooled].sum() < SMALLEST_EXPECTED:
        pooled = min(pooled + 1, expected.size)
    if pooled:
        seen = np.append(seen[pooled:], seen[:pooled].sum())
        expected = np.append(expected[pooled:], expected[:pooled].sum())
    df = expected.size - 1
    if impossible:
        return GoodnessOfFit(np.inf, df, 0.0, pooled)
    statistic = float(np.sum((seen - expected) ** 2 / expected)) if df else 0.0
    return GoodnessOfFit(
        statistic, df, float(scipy.stats.chi2.sf(statistic, df)) if df else 1.0, pooled
    )


def independence(table: ArrayLike) -> GoodnessOfFit:
    """Pearson's chi-square of a two-way table against independence of its rows and columns.

    Rows may also be samples, and columns what they were sorted into: then it asks whether all have
    the same shares, or, what comes to the same, whether their spread is binomial. Empty rows and
    columns are left out. While some cell expects fewer than `SMALLEST_EXPECTED` [1]_, the two
    smallest rows or the two smallest columns are put together, whichever hold less.

    Parameters
    ----------
    table : array_like of whole numbers, two axes
        Every deal in one cell, or every pair of successive deals of a series: the overlap of such
        pairs leaves the law of the statistic as it is [2]_.

    Returns
    -------
    GoodnessOfFit
        ``pooled`` are the rows and columns that were put together.

    References
    ----------
    .. [2] P. Billingsley, "Statistical methods in Markov chains", Annals of Mathematical Statistics
           32 (1961) 12-40 (a chain's order 0 against order 1).
    """
    seen = np.asarray(table, dtype=np.float64)
    seen = seen[seen.sum(axis=1) > 0][:, seen.sum(axis=0) > 0]
    rows_and_columns = sum(seen.shape)
    while min(seen.shape) > 1:
        totals = seen.sum(axis=1), seen.sum(axis=0)
        if totals[0].min() * totals[1].min() >= SMALLEST_EXPECTED * seen.sum():
            break
        axis = int(totals[1].min() < totals[0].min())
        least, next_least, *others = np.argsort(totals[axis], kind="stable")
        joined = seen.take([least, next_least], axis).sum(axis=axis, keepdims=True)
        seen = np.concatenate([seen.take(others, axis), joined], axis)
    pooled = rows_and_columns - sum(seen.shape)
    if min(seen.shape) < 2:
        return GoodnessOfFit(0.0, 0, 1.0, pooled)
    statistic, p_value, df, _ = scipy.stats.chi2_contingency(seen, correction=False)
    return GoodnessOfFit(float(statistic), int(df), float(p_value), pooled)
