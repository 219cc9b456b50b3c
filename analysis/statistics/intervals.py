"""Estimates from counts: proportions, ratios, paired differences, waiting times.

Every interval here is pointwise: it covers its own cell with the stated confidence, not all the
cells of a table at once. Counts are compared with exact values in
`analysis.statistics.goodness_of_fit`.

References
----------
.. [1] E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
       Journal of the American Statistical Association 22 (1927) 209-212.
.. [2] R. G. Newcombe, "Two-sided confidence intervals for the single proportion: comparison of
       seven methods", Statistics in Medicine 17 (1998) 857-872 (Wilson's is method 3).
.. [3] R. G. Newcombe, "Improved confidence intervals for the difference between binomial
       proportions based on paired data", Statistics in Medicine 17 (1998) 2635-2650, method 10.
"""

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri, stdtrit

from analysis.errors import InputError
from analysis.vocabulary.measure import ShareEstimate, WholeNumber

ESTIMATE = ShareEstimate(
    "estimate",
    "share",
    "The row's deals as a share of the deals they are taken from.",
    limits=("low", "high"),
    interval="Wilson interval",
)
LOW, HIGH = ESTIMATE.low, ESTIMATE.high
OF = WholeNumber("of", "out of", "Deals that the row's deals are a share of.", "deals")

CONFIDENCE = 0.95
"""Confidence of every interval, unless a caller says otherwise."""

CERTAINTY = 0.90
"""How sure one wants to be of having met a case, in `trials_until_met`."""

Floats = NDArray[np.float64]


def wilson(
    successes: ArrayLike, deals: ArrayLike, confidence: float = CONFIDENCE
) -> tuple[Floats, Floats]:
    """Wilson's score interval for a binomial proportion [1]_ [2]_.

    A conditional proportion (the deals of a case among the deals of a wider case, both from one
    tally) is this interval with the wider count as `deals`: given that count, the narrower one is
    binomial.

    Parameters
    ----------
    successes, deals : array_like of whole numbers
        Broadcast against each other; 0 <= successes <= deals.
    confidence : float
        Between 0 and 1, both excluded.

    Returns
    -------
    low, high : float64 arrays of the broadcast shape
        Exactly 0 where nothing succeeded and exactly 1 where everything did; 0 to 1 where there
        was no deal to judge by.

    Raises
    ------
    InputError
        If a count is negative, successes exceed deals, or the confidence is out of range.
    """
    k, n = checked_counts(successes, deals)
    z = normal_quantile(confidence)
    with np.errstate(divide="ignore", invalid="ignore"):
        centre = (k + z * z / 2) / (n + z * z)
        half = z * np.sqrt(k * (n - k) / n + z * z / 4) / (n + z * z)
    low = np.where((n == 0) | (k == 0), 0.0, centre - half)
    high = np.where((n == 0) | (k == n), 1.0, centre + half)
    return low, high


def ratio(
    numerator: ArrayLike, denominator: ArrayLike, confidence: float = CONFIDENCE
) -> tuple[Floats, Floats, Floats]:
    """Ratio of two counts of one tally whose cases exclude each other.

    Given their sum, the first count is binomial, and the ratio is the odds p / (1 - p) of that
    binomial's p: Wilson's limits for p carried through the odds, which rise with p. It is also
    the score interval for the ratio of two Poisson means. For a count that is part of the other
    use `wilson`.

    Parameters
    ----------
    numerator, denominator : array_like of whole numbers, not negative

    Returns
    -------
    estimate, low, high : float64 arrays of the broadcast shape
        Infinite where the denominator is too small to bound the ratio; the estimate is NaN where
        both counts are 0.

    Raises
    ------
    InputError
        If a count is negative or the confidence is out of range.
    """
    above, below = (np.asarray(count, dtype=np.float64) for count in (numerator, denominator))
    low, high = wilson(above, above + below, confidence)
    with np.errstate(divide="ignore", invalid="ignore"):
        return above / below, low / (1 - low), high / (1 - high)


