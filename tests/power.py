"""Measure the power of the check: the size of each fault that it finds nine times in ten.

``python tests/power.py`` plants each fault of :mod:`tests.shared.faults`, finds that size for two
lengths of run and writes ``analysis/checking/power.csv``, which page 06 shows; some ten minutes.

A fault shows in a share of the places where it could. From a few runs with a share that is easily
seen, the script measures how far the family that sees the fault best is moved, and works out the
share that moves it far enough, by the law that the family's test follows: for a chi-square the
noncentrality grows with the deals and with the square of the share; for a spread chi-square itself
grows with the share, whatever the deals; deals that are faults one by one grow with the share. Then
it plants the fault at that share in runs of the shorter length and counts how often the check, all
families together, finds it: that is in the table, too, and should be about nine times in ten.
"""

from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from unittest.mock import patch

import numpy as np
import pandas as pd
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS
from double_study.checking.families import FALSE_ALARM, Family, families, joint_tests
from double_study.checking.power import DEALS, FILE, SHARES
from double_study.counting import run as study
from double_study.counting.tally import KEPT_SHARE
from double_study.tables import Run
from scipy.optimize import brentq
from scipy.stats import chi2, ncx2
from shared import faults
from shared.faults import Fault

POWER = 0.9
MEASURED, PLANTED = 3, 20
"""Runs from which a share is computed, and runs in which it is planted."""


@dataclass(frozen=True)
class Law:
    """How a family's test moves: ``size`` from runs that were measured, ``share`` from that size."""

    size: Callable[[list[Family], float], float]
    share: Callable[[float, int, float, int], float]
    """From size, degrees of freedom, level and the length of the run over that measured."""


def _mean(values: Iterable[float]) -> float:
    return float(np.mean([*values]))


def _mean_statistic(seen: list[Family]) -> float:
    return _mean(family.joint.statistic for family in seen)


def _chi_square(size: float, df: int, level: float, times: int) -> float:
    fails = chi2.isf(level, df)
    needed = brentq(lambda moved: ncx2.sf(fails, df, moved) - POWER, 1e-3, 1e4)
    return float(np.sqrt(needed / (size * times)))


def _spread(size: float, df: int, level: float, _: int) -> float:
    return float((chi2.isf(level, df) / chi2.ppf(1 - POWER, df) - 1) / size)


def _one_by_one(size: float, _: int, __: float, ___: int) -> float:
    return float(-np.log(1 - POWER) / size)


CHI_SQUARE = Law(lambda seen, at: (_mean_statistic(seen) - seen[0].joint.df) / at**2, _chi_square)
SPREAD = Law(lambda seen, at: (_mean_statistic(seen) / seen[0].joint.df - 1) / at, _spread)
ONE_BY_ONE = Law(lambda seen, at: _mean(f.counts.sum() for f in seen) / at, _one_by_one)
# Known without any run: the fingerprints saved of a block.
KEPT_OF_BLOCK = Law(lambda seen, at: BLOCK_DEALS / KEPT_SHARE, _one_by_one)

FAULTS: tuple[tuple[Callable[[float], Fault], str, float, Law], ...] = (
    (faults.heavy_card, "cards by seat", 0.05, CHI_SQUARE),
    (faults.stuck_bit, "cards by seat", 0.02, CHI_SQUARE),
    (faults.repeated_block, "deals that came twice", 1.0, KEPT_OF_BLOCK),
    (faults.turned_blocks, "stages by stretch", 1.0, SPREAD),
    (faults.shared_halving, "stages of neighbours", 0.1, CHI_SQUARE),
    *(
        (partial(faults.high_threshold, seat=seat), "calls deal by deal", 1.0, ONE_BY_ONE)
        for seat in (1, 2, 3, 4)
    ),
)
"""What plants a fault in a share of the places, the family that sees it best, a share easily seen."""


def told(plant: Callable[[float], Fault]) -> str:
    """Return a fault in words, those of its docstring."""
    whole = plant if isinstance(plant, partial) else partial(plant)
    words = str(whole.func.__doc__).format(**whole.keywords).rstrip(".")
    return words[0].lower() + words[1:]


def found(fault: Fault, deals: int, seed: int) -> list[Family]:
    """Return the families of a run with the fault in it."""
    with patch.object(fault.module, fault.name, fault.instead):
        tally = study.count(deals, seed, REFERENCE, workers=1, progress=False)
        return families(Run.of(tally, seed, REFERENCE))


def row(number: int) -> dict[str, str]:
    """Return the row of the table for one fault."""
    plant, seen_by, at, law = FAULTS[number]
    shorter = DEALS[0]
    runs = [found(plant(at), shorter, 1_000 * number + run) for run in range(MEASURED)]
    seen = [family for run in runs for family in run if family.name == seen_by]
    level = FALSE_ALARM / len(runs[0])
    size, df = law.size(seen, at), seen[0].joint.df
    shares = [law.share(size, df, level, deals // shorter) for deals in DEALS]
    seeds = range(1_000 * number + 500, 1_000 * number + 500 + PLANTED)
    tests = (joint_tests(found(plant(shares[0]), shorter, seed)) for seed in seeds)
    fails = [not each["passes"].all() for each in tests]
    return (
        {"fault": told(plant), "seen_by": seen_by}
        | {column: f"{share:.2g}" for column, share in zip(SHARES, shares, strict=True)}
        | {"found": str(sum(fails)), "of_runs": str(PLANTED)}
    )


def main() -> None:
    """Write the table."""
    with ProcessPoolExecutor() as pool:
        rows = list(pool.map(row, range(len(FAULTS))))
    pd.DataFrame(rows).to_csv(FILE, index=False, lineterminator="\n")


if __name__ == "__main__":
    main()
