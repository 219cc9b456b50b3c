"""Stopping where shares are precise: when, and what looking does to their intervals."""

from collections.abc import Callable

import numpy as np
from double_study.counting.stopping import Precision, looks
from double_study.counting.tally import Tally
from double_study.stats import wilson
from numpy.typing import NDArray
from scipy import stats

RUNS = 20_000
Array = NDArray[np.float64]


def tally(met: list[int], of: list[int]) -> Tally:
    return Tally(sum(of), {"asked": np.array([np.subtract(of, met), met])})


def test_the_widest_share_decides_and_shares_of_nothing_do_not() -> None:
    low, high = wilson([300, 30], [1000, 1000])
    widest = float(((high - low) / 2 / np.array([0.3, 0.03]))[1])
    for met, of in (([300, 30], [1000, 1000]), ([300, 30, 0], [1000, 1000, 500])):
        assert Precision("asked", widest * 1.001).reached(tally(met, of))
        assert not Precision("asked", widest * 0.999).reached(tally(met, of))
    # Of nothing, nothing is known.
    assert not Precision("asked", 0.9).reached(tally([0], [1000]))


def test_looks_are_a_quarter_apart_and_end_where_they_must() -> None:
    assert list(looks(0, 60)) == [20, 25, 31, 38, 47, 58, 60]
    assert list(looks(32, 60)) == [38, 47, 58, 60]
    assert list(looks(60, 60)) == list(looks(0, 60))[-1:]
    assert list(looks(0, 7)) == [7]


def stopped(
    share: float, trials: int, wide: Callable[[Array, Array], NDArray[np.bool_]]
) -> tuple[Array, Array]:
    """Return the hits and trials of 20,000 runs that stop at the first look where no longer ``wide``.

    ``trials`` a block; ``wide`` takes estimate and half-width.
    """
    rng = np.random.default_rng(1965)
    met, of = np.zeros(RUNS), np.zeros(RUNS)
    going, before = np.ones(RUNS, dtype=bool), 0
    for look in looks(0, 100_000):
        more = rng.binomial((look - before) * trials, share, RUNS)
        met, of = np.where(going, met + more, met), np.where(going, look * trials, of)
        before = look
        low, high = wilson(met, of)
        going &= wide(met / of, (high - low) / 2)
        if not going.any():
            break
    assert len(np.unique(of)) >= 2
    return met, of


def coverage(share: float, met: Array, of: Array) -> float:
    low, high = wilson(met, of)
    return float(((low <= share) & (share <= high)).mean())


def test_looking_leaves_the_interval_its_coverage() -> None:
    """Runs of a share of 3% to a relative half-width of 5%, three or more looks apart.

    The coverage of a right 95% interval on so many runs lies within 0.5 points with chance 0.999
    (3.29 standard deviations of 0.154 points); the stated overestimate, (0.05 / 1.96)^2 = 0.065%,
    is allowed four times over, and its standard error is 0.018%.
    """
    share = 0.03
    met, of = stopped(share, 500, lambda estimate, half: half > 0.05 * estimate)  # some 100 blocks
    covered = coverage(share, met, of)
    assert abs(covered - 0.95) < stats.norm.isf(0.0005) * np.sqrt(0.95 * 0.05 / RUNS)
    assert 0 < (met / of).mean() / share - 1 < 4 * (0.05 / 1.96) ** 2
