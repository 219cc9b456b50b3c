"""``double-study count``: deal, bid, count, and write the tables."""

from __future__ import annotations

import argparse

from double_study.cli.options import (
    RECORD,
    add_agreement_option,
    add_count_options,
    add_force_option,
    add_out_option,
    count_run,
    refuse_to_overwrite,
    staged_run,
)
from double_study.datapackage import TABLES_FOLDER, write_tables
from double_study.escape import terminal

NAME = "count"
HELP = "count deals and write the tables"
EXAMPLE = "count --deals 5e6 --seed 7 --out my_count"


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_count_options(parser)
    add_agreement_option(parser)
    add_out_option(parser, "counted")
    add_force_option(parser)


def run(options: argparse.Namespace) -> int:
    """Count, then write; nothing is written unless the count is complete."""
    refuse_to_overwrite(options, [RECORD])
    with staged_run(options.out) as stage:
        run = count_run(options)
        write_tables(stage / TABLES_FOLDER, run)
    tables = terminal(str(options.out / TABLES_FOLDER))
    print(f"{run.tally.deals} deals counted; tables in {tables}")
    return 0
