"""Count deals and compare every count with its exact value."""

import argparse
from collections.abc import Callable

import pandas as pd

from double_study.checking.families import FALSE_ALARM, counterparts, families, joint_tests
from double_study.cli.exact import compute_exact
from double_study.cli.main import FAILED
from double_study.cli.options import add
from double_study.columns import ABSENT, COLUMNS
from double_study.counting import run as study
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
    print(_tests(tests))
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
    left_out = len(rows) - ROWS
    farthest = rows["p_value"].sort_values(kind="stable").index[:ROWS].sort_values()
    shown = rows.loc[
        farthest, ["case", "deals", "of", "exact", *COLUMNS["estimate"].columns, "z", "p_value"]
    ]
    forms: dict[str, Callable[[object], str]] = dict.fromkeys(
        ("exact", *COLUMNS["estimate"].columns), "{:.6f}".format
    )
    forms |= {"z": "{:+.2f}".format, "p_value": "{:.2g}".format}
    text = shown.to_string(index=False, formatters=forms, na_rep=ABSENT)
    return text + (
        f"\n({left_out} more cells, which are closer to their exact values)" if left_out > 0 else ""
    )


def _tests(tests: pd.DataFrame) -> str:
    forms: dict[str, Callable[[object], str]] = {
        "statistic": "{:.2f}".format,
        "p_value": "{:.3g}".format,
        "df": "{:,}".format,
        "passes": lambda passes: "passes" if passes else "FAILS",
    }
    return tests.to_string(index=False, formatters=forms)
