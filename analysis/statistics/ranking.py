"""Whether counts tell the places of a ranking apart."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.statistics.goodness_of_fit import p_value
from analysis.statistics.intervals import CONFIDENCE, checked_counts, normal_quantile


def parts_told_apart(
    one: ArrayLike, other: ArrayLike, confidence: float = CONFIDENCE
) -> NDArray[np.bool_]:
    """Whether two parts of the same deals, which exclude each other, differ in how often they come.

    Given both together, either count is binomial with probability 1/2 if they do not: exact, so parts
    that come equally often are told apart at most once in twenty times. Pointwise: each pair by
    itself.

    Raises
    ------
    InputError
        If a count is negative.
    """
    k, rest = np.asarray(one), np.asarray(other)
    return p_value(k, k + rest, 0.5) < 1 - confidence


def shares_told_apart(
    successes: ArrayLike,
    deals: ArrayLike,
    other_successes: ArrayLike,
    other_deals: ArrayLike,
    confidence: float = CONFIDENCE,
) -> NDArray[np.bool_]:
    """Whether two shares of different deals differ.

    The score test of two independent proportions: their difference against its standard error if
    they were one. Pointwise, and never told apart where either has no deals.

    Raises
    ------
    InputError
        If a count is negative, or successes exceed deals.
    """
    k1, n1 = checked_counts(successes, deals)
    k2, n2 = checked_counts(other_successes, other_deals)
    with np.errstate(divide="ignore", invalid="ignore"):
        together = (k1 + k2) / (n1 + n2)
        error = np.sqrt(together * (1 - together) * (1 / n1 + 1 / n2))
        return np.abs(k1 / n1 - k2 / n2) > normal_quantile(confidence) * error
