"""Estimate from counts, and compare counts with exact probabilities.

Every interval is pointwise: it covers its own cell with the stated confidence, not all the cells of a
table at once. Counts are compared with exact values cell by cell and a whole family at once.

References
----------
.. [1] E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
       Journal of the American Statistical Association 22 (1927) 209-212.
.. [2] R. G. Newcombe, "Two-sided confidence intervals for the single proportion: comparison of
       seven methods", Statistics in Medicine 17 (1998) 857-872 (Wilson's is method 3).
.. [3] R. G. Newcombe, "Improved confidence intervals for the difference between binomial
       proportions based on paired data", Statistics in Medicine 17 (1998) 2635-2650, method 10.
.. [4] W. G. Cochran, "Some methods for strengthening the common chi-square tests",
       Biometrics 10 (1954) 417-451 (on small expected counts).
.. [5] P. Billingsley, "Statistical methods in Markov chains", Annals of Mathematical Statistics
       32 (1961) 12-40 (a chain's order 0 against order 1).
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
import scipy  # its parts are loaded when first used: scipy.stats takes half a second
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri, stdtrit

from double_study.columns import COLUMNS
from double_study.errors import InputError

CONFIDENCE = 0.95

CERTAINTY = 0.90
"""The probability of having met a case by then, in :func:`trials_until_met`."""

Floats = NDArray[np.float64]


def wilson(
    successes: ArrayLike, deals: ArrayLike, confidence: float = CONFIDENCE
) -> tuple[Floats, Floats]:
    """Return the limits of Wilson's score interval for a binomial proportion [1]_ [2]_.

    Counts broadcast. A conditional proportion (the deals of a case among those of a wider case, both
    from one tally) is this interval with the wider count as ``deals``: given that count, the narrower
    one is binomial. The lower limit is exactly 0 if nothing succeeded, the upper exactly 1 if everything
    did; without a deal the limits are 0 and 1. Raises :class:`InputError` for impossible counts and for
    a confidence that is not between 0 and 1.
    """
    k, n = checked_counts(successes, deals)
    z = normal_quantile(confidence)
    with np.errstate(divide="ignore", invalid="ignore"):
        centre = (k + z * z / 2) / (n + z * z)
        half = z * np.sqrt(k * (n - k) / n + z * z / 4) / (n + z * z)
    nothing, all_ = (n == 0) | (k == 0), (n == 0) | (k == n)
    return np.where(nothing, 0.0, centre - half), np.where(all_, 1.0, centre + half)


def ratio(numerator: ArrayLike, denominator: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Return the ratio of two mutually exclusive counts of one tally: estimate, low, high.

    Given their sum, the first count is binomial, and the ratio is the odds p / (1 - p) of that
    binomial's p: Wilson's limits for p carried through the odds, which rise with p. It is also
    the score interval for the ratio of two Poisson means. For a count that is part of the other
    use :func:`wilson`. A limit is infinite if the denominator is too small to bound the ratio; the
    estimate is NaN if both counts are 0.
    """
    above, below = (np.asarray(count, dtype=np.float64) for count in (numerator, denominator))
    low, high = wilson(above, above + below)
    with np.errstate(divide="ignore", invalid="ignore"):
        return above / below, low / (1 - low), high / (1 - high)


