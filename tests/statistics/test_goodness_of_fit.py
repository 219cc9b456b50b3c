"""z scores, joint tests and places of a ranking against SciPy, and their false-alarm rates."""

import numpy as np
import pytest
from double_study import stats
from double_study.stats import goodness_of_fit, independence
from numpy.typing import ArrayLike
from scipy.stats import binom, binomtest, chi2_contingency, chisquare, kstest


@pytest.mark.parametrize(("successes", "deals", "exact"), [(81, 263, 0.3), (15, 148, 0.12)])
def test_a_z_score_squared_is_scipy_s_chi_square(successes: int, deals: int, exact: float) -> None:
    shares = np.array([exact, 1 - exact])
    reference = chisquare([successes, deals - successes], deals * shares)
    z = stats.z_score(successes, deals, exact)
    # One closed form against another: rounding only.
    assert z**2 == pytest.approx(reference.statistic, rel=1e-12)
    assert (z > 0) == (successes / deals > exact)


def test_z_score_where_the_exact_value_leaves_no_room() -> None:
    z = stats.z_score([0, 1, 10, 9], 10, [0.0, 0.0, 1.0, 1.0])
    assert z.tolist() == [0, np.inf, 0, -np.inf]


@pytest.mark.parametrize("case", [(9, 12, 0.5), (3, 40, 0.2), (6, 10, 0.6)])
def test_p_value_agrees_with_scipy_s_one_sided_binomial_tests(case: tuple[int, int, float]) -> None:
    tails = [binomtest(*case, alternative=side).pvalue for side in ("less", "greater")]
    assert stats.p_value(*case) == pytest.approx(min(1, 2 * min(tails)), rel=1e-12)


@pytest.mark.parametrize(("deals", "exact"), [(400, 0.005), (30, 0.03), (1_000, 0.2), (50, 1.0)])
def test_p_values_are_no_smaller_than_they_say(deals: int, exact: float) -> None:
    # Exactly, over all counts: no sample, so no false alarm.
    counts = np.arange(deals + 1)
    p_values, chances = stats.p_value(counts, deals, exact), binom.pmf(counts, deals, exact)
    for level in (0.5, 0.05, 0.001):
        assert chances[p_values <= level].sum() <= level * (1 + 1e-9)


def test_where_too_few_are_expected_there_is_a_p_value_and_no_z() -> None:
    exact = np.array([0.04, 0.96, 0.05, 0.0, 0.0, 0.5, np.nan])
    deals = np.array([100, 100, 1_000, 100, 100, 0, 10])
    counts = np.array([3, 97, 50, 0, 1, 0, 5])
    found = stats.compared(counts, deals, exact)
    assert np.isnan(found["z"]).tolist() == [True, True, False, False, False, True, True]
    assert found["z"][[3, 4]].tolist() == [0, np.inf]
    assert np.isnan(found["p_value"]).tolist() == [False] * 5 + [True] * 2
    assert found["p_value"][[3, 4]].tolist() == [1.0, 0.0]


def test_goodness_of_fit_agrees_with_scipy() -> None:
    counts, p = np.array([[310, 205], [96, 389]]), np.array([[0.3, 0.2], [0.1, 0.4]])
    found = goodness_of_fit(counts, p)
    reference = chisquare(counts.ravel(), p.ravel() * counts.sum())
    assert (found.statistic, found.p_value) == pytest.approx(tuple(reference), rel=1e-12)
    assert (found.df, found.pooled) == (3, 0)


@pytest.mark.parametrize(
    ("probabilities", "pooled", "groups"),
    [
        # Of 100 deals the cells expect 50, 40, 4, 4, 2: the three small ones pool to 10.
        ([0.5, 0.4, 0.04, 0.04, 0.02], 3, [[0], [1], [2, 3, 4]]),
        # 50, 44, 6 and 0: an impossible cell is dropped, a cell of six stands.
        ([0.5, 0.44, 0.06, 0.0, 0.0], 0, [[0], [1], [2]]),
        # 60, 30, 7, 2, 1: the pool expects three, so the next smallest joins it.
        ([0.6, 0.3, 0.07, 0.02, 0.01], 3, [[0], [1], [2, 3, 4]]),
    ],
)
def test_small_cells_are_pooled_as_the_rule_says(
    probabilities: list[float], pooled: int, groups: list[list[int]]
) -> None:
    counts = np.array([45, 41, 14, 0, 0])
    p = np.array(probabilities)
    found = goodness_of_fit(counts, p)
    seen = [counts[group].sum() for group in groups]
    expected = [100 * p[group].sum() for group in groups]
    assert min(expected) >= stats.SMALLEST_EXPECTED
    reference = chisquare(seen, expected)
    assert (found.statistic, found.p_value) == pytest.approx(tuple(reference), rel=1e-12)
    assert (found.df, found.pooled) == (len(groups) - 1, pooled)


