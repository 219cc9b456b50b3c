"""``double-study exact``: write the exact probabilities."""

from __future__ import annotations

import argparse
from pathlib import Path

from tqdm import tqdm

from analysis.commands.options import add_agreement_option, add_out_option
from analysis.exact.table import exact_table, responders_calls
from analysis.output import checked_folder, staged
from analysis.sweep import steps
from analysis.tables.files import TABLES_FOLDER
from analysis.tables.writing import as_csv

NAME = "exact"
HELP = "write the exact probabilities, first seat"
FILE = Path(TABLES_FOLDER, "exact.csv")


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
    table = exact_table(options.agreement)
    with staged(out) as stage:
        (stage / FILE.parent).mkdir()
        (stage / FILE).write_bytes(as_csv(table))
    print(f"{len(table)} exact probabilities; table in {out / FILE}")
    return 0
