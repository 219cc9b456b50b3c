"""``double-study count``: deal, bid, count, and write the tables."""

from __future__ import annotations

import argparse

from analysis.commands.counting import add_count_options, count_run
from analysis.commands.options import add_agreement_option, add_out_option
from analysis.runtime.staging import checked_folder, staged
from analysis.telling.tables.files import TABLES_FOLDER
from analysis.telling.tables.writing import write_tables

NAME = "count"
HELP = "count deals and write the tables"
EXAMPLE = "count --deals 5e6 --seed 7 --out my_count"


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_count_options(parser)
    add_agreement_option(parser)
    add_out_option(parser)


def run(options: argparse.Namespace) -> int:
    """Count, then write; nothing is written unless the count is complete."""
    out = checked_folder(options.out)
    run = count_run(options)
    with staged(out) as stage:
        write_tables(stage / TABLES_FOLDER, run)
    print(f"{run.tally.deals} deals counted; tables in {out / TABLES_FOLDER}")
    return 0
