"""``double-study compare``: several agreements on the same deals, differences and what hands did."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator, Sequence

import pandas as pd

from analysis.agreements.agreement import load
from analysis.commands.options import SHIPPED_NAMES, add_run_options
from analysis.comparing.agreements import Comparison, compare
from analysis.statistics.intervals import CONFIDENCE, ESTIMATE
from analysis.telling.tables.agreements import (
    DIFFERENCE,
    doubles_compared,
    fits_compared,
    instead,
    no_longer_reached,
)

NAME = "compare"
HELP = "bid the same deals by several agreements: differences, and what hands did instead"
EXAMPLE = "compare reference values_6_8_9_10"

COMPARE_DEALS = 1_000_000
_SHARES = (*ESTIMATE.columns, *DIFFERENCE.columns)


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    parser.add_argument(
        "agreements",
        metavar="FILE.toml",
        nargs="+",
        type=load,
        help="two or more agreements, of which the first is compared with each of the others: "
        f"a file, or {SHIPPED_NAMES}",
    )
    add_run_options(parser, COMPARE_DEALS)


def run(options: argparse.Namespace) -> int:
    """Deal, bid by each, and print; nothing is written to disk."""
    comparisons = compare(options.agreements, options.deals, options.seed, options.workers)
    print("\n".join(_lines(comparisons, options.seed)))
    return 0


def _lines(comparisons: Sequence[Comparison], seed: int) -> Iterator[str]:
    first = comparisons[0].first.name
    yield (
        f"{comparisons[0].deals} deals, seed {seed}, each bid by every agreement; "
        f"{CONFIDENCE:.0%} intervals, pointwise: Wilson's for a share, Newcombe's paired one for a "
        f"difference from {first}"
    )
    yield from _table("deals doubled", doubles_compared(comparisons))
    for comparison in comparisons:
        for one in (comparison, comparison.reversed()):
            if one.doubles.first_only:
                title = f"what the doubles of {one.first.name} came to under {one.second.name}"
                yield from _table(title, instead(one))
    unreached = no_longer_reached(comparisons)
    if not unreached.empty:
        yield from _table(f"deals that come to a responder under {first} alone", unreached)
    yield from _table(
        "deals with eight cards or more in an unbid major that the responder's call neither bids "
        "nor shows",
        fits_compared(comparisons),
    )


def _table(title: str, table: pd.DataFrame) -> Iterator[str]:
    shown = [column for column in _SHARES if column in table]
    forms: dict[str, Callable[[object], str]] = {
        column: ("{:+.6f}" if column in DIFFERENCE.columns else "{:.6f}").format for column in shown
    }
    yield f"\n{title}"
    yield table.to_string(index=False, formatters=forms)
