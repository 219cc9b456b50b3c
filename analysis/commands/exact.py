"""``double-study exact``: write the exact probabilities."""

from __future__ import annotations

import argparse

from analysis.commands.options import add_agreement_option, add_out_option
from analysis.exact.table import exact_table
from analysis.output import checked_folder, staged

NAME = "exact"
HELP = "write the exact probabilities, first seat"
FILE = "exact.csv"
FULL_PRECISION = "%.17g"
"""The shortest format from which every float64 is read back as it was."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_agreement_option(parser)
    add_out_option(parser)


def run(options: argparse.Namespace) -> int:
    """Work out the table, then write it."""
    out = checked_folder(options.out)
    table = exact_table(options.agreement)
    with staged(out) as stage:
        (stage / "tables").mkdir()
        table.to_csv(stage / "tables" / FILE, index=False, float_format=FULL_PRECISION)
    print(f"{len(table)} exact probabilities; table in {out / 'tables' / FILE}")
    return 0
