"""``double-study exact``: write the exact probabilities."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tqdm import tqdm

from double_study.agreements.reader import Agreement, load, shipped
from double_study.cli.options import (
    add_agreement_option,
    add_force_option,
    add_out_option,
    refuse_to_overwrite,
)
from double_study.combinatorics.cache import EXACT_SOURCES, trouble
from double_study.combinatorics.table import (
    Progress,
    compute_responder_calls,
    doubles_table,
    exact_table,
    others,
    others_calls,
    up_to_response,
)
from double_study.comparing import steps
from double_study.counting.run import ExactUsed
from double_study.datapackage import TABLES_FOLDER, as_csv
from double_study.escape import terminal
from double_study.files import staged

NAME = "exact"
HELP = "write the exact probabilities, first seat"
EXAMPLE = "exact --out my_exact"
FILE = Path(TABLES_FOLDER, "exact.csv")
DOUBLES_FILE = Path(TABLES_FOLDER, "exact_doubles.csv")
"""The double by message, reason and opener's cards in the promised suit."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_agreement_option(parser)
    add_out_option(parser, "exact_values")
    add_force_option(parser)


def run(options: argparse.Namespace) -> int:
    """Work out the table, with the responder's calls, then write it."""
    refuse_to_overwrite(options, [FILE, DOUBLES_FILE])
    with staged(options.out) as stage:
        worked_out(options.agreement)
        table, doubles = (
            exact_table(options.agreement, calls=True),
            doubles_table(options.agreement),
        )
        (stage / TABLES_FOLDER).mkdir()
        (stage / FILE).write_bytes(as_csv(table))
        (stage / DOUBLES_FILE).write_bytes(as_csv(doubles))
    file = terminal(str(options.out / FILE))
    print(f"{len(table)} exact probabilities; tables in {file} and {DOUBLES_FILE.name}")
    return 0


def add_no_exact_option(parser: argparse.ArgumentParser) -> None:
    """``--no-exact``."""
    parser.add_argument(
        "--no-exact",
        action="store_true",
        help="do not work out the responder's calls exactly, a minute and more for two processors "
        "where it was not done before; the pages then say so",
    )


def say_what_is_not_kept() -> None:
    """In one line on standard error, if exact values cannot be kept for the next run."""
    if why := trouble():
        print(terminal(why), file=sys.stderr)


def worked_out(
    agreement: Agreement, workers: int | None = None, compared: bool = False
) -> ExactUsed:
    """Work out the responder's calls unless they are kept, with a bar of progress.

    ``compared``: those of the other agreements that come with the study, too.
    """
    say_what_is_not_kept()
    began = time.perf_counter()
    with _bar("exact values") as show:
        # Those that differ in the responder's settings alone need no counts of their own.
        alike = [*(step.agreement for step in steps(agreement)), *map(load, shipped())]
        compute_responder_calls(agreement, workers, show, alike)
    beside = others(agreement) if compared else []
    if compared:
        with _bar("exact values of other agreements") as show:
            others_calls(agreement, workers, show)
    return ExactUsed(
        up_to_response(agreement).digest,
        EXACT_SOURCES,
        {other.name: up_to_response(other).digest for other in beside},
        round(time.perf_counter() - began, 1),
    )


@contextmanager
def _bar(text: str) -> Iterator[Progress]:
    with tqdm(desc=text, unit=" parts", leave=False) as bar:

        def show(done: int, of: int) -> None:
            bar.total = of
            bar.update(done - bar.n)

        yield show
