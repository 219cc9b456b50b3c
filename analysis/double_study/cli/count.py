"""Deal, bid, count, and write the tables; nothing is written unless the count is complete."""

import argparse

from double_study.cli import options as shared
from double_study.counting.run import DEFAULT_DEALS
from double_study.datapackage import TABLES_FOLDER, write_tables
from double_study.escape import terminal

EXAMPLE = "count --deals 5e6 --seed 7 --out my_count"


def add_options(parser: argparse.ArgumentParser) -> None:
    names = "deals seed workers store cluster agreement out force"
    shared.add(parser, names, deals=DEFAULT_DEALS, out="counted")


def run(options: argparse.Namespace) -> None:
    with shared.staged_run(options.out) as stage:
        shared.refuse_to_overwrite(options, [shared.RECORD])
        run = shared.count_run(options)
        write_tables(stage / TABLES_FOLDER, run)
    tables = terminal(str(options.out / TABLES_FOLDER))
    print(f"Counted {run.tally.deals} deals. The tables are in {tables}; start with calls.csv.")
