"""Write the exact probabilities of openings, overcalls and the responder's calls."""

import argparse
import sys
import time
from pathlib import Path

from tqdm import tqdm

from double_study.agreements.reader import Agreement, load, shipped
from double_study.cli.options import add, refuse_to_overwrite
from double_study.combinatorics import table as exact_side
from double_study.combinatorics.cache import EXACT_SOURCES, trouble
from double_study.comparing import steps
from double_study.counting.record import ExactUsed
from double_study.datapackage import TABLES_FOLDER, as_csv
from double_study.escape import terminal
from double_study.files import staged

EXAMPLE = "exact --out my_exact"
FILE = Path(TABLES_FOLDER, "exact.csv")
DOUBLES_FILE = Path(TABLES_FOLDER, "exact_doubles.csv")
"""Table of the doubles by message, reason and opener's cards in the promised suit."""


def add_options(parser: argparse.ArgumentParser) -> None:
    add(parser, "agreement out force", out="exact_values")


def run(options: argparse.Namespace) -> None:
    with staged(options.out) as stage:
        refuse_to_overwrite(options, [FILE, DOUBLES_FILE])
        compute_exact(options.agreement)
        table = exact_side.exact_table(options.agreement, calls=True)
        (stage / TABLES_FOLDER).mkdir()
        (stage / FILE).write_bytes(as_csv(table))
        (stage / DOUBLES_FILE).write_bytes(as_csv(exact_side.doubles_table(options.agreement)))
    file = terminal(str(options.out / FILE))
    print(
        f"Wrote {len(table)} exact probabilities to {file}. The doubles by reason are in "
        f"{DOUBLES_FILE.name} there."
    )


def warn_if_not_cached() -> None:
    """Warn on standard error, in one line, if exact values cannot be cached for the next run."""
    if why := trouble():
        print(terminal(why), file=sys.stderr)


def compute_exact(agreement: Agreement, workers: int | None = None) -> ExactUsed:
    """Compute the responder's calls unless they are cached, with a progress bar."""
    warn_if_not_cached()
    start = time.perf_counter()
    with tqdm(desc="exact values", unit=" parts", leave=False) as bar:

        def show(done: int, of: int) -> None:
            bar.total = of
            bar.update(done - bar.n)

        # Agreements that differ only in the responder's settings share one count of hands.
        alike = [*(step.agreement for step in steps(agreement)), *map(load, shipped())]
        exact_side.compute_responder_calls(agreement, workers, show, alike)
    seconds = round(time.perf_counter() - start, 1)
    return ExactUsed(exact_side.up_to_response(agreement).digest, EXACT_SOURCES, seconds)
