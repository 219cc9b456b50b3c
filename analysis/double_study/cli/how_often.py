"""Answer "how often ...?" about the deals on which one side opens one of a suit and the next hand
overcalls in a suit.

A condition is text in quotes, such as "call == 'double' and level == 1". It may contain columns,
numbers, quoted names of categories, + and -, comparisons, in with a list, and, or, not, and
parentheses. If the auction never reached the call that a comparison is about, the comparison is false.
"""

import argparse
from collections.abc import Iterator, Sequence
from textwrap import wrap

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study import how_often as on
from double_study.api import answered_by, counted, exact_shares
from double_study.cli.exact import compute_exact
from double_study.cli.options import Options, add, whole_number
from double_study.counting.record import current_commit
from double_study.counting.run import MAX_DEALS
from double_study.counting.stopping import Precision
from double_study.escape import terminal
from double_study.rules.explain import WIDTH
from double_study.rules.terms import TERMS
from double_study.sources import version
from double_study.stats import with_intervals
from double_study.table_format import terminal_table

EXAMPLE = 'how-often "call == \'double\'" --given "level == 1"'  # in one line of help, to be pasted
DEALS = 10_000_000
# fmt: off
_OPTIONS: Options = {
    "given": ("CONDITION", str, "count only the deals that meet this condition (default: all)"),
    "by": ("COLUMN,...", str, "give one answer for each value of these columns"),
    "deals": ("N", whole_number(1, MAX_DEALS),
              f"number of deals (default: {DEALS}, or with --to as many as needed)"),
}
# fmt: on


def add_options(parser: argparse.ArgumentParser) -> None:
    condition = "condition to find the frequency of, in quotes"
    parser.add_argument("what", metavar="CONDITION", help=condition)
    add(parser, "given by deals seed agreement workers cluster store to", _OPTIONS)
    of_auction = [name for name in on.FIELDS if name.partition("_")[2] not in TERMS]
    of_hands = [name for name in on.FIELDS if name.startswith("responder_")]
    parser.description = (
        f"{parser.description} The columns: {', '.join([*of_auction, *of_hands])}. Those of the "
        "responder, except the last, exist for the opener, the overcaller and the fourth hand "
        "(advancer) as well. help(double_study) in Python explains the columns."
    )


def run(options: argparse.Namespace) -> None:
    what = on.checked(options.what, "CONDITION") or ""
    given = on.checked(options.given, "--given")
    by = on.checked_by(options.by.split(",") if options.by is not None else (), "--by")
    asked = on.field_count(by, given, what)
    exactly = answered_by(what, by, given)
    if exactly == "calls":
        compute_exact(options.agreement, options.workers)
    precision = Precision(asked.name, options.to) if options.to else None
    deals = options.deals or (MAX_DEALS if precision else DEALS)
    where, more = (options.workers, options.cluster), dict(store=options.store, precision=precision)
    tally = counted(asked, deals, options.seed, options.agreement, *where, progress=True, **more)
    lines = wrap(on.answer(asked, tally[asked.name], tally.deals), WIDTH)
    if by:
        lines += ["", *_table(asked, tally[asked.name])]
    if exactly:
        table = exact_shares(exactly, what, by, given or "", options.agreement)
        lines += ["", *_exact(table, by)]
    if precision:
        reached = "reached" if precision.reached(tally) else "not reached in these deals"
        said = f"Precision (half of each interval at most {options.to:g} of its share): {reached}."
        lines += ["", said]
    lines += ["", *_citation(options, tally.deals)]
    print("\n".join(terminal(line) for line in lines))


def _table(asked: on.FieldCount, counts: NDArray[np.int64]) -> list[str]:
    met, of = counts[1].ravel(), counts.sum(axis=0).ravel()
    seen = np.flatnonzero(of)
    table = asked.frame(seen).assign(deals=met[seen], of=of[seen])
    return terminal_table(with_intervals(table))


def _exact(table: pd.DataFrame, by: Sequence[str]) -> list[str]:
    if not by:
        return [f"This share is known exactly: {share:.6%}." for share in table["exact"]]
    return ["These shares are known exactly:", *terminal_table(table)]


def _citation(options: argparse.Namespace, deals: int) -> Iterator[str]:
    """Yield the lines that say how to cite the answer and which command repeats it."""
    agreement = options.agreement
    yield from wrap(
        f"To cite: {deals:,} random deals, seed {options.seed}, agreement {agreement.name} "
        f"({agreement.digest[:12]}), the responder's double study, version {version()}, commit "
        f"{current_commit()}.",
        WIDTH,
    )
    repeat = on.command(
        options.what, options.given, options.by, deals, options.seed, agreement.name
    )
    yield f"To repeat: {repeat}"