def paired_difference(
    both: ArrayLike,
    first_only: ArrayLike,
    second_only: ArrayLike,
    neither: ArrayLike,
    confidence: float = CONFIDENCE,
) -> tuple[Floats, Floats, Floats]:
    """First proportion minus second, both counted on the same deals.

    Newcombe's paired score interval, method 10 of [3]_: Wilson's limits for either proportion,
    joined through the correlation of the two (with his continuity correction of it). Two separate
    intervals would ignore that correlation, which is near 1 when two agreements differ by little.

    Parameters
    ----------
    both, first_only, second_only, neither : array_like of whole numbers
        The four cells of the two-by-two table of one set of deals.

    Returns
    -------
    estimate, low, high : float64 arrays of the broadcast shape
        NaN where the table is empty.

    Raises
    ------
    InputError
        If a count is negative or the confidence is out of range.
    """
    a, b, c, d = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (both, first_only, second_only, neither))
    )
    if min(np.min(cell, initial=0.0) for cell in (a, b, c, d)) < 0:
        raise InputError("counts of a paired table must be 0 or more")
    n = a + b + c + d
    low1, high1 = wilson(a + b, n, confidence)
    low2, high2 = wilson(a + c, n, confidence)
    cross = a * d - b * c
    corrected = np.where(cross > 0, np.maximum(cross - n / 2, 0.0), cross)
    margins = np.sqrt(a + b) * np.sqrt(c + d) * np.sqrt(a + c) * np.sqrt(b + d)
    correlation = np.divide(corrected, margins, out=np.zeros_like(n), where=margins > 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        p1, p2, difference = (a + b) / n, (a + c) / n, (b - c) / n

        def distance(x: Floats, y: Floats) -> Floats:
            # Rounding may push a square of nought just below it.
            square = (x - y) ** 2 + 2 * (1 - correlation) * x * y
            root: Floats = np.sqrt(np.maximum(square, 0.0))
            return root

        low = difference - distance(p1 - low1, high2 - p2)
        high = difference + distance(high1 - p1, p2 - low2)
    return difference, low, high


def mean_reach(variance: ArrayLike, deals: ArrayLike, confidence: float = CONFIDENCE) -> Floats:
    """Half the width of the interval of a mean: Student's t, which for many deals is the normal one.

    Parameters
    ----------
    variance : array_like
        Of the values, with deals - 1 below the line.
    deals : array_like of whole numbers

    Returns
    -------
    float64 array of the broadcast shape
        NaN where there is nothing to judge by: fewer than two deals, or no spread among them.
    """
    spread, n = np.broadcast_arrays(np.asarray(variance, float), np.asarray(deals, float))
    told = (n > 1) & (spread > 0)
    t = stdtrit(np.where(told, n - 1, 1), (1 + confidence) / 2)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(told, t * np.sqrt(spread / n), np.nan)


def trials_until_met(probability: ArrayLike, certainty: float = CERTAINTY) -> Floats:
    """Independent trials after which a case has been met at least once with the given certainty.

    The smallest whole n with 1 - (1 - p)^n >= certainty (the wait is geometric); infinite for
    p = 0. It falls as p rises, so an interval's high limit gives the low one here and the other
    way about.

    Raises
    ------
    InputError
        If a probability is outside 0 to 1, or the certainty is not strictly between them.
    """
    p = np.asarray(probability, dtype=np.float64)
    if np.any((p < 0) | (p > 1)):
        raise InputError("a probability must be between 0 and 1")
    _check_share("certainty", certainty)
    with np.errstate(divide="ignore"):
        trials: Floats = np.maximum(np.ceil(np.log1p(-certainty) / np.log1p(-p)), 1.0)
    return trials


def with_intervals(
    table: pd.DataFrame, count: str, total: str | int, confidence: float = CONFIDENCE
) -> pd.DataFrame:
    """A copy of `table` with the columns estimate, low, high (Wilson's) appended.

    Parameters
    ----------
    table : DataFrame
    count : str
        Column that holds the deals of each row's case.
    total : str or int
        Column that holds, or number that is, the deals they are a share of. Where it is 0 the
        estimate is NaN and the interval 0 to 1.

    Raises
    ------
    InputError
        If a column is missing, or as `wilson`.
    """
    for column in (count, total):
        if isinstance(column, str) and column not in table:
            raise InputError(f"no column {column!r}; the table has {', '.join(table.columns)}")
    k = table[count].to_numpy(dtype=np.float64)
    n = table[total].to_numpy(dtype=np.float64) if isinstance(total, str) else float(total)
    low, high = wilson(k, n, confidence)
    with np.errstate(divide="ignore", invalid="ignore"):
        return table.assign(**{ESTIMATE: k / n, LOW: low, HIGH: high})


def checked_counts(successes: ArrayLike, deals: ArrayLike) -> tuple[Floats, Floats]:
    """Both counts as float64 arrays of one shape; InputError unless 0 <= successes <= deals."""
    k, n = np.broadcast_arrays(
        np.asarray(successes, dtype=np.float64), np.asarray(deals, dtype=np.float64)
    )
    if not np.all((k >= 0) & (k <= n)):
        raise InputError("successes must be between 0 and the number of deals")
    return k, n


def normal_quantile(confidence: float) -> float:
    """Standard errors on either side of an estimate in a normal interval of this confidence."""
    _check_share("confidence", confidence)
    return float(ndtri((1 + confidence) / 2))


def _check_share(name: str, value: float) -> None:
    if not 0 < value < 1:
        raise InputError(f"{name} must be between 0 and 1, both excluded, not {value}")
