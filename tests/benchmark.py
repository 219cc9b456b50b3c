"""Measure the speed of the study, as ratios within one run on one computer.

Run nothing else at the same time: ``python tests/benchmark.py``. Works timed side by side run in one
process, one thread, in turns; the figures are medians. The yardstick is NumPy's own shuffle of as
many packs, ``Generator.permuted`` along the rows of ``np.tile(np.arange(52))``, 64-bit numbers as
NumPy makes them, a block at a time. It depends on the computer: the same count was 0.25 of it on one
and 0.45 on another, so compare two editions on one computer. The aims are:

==============================================  ========
dealing, of the yardstick                       <= 0.10
the whole count, of the yardstick               <= 0.25
two workers, deals per second of one            >= 1.85
peak memory, 100 times the deals                <= 1.10
==============================================  ========
"""

import argparse
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from statistics import median

import numpy as np
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS, deal_block
from double_study.counting import run as study

SEED = 1
BLOCKS = study.BATCH_BLOCKS
TURNS = 15
WORKER_TURNS = 3
WORKER_DEALS = 20_000_000
MEMORY_DEALS = (1_000_000, 100_000_000)


def medians(works: dict[str, Callable[[], object]], turns: int) -> dict[str, float]:
    """Return the median of the seconds that each of ``works`` takes, timed in turns."""
    times: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(turns):
        for name, work in works.items():
            start = time.perf_counter()
            work()
            times[name].append(time.perf_counter() - start)
    return {name: median(taken) for name, taken in times.items()}


def speed() -> None:
    """Print dealing and the whole count as parts of the yardstick."""
    packs = np.tile(np.arange(52), (BLOCK_DEALS, 1))
    shuffle = np.random.default_rng(SEED)
    blocks = [(block, BLOCK_DEALS) for block in range(BLOCKS)]
    works: dict[str, Callable[[], object]] = {
        "yardstick": lambda: [shuffle.permuted(packs, axis=1) for _ in blocks],
        "dealing": lambda: [deal_block(SEED, block) for block, _ in blocks],
        "whole count": lambda: study.count_blocks(SEED, blocks, REFERENCE),
    }
    medians(works, 1)  # what is made once, such as the tables that hands are looked up in
    taken = medians(works, TURNS)
    for name in ("dealing", "whole count"):
        rate = BLOCKS * BLOCK_DEALS / taken[name]
        print(f"{name:12} {taken[name] / taken['yardstick']:.3f} ({rate:,.0f} deals a second)")


def workers() -> None:
    """Print how much faster two worker processes are than one."""

    def count(number: int) -> object:
        return study.count(WORKER_DEALS, SEED, REFERENCE, number, progress=False)

    taken = medians({"one": lambda: count(1), "two": lambda: count(2)}, WORKER_TURNS)
    print(f"two workers  {taken['one'] / taken['two']:.3f} times one")


def memory() -> None:
    """Print how much the peak memory grows from a short run to a long one."""
    short, long = (
        int(subprocess.check_output([sys.executable, __file__, "--peak", str(deals)]))  # noqa: S603
        for deals in MEMORY_DEALS
    )
    print(f"peak memory  {long / short:.3f} times for 100 times the deals ({long >> 20} MiB)")


def peak(deals: int) -> None:
    """Count, and print the peak memory of this process and of its largest worker, in bytes."""
    study.count(deals, SEED, REFERENCE, progress=False)
    who = resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN
    print(sum(resource.getrusage(one).ru_maxrss for one in who) * 1024)


def main() -> None:
    """Print the ratios asked for."""
    # Memory comes first, because a process that is started has at least the peak of its parent.
    parts = {"memory": memory, "speed": speed, "workers": workers}
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("parts", nargs="*", help=f"of {', '.join(parts)}; all by default")
    parser.add_argument("--peak", type=int, metavar="DEALS", help="what the memory part runs")
    options = parser.parse_args()
    if options.peak:
        peak(options.peak)
        return
    for name, part in parts.items():
        if not options.parts or name in options.parts:
            part()


if __name__ == "__main__":
    main()