def test_an_impossible_case_seen_fails_and_a_family_of_one_cell_has_nothing_to_test() -> None:
    assert goodness_of_fit([1, 50, 49], [0.0, 0.5, 0.5]).p_value == 0.0
    assert goodness_of_fit([3, 1], [0.5, 0.5]).p_value == 1.0


def test_false_alarms_come_at_their_stated_rate() -> None:
    # 60 cells, many of them small. Of 2,000 true families 5% should fall below p = 0.05: a
    # binomial count of mean 100 and standard deviation 9.7. Pooling leaves the smallest
    # expectation at 5, where chi-square is good to about half a percentage point (10 families),
    # so 100 +- 10 +- 4 x 9.7 is allowed: with the fixed seed, a change of the rule shows.
    p = np.random.Generator(np.random.PCG64(7)).dirichlet(np.full(60, 0.5))
    draws = np.random.Generator(np.random.PCG64(11)).multinomial(400, p, size=2000)
    low = sum(goodness_of_fit(counts, p).p_value < 0.05 for counts in draws)
    assert 51 <= low <= 149


def test_a_small_bias_in_a_large_family_is_found() -> None:
    counts = [51_500, 48_500, *[50_000] * 18]
    assert goodness_of_fit(counts, np.full(20, 0.05)).p_value < 1e-9


def test_independence_agrees_with_scipy_and_pools_the_smallest() -> None:
    table = np.array([[120, 80, 0, 7], [90, 110, 0, 3], [0, 0, 0, 0], [2, 1, 0, 0]])
    found = independence(table)
    # The row of three and the column of ten expect too few, one after the other.
    reference = chi2_contingency([[120, 87], [92, 114]], correction=False)
    assert found.statistic == pytest.approx(reference.statistic, rel=1e-12)
    assert found.p_value == pytest.approx(reference.pvalue, rel=1e-12)
    assert (found.df, found.pooled) == (1, 2)


@pytest.mark.parametrize("table", [np.zeros((3, 4)), [[0, 0], [3, 9]], [[1, 0], [0, 1]]])
def test_tables_with_nothing_to_compare_pass(table: ArrayLike) -> None:
    assert independence(table).p_value == 1.0


SHARES = np.array([0.2, 0.25, 0.1, 0.15, 0.05, 0.02, 0.2, 0.03])


def test_p_values_of_samples_with_the_same_shares_are_uniform() -> None:
    # 1,000 tables of 20 samples; Kolmogorov-Smirnov at 1e-6. With 20 x 7 degrees of freedom for
    # 19 x 7 the test fails.
    rng = np.random.default_rng(41)
    found = [independence(rng.multinomial(1_000, SHARES, 20)) for _ in range(1_000)]
    assert {test.df for test in found} == {19 * 7}
    assert kstest([test.p_value for test in found], "uniform").pvalue > 1e-6


def test_p_values_of_neighbours_in_a_series_are_uniform() -> None:
    # 1,000 series of 5,000 independent draws, each pair of successive ones counted: pairs overlap.
    # Kolmogorov-Smirnov at 1e-6.
    rng = np.random.default_rng(42)
    p_values = []
    for _ in range(1_000):
        series = rng.choice(len(SHARES), size=5_000, p=SHARES)
        pairs = np.bincount(len(SHARES) * series[:-1] + series[1:], minlength=len(SHARES) ** 2)
        p_values.append(independence(pairs.reshape(len(SHARES), -1)).p_value)
    assert kstest(p_values, "uniform").pvalue > 1e-6


@pytest.mark.parametrize(
    ("one", "other"), [(12, 4), (10, 4), (0, 5), (0, 6), (1_000, 1_090), (0, 0)]
)
def test_parts_as_by_the_exact_test_of_scipy(one: int, other: int) -> None:
    reference = one + other > 0 and binomtest(one, one + other, 0.5).pvalue < 0.05
    assert bool(stats.parts_differ(one, other)) == reference


def test_what_is_equal_is_distinguished_no_more_than_once_in_twenty_times() -> None:
    # 20,000 pairs: the standard deviation of their share is 0.0015, and four of them are allowed.
    rng = np.random.default_rng(18)
    parts = rng.multinomial(2_000, [0.1, 0.1, 0.8], 20_000).T
    assert stats.parts_differ(parts[0], parts[1]).mean() < 0.056