def paired_difference(
    both: ArrayLike, first_only: ArrayLike, second_only: ArrayLike, neither: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Return first proportion minus second, both counted on the same deals: estimate, low, high.

    The arguments are the four cells of the two-by-two table. Newcombe's paired score interval, method
    10 of [3]_: Wilson's limits for either proportion, joined through the correlation of the two (with
    his continuity correction of it). Two separate intervals would ignore that correlation, which is
    near 1 when two agreements differ by little. NaN if the table is empty; raises
    :class:`InputError` for a negative count.
    """
    a, b, c, d = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (both, first_only, second_only, neither))
    )
    if min(np.min(cell, initial=0.0) for cell in (a, b, c, d)) < 0:
        raise InputError("counts of a paired table must be 0 or more")
    n = a + b + c + d
    (low1, high1), (low2, high2) = wilson(a + b, n), wilson(a + c, n)
    cross = a * d - b * c
    corrected = np.where(cross > 0, np.maximum(cross - n / 2, 0.0), cross)
    margins = np.sqrt(a + b) * np.sqrt(c + d) * np.sqrt(a + c) * np.sqrt(b + d)
    correlation = np.divide(corrected, margins, out=np.zeros_like(n), where=margins > 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        p1, p2, difference = (a + b) / n, (a + c) / n, (b - c) / n

        def distance(x: Floats, y: Floats) -> Floats:
            # Rounding may push a square of zero just below zero.
            square = (x - y) ** 2 + 2 * (1 - correlation) * x * y
            return np.sqrt(np.maximum(square, 0.0))

        reach = distance(p1 - low1, high2 - p2), distance(high1 - p1, p2 - low2)
        return difference, difference - reach[0], difference + reach[1]


def mean_reach(variance: ArrayLike, deals: ArrayLike) -> Floats:
    """Return half the width of a mean's interval: Student's t, or the normal one for many deals.

    ``variance`` has the denominator deals - 1. NaN if the interval is unknown: fewer than two
    deals, or no spread among them.
    """
    spread, n = np.broadcast_arrays(np.asarray(variance, float), np.asarray(deals, float))
    known = (n > 1) & (spread > 0)
    t = stdtrit(np.where(known, n - 1, 1), (1 + CONFIDENCE) / 2)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(known, t * np.sqrt(spread / n), np.nan)


def trials_until_met(probability: ArrayLike) -> Floats:
    """Return the number of independent trials that meet a case with probability :data:`CERTAINTY`.

    The smallest whole n with 1 - (1 - p)^n >= CERTAINTY (the wait is geometric); infinite for
    p = 0. The number falls as p rises, so an interval's high limit gives the low one here, and vice
    versa.
    """
    p = np.asarray(probability, dtype=np.float64)
    if np.any((p < 0) | (p > 1)):
        raise InputError("a probability must be between 0 and 1")
    with np.errstate(divide="ignore"):
        trials: Floats = np.maximum(np.ceil(np.log1p(-CERTAINTY) / np.log1p(-p)), 1.0)
    return trials


def proportion(successes: int, deals: int) -> tuple[float, float, float]:
    """Return a proportion with the limits of :func:`wilson`; NaN, 0 and 1 if there was no deal."""
    low, high = wilson(successes, deals)
    return (successes / deals if deals else np.nan), float(low), float(high)


def with_intervals(
    table: pd.DataFrame,
    count: str | ArrayLike = "deals",
    total: str | ArrayLike = "of",
    name: str = "estimate",
) -> pd.DataFrame:
    """Return a copy of ``table`` with the column ``name`` appended and its limits (Wilson's).

    ``count`` are the deals of each row's case, ``total`` the deals that they are a share of: columns,
    or numbers. If there are none, the estimate is NaN and the interval 0 to 1.
    """
    for column in (count, total):
        if isinstance(column, str) and column not in table:
            raise InputError(f"there is no column {column!r}; allowed: {', '.join(table.columns)}")
    k, n = (
        np.asarray(table[of] if isinstance(of, str) else of, dtype=np.float64)
        for of in (count, total)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        found = k / n, *wilson(k, n)
    return table.assign(**dict(zip(COLUMNS[name].columns, found, strict=True)))


def checked_counts(successes: ArrayLike, deals: ArrayLike) -> tuple[Floats, Floats]:
    """Return both counts as float64 arrays of one shape; InputError unless 0 <= successes <= deals."""
    k, n = np.broadcast_arrays(
        np.asarray(successes, dtype=np.float64), np.asarray(deals, dtype=np.float64)
    )
    if not np.all((k >= 0) & (k <= n)):
        raise InputError("successes must be between 0 and the number of deals")
    return k, n


def normal_quantile(confidence: float) -> float:
    """Return the number of standard errors on either side of an estimate in a normal interval."""
    if not 0 < confidence < 1:
        raise InputError(f"confidence must be between 0 and 1, both excluded, not {confidence}")
    return float(ndtri((1 + confidence) / 2))


SMALLEST_EXPECTED = 5.0
"""A cell that expects fewer deals than this is pooled in `goodness_of_fit` [1]_."""


def z_score(successes: ArrayLike, deals: ArrayLike, exact: ArrayLike) -> Floats:
    """Return the standard errors by which a counted proportion lies above its exact value.

    The standard error is that of the exact value, sqrt(p (1 - p) / n), so z is standard normal in
    the limit if the program is right. Infinite if a case of probability 0 was seen (or one of
    probability 1 missed), 0 if it was not.
    """
    k, n = checked_counts(successes, deals)
    p = np.asarray(exact, dtype=np.float64)
    excess = k - n * p
    spread = np.sqrt(n * p * (1 - p))
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(excess == 0, 0.0, excess / spread)


def p_value(successes: ArrayLike, deals: ArrayLike, exact: ArrayLike) -> Floats:
    """Return the two-sided p-value of a count against its exact probability.

    This is twice the smaller binomial tail, at most 1, so it is valid for any expected number,
    whereas z means little below :data:`SMALLEST_EXPECTED`. Because counts are whole numbers, a p-value
    of x or less comes up with probability x at most.
    """
    k, n = checked_counts(successes, deals)
    p = np.asarray(exact, dtype=np.float64)
    below, above = scipy.stats.binom.cdf(k, n, p), scipy.stats.binom.sf(k - 1, n, p)
    return np.minimum(2 * np.minimum(below, above), 1.0)


def compared(successes: ArrayLike, deals: ArrayLike, exact: ArrayLike) -> dict[str, Floats]:
    """Return the columns ``z`` and ``p_value`` of some counts.

    Both are missing if there are no deals or no exact value. A z is missing, too, if fewer than
    :data:`SMALLEST_EXPECTED` are expected in the cell or outside it, since it is then far from normal.
    """
    k, n = checked_counts(successes, deals)
    p = np.asarray(exact, dtype=np.float64)
    expects = n * np.minimum(p, 1 - p)
    known = (n > 0) & ~np.isnan(p)
    few = (expects > 0) & (expects < SMALLEST_EXPECTED)
    return {
        "z": np.where(known & ~few, z_score(k, n, p), np.nan),
        "p_value": np.where(known, p_value(k, n, p), np.nan),
    }


@dataclass(frozen=True)
class GoodnessOfFit:
    """The result of a joint test of a family of counts."""

    statistic: float
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
    """Return Pearson's chi-square of counts against exact probabilities, small cells pooled.

    All cells that expect fewer than :data:`SMALLEST_EXPECTED` are put into one pool, and if the pool
    still expects fewer, the cell with the next smallest expectation joins it. The rule looks at the
    expectations only, never at the counts. A cell of probability 0 is no part of the statistic, but a
    deal seen in one is proof of a fault: infinite statistic, p-value 0. If a family does not cover all
    deals, add a last cell for "anything else". Raises :class:`InputError` if the shapes differ, a value
    is negative, or the probabilities do not sum to 1.
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
    """Return Pearson's chi-square of a two-way table against independence of rows and columns.

    Rows may also be samples and columns categories; then the test is of whether all samples
    have the same shares, that is, whether their spread is binomial. A cell may also count pairs of
    successive deals: the overlap of such pairs does not change the law of the statistic [5]_. Empty
    rows and columns are left out. While some cell expects fewer than :data:`SMALLEST_EXPECTED` [4]_,
    the two smallest rows or columns are put together, whichever hold less; ``pooled`` counts these.
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


def parts_differ(
    one: ArrayLike, other: ArrayLike, confidence: float = CONFIDENCE
) -> NDArray[np.bool_]:
    """Return whether two parts of the same deals, which exclude each other, differ in frequency.

    If the parts are equally frequent, either count is binomial with probability 1/2, given their sum.
    The test is exact, so such parts are distinguished at most one time in twenty. The rate is
    pointwise, for each pair by itself.
    """
    k, rest = np.asarray(one), np.asarray(other)
    return p_value(k, k + rest, 0.5) < 1 - confidence
