"""``double-study exact``: write the exact probabilities."""

from __future__ import annotations

import argparse
from pathlib import Path

from tqdm import tqdm

from analysis.commands.options import add_agreement_option, add_out_option
from analysis.comparing.settings_moved import steps
from analysis.errors import Failure
from analysis.exact.cache import folder
from analysis.exact.table import doubles_table, exact_table, responders_calls
from analysis.runtime.staging import checked_folder, staged
from analysis.telling.tables.files import TABLES_FOLDER
from analysis.telling.tables.writing import as_csv

NAME = "exact"
HELP = "write the exact probabilities, first seat"
EXAMPLE = "exact --out my_exact"
FILE = Path(TABLES_FOLDER, "exact.csv")
DOUBLES_FILE = Path(TABLES_FOLDER, "exact_doubles.csv")
"""The double by message, reason and opener's cards in the promised suit."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_agreement_option(parser)
    add_out_option(parser)


def run(options: argparse.Namespace) -> int:
    """Work out the table, with the responder's calls, then write it."""
    out = checked_folder(options.out)
    with tqdm(unit=" counts") as bar:

        def show(done: int, of: int) -> None:
            bar.total = of
            bar.update(done - bar.n)

        # The responder's settings moved by one need no counts of their own.
        moved = [step.agreement for step in steps(options.agreement)]
        responders_calls(options.agreement, progress=show, also=moved)
    table, doubles = exact_table(options.agreement), doubles_table(options.agreement)
    if doubles is None:
        raise Failure(f"the exact tables could not be kept in {folder()}; is there room to write?")
    with staged(out) as stage:
        (stage / FILE.parent).mkdir()
        (stage / FILE).write_bytes(as_csv(table))
        (stage / DOUBLES_FILE).write_bytes(as_csv(doubles))
    print(f"{len(table)} exact probabilities; tables in {out / FILE} and {DOUBLES_FILE.name}")
    return 0
