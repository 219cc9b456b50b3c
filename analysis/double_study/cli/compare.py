"""Bid the same deals under several agreements; print how they differ and what hands did instead."""

import argparse
from collections.abc import Iterator, Sequence
from textwrap import wrap

import pandas as pd

from double_study.agreements.reader import differences_in_words, load
from double_study.cli.options import SHIPPED_NAMES, add
from double_study.columns import COLUMNS
from double_study.comparing import Comparison, compare
from double_study.rules.explain import WIDTH
from double_study.stats import CONFIDENCE
from double_study.table_format import terminal_table
from double_study.tables_compared import doubles_compared, fits_compared, instead, no_longer_reached

EXAMPLE = "compare reference values_6_8_9_10"


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "agreements",
        metavar="FILE.toml",
        nargs="+",
        type=load,
        help="agreements, two or more, of which the first is compared with each of the others; each is "
        f"a file, or {SHIPPED_NAMES}",
    )
    add(parser, "deals seed workers", deals=10_000_000)


def run(options: argparse.Namespace) -> None:
    comparisons = compare(options.agreements, options.deals, options.seed, options.workers)
    print("\n".join(_lines(comparisons, options.seed)))


def _lines(comparisons: Sequence[Comparison], seed: int) -> Iterator[str]:
    base = comparisons[0].first
    doubles = doubles_compared(comparisons)
    first, *others = doubles.to_dict("records")
    paragraphs = [
        f"Under {base.name} the responder doubles on {COLUMNS['estimate'].of(first)} of all deals."
    ]
    for comparison, row in zip(comparisons, others, strict=True):
        differs = "; ".join(differences_in_words(comparison.second, base)) or "nothing"
        often = "as often"
        if row["difference"]:
            more = "more" if row["difference"] > 0 else "less"
            often = f"{more} often: {COLUMNS['difference'].of(row)} percentage points"
        said = f"Under {row['agreement']}, on the same deals, the responder doubles {often}."
        paragraphs.append(f"{said} The agreement differs in: {differs}.")
    brackets = f"In brackets: {CONFIDENCE:.0%} intervals, each for its own number."
    paragraphs.append(f"{comparisons[0].deals:,} deals, seed {seed}. {brackets}")
    for paragraph in paragraphs:
        yield from wrap(paragraph, WIDTH)
    yield from _table("Deals doubled", doubles)
    for comparison in comparisons:
        for one in (comparison, comparison.reversed()):
            if one.doubles.first_only:
                title = f"What the doubles of {one.first.name} came to under {one.second.name}"
                yield from _table(title, instead(one))
    unreached = no_longer_reached(comparisons)
    if not unreached.empty:
        yield from _table(f"Deals that come to a responder under {base.name} alone", unreached)
    shown = "that the responder's call neither bids nor shows"
    title = f"Deals with eight cards or more in an unbid major {shown}"
    yield from _table(title, fits_compared(comparisons))


def _table(title: str, table: pd.DataFrame) -> Iterator[str]:
    yield from ("", title, *terminal_table(table))
