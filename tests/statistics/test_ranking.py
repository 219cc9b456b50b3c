"""What tells two places of a ranking apart, against SciPy and statsmodels, and how often wrongly."""

import numpy as np
import pytest
from double_study.errors import InputError
from double_study.stats import parts_differ, shares_differ
from scipy.stats import binomtest
from statsmodels.stats.proportion import proportions_ztest


@pytest.mark.parametrize(
    ("one", "other"), [(12, 4), (10, 4), (0, 5), (0, 6), (1_000, 1_090), (0, 0)]
)
def test_parts_as_by_the_exact_test_of_scipy(one: int, other: int) -> None:
    reference = one + other > 0 and binomtest(one, one + other, 0.5).pvalue < 0.05
    assert bool(parts_differ(one, other)) == reference


@pytest.mark.parametrize(
    "counts", [((30, 200), (18, 210)), ((30, 200), (17, 210)), ((5, 9), (50, 90))]
)
def test_shares_as_by_statsmodels(counts: tuple[tuple[int, int], tuple[int, int]]) -> None:
    successes, deals = np.transpose(counts)
    _, p_value = proportions_ztest(successes, deals)
    assert bool(shares_differ(*counts[0], *counts[1])) == (p_value < 0.05)


def test_what_is_equal_is_told_apart_no_more_than_once_in_twenty_times() -> None:
    # 20,000 pairs: the standard deviation of their share is 0.0015, and four of them are allowed.
    rng = np.random.default_rng(18)
    parts = rng.multinomial(2_000, [0.1, 0.1, 0.8], 20_000).T
    assert parts_differ(parts[0], parts[1]).mean() < 0.056
    shares = rng.binomial([[3_000], [500]], 0.2, (2, 20_000))
    assert shares_differ(shares[0], 3_000, shares[1], 500).mean() == pytest.approx(0.05, abs=0.006)


def test_no_deals_tell_nothing() -> None:
    assert not shares_differ(0, 0, 5, 9)
    with pytest.raises(InputError):
        parts_differ(-1, 4)
