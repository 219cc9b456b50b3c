"""Count deals and compare every count with its exact value."""

import argparse

import pandas as pd

from double_study.checking.families import FALSE_ALARM, counterparts, families, joint_tests
from double_study.cli.exact import compute_exact
from double_study.cli.main import FAILED
from double_study.cli.options import add
from double_study.counting import run as study
from double_study.table_format import terminal_table
from double_study.tables import Run

EXAMPLE = "check --deals 4e6"

ROWS = 12
"""Cells shown per family; of a larger family, those with the smallest p-values."""


def add_options(parser: argparse.ArgumentParser) -> None:
    add(parser, "deals seed workers no-exact agreement", deals=4_000_000)


def run(options: argparse.Namespace) -> int:
    exact = None if options.no_exact else compute_exact(options.agreement, options.workers)
    tally = study.count(options.deals, options.seed, options.agreement, options.workers)
    found = families(Run.of(tally, options.seed, options.agreement, exact))
    tests, table = joint_tests(found), counterparts(found)
    failed = tests.loc[~tests["passes"], "family"].to_list()
    print(_verdict(failed, len(tests), int(tests["cells"].sum())))
    print(
        f"{tally.deals:,} deals, seed {options.seed}; a correct study fails about once in "
        f"{1 / FALSE_ALARM:,.0f} checks.\n"
    )
    print("\n".join(terminal_table(tests)))
    for name, rows in table.groupby("family", sort=False):
        print(f"\n{name}\n{_shown(rows)}")
    return FAILED if failed else 0


def _verdict(failed: list[str], families: int, cells: int) -> str:
    if failed:
        return (
            f"FAILED: {', '.join(failed)}. Of the {families} families of counts, these differ from their "
            "exact values by more than chance allows."
        )
    return (
        f"Passed: all {families} families of counts ({cells:,} cells) agree with their exact values as "
        "closely as chance allows."
    )


def _shown(rows: pd.DataFrame) -> str:
    farthest = rows["p_value"].sort_values(kind="stable").index[:ROWS].sort_values()
    lines = terminal_table(rows.loc[farthest].drop(columns="family"))
    if (left_out := len(rows) - ROWS) > 0:
        lines.append(f"({left_out} more cells, which are closer to their exact values)")
    return "\n".join(lines)
