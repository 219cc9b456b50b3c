"""``double-study check``: count deals and hold every count against its exact value."""

from __future__ import annotations

import argparse

import pandas as pd

from analysis.checking.comparison import (
    DF,
    FALSE_ALARM,
    P_VALUE,
    PASSES,
    STATISTIC,
    families,
    joint_tests,
    twins,
)
from analysis.checking.family import CASE, EXACT, FAMILY, OF, Z
from analysis.commands.options import add_agreement_option, add_run_options
from analysis.counting import sampling as study
from analysis.counting.run import Run
from analysis.counting.tally import DEALS
from analysis.statistics.intervals import ESTIMATE, HIGH, LOW

NAME = "check"
HELP = "hold counted deals against exact values"
EXAMPLE = "check --deals 4e6"
FAILED = 1

CHECK_DEALS = 4_000_000
ROWS = 12
"""Cells shown of a family: where it has more, those whose z is farthest from 0."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_run_options(parser, CHECK_DEALS)
    add_agreement_option(parser)


def run(options: argparse.Namespace) -> int:
    """Count, print the table of twins, and return 1 if a family fails."""
    tally = study.count(options.deals, options.seed, options.agreement, options.workers)
    found = families(Run.of(tally, options.seed, options.agreement))
    tests, table = joint_tests(found), twins(found)
    for name, rows in table.groupby(FAMILY, sort=False):
        print(f"{name}\n{_shown(rows)}\n")
    print(_verdicts(tests))
    failed = tests.loc[~tests[PASSES], FAMILY].to_list()
    print(
        f"\n{len(tests)} families of {len(table)} cells on {tally.deals} deals, seed {options.seed}; "
        f"a machine that is right fails at most once in {1 / FALSE_ALARM:,.0f} checks"
    )
    print(f"FAILED: {', '.join(failed)}" if failed else "every family passes")
    return FAILED if failed else 0


def _shown(rows: pd.DataFrame) -> str:
    left_out = len(rows) - ROWS
    farthest = rows[Z].abs().sort_values(ascending=False).index[:ROWS]
    text = rows.loc[
        farthest.sort_values(), [CASE, DEALS, OF, EXACT, ESTIMATE, LOW, HIGH, Z]
    ].to_string(
        index=False,
        formatters={column: "{:.6f}".format for column in (EXACT, ESTIMATE, LOW, HIGH)}
        | {Z: "{:+.2f}".format},
    )
    more = (
        f"\n({left_out} more cells, nearer to their exact values or too rare for a z)"
        if left_out > 0
        else ""
    )
    return text + more


def _verdicts(tests: pd.DataFrame) -> str:
    shown = tests.assign(verdict=tests[PASSES].map({True: "passes", False: "FAILS"}))
    return shown.drop(columns=PASSES).to_string(
        index=False,
        formatters={STATISTIC: "{:.2f}".format, P_VALUE: "{:.3g}".format, DF: "{:,}".format},
    )
