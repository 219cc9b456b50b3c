"""Phrases that the study's sentences have in common."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import wraps
from typing import Concatenate, ParamSpec

import pandas as pd

from double_study.columns import COLUMNS, Row
from double_study.counting.counts import CALL_COUNTS
from double_study.escape import markdown
from double_study.rules.response import DOUBLE_CALL
from double_study.stats import (
    CONFIDENCE,
    parts_differ,
    shares_differ,
)
from double_study.tables import Run
from double_study.words import listed

P = ParamSpec("P")


def doubles_counted(run: Run) -> int:
    """How many doubles the run counted."""
    return int(run.tally[CALL_COUNTS.name][..., DOUBLE_CALL].sum())


def about_doubles(
    build: Callable[Concatenate[Run, P], str],
) -> Callable[Concatenate[Run, P], str]:
    """A sentence about doubles, which says that it does not apply to a run without any."""

    @wraps(build)
    def text(run: Run, /, *args: P.args, **kwargs: P.kwargs) -> str:
        if doubles_counted(run):
            return build(run, *args, **kwargs)
        if not run.agreement.response.double:
            return (
                f"*This does not apply: by the agreement “{markdown(run.agreement.name)}” the responder's "
                "double is not played.*"
            )
        return f"*This does not apply: in {run.tally.deals:,} deals the responder never doubled.*"

    return text


INTERVALS = f"In brackets: {CONFIDENCE:.0%} intervals, each for its own number."
"""What the brackets of sentences and tables hold."""


def farthest(table: pd.DataFrame, name: Callable[[Row], str]) -> str:
    """The row whose count chance explains least, how far it is from its exact value, out of how many.

    ``table`` has ``deals``, ``of``, ``exact``, ``p_value`` and, where it means something, ``z``;
    ``name`` words a row. Rows that cannot be, their exact value 0, are not looked at.
    """
    # What cannot be was not seen either: it says nothing.
    possible = table[table["exact"] > 0]
    if possible.empty:
        return "By these rules none of it can be."
    row = possible.sort_values("p_value", kind="stable").to_dict("records")[0]
    off = (
        f"{row['deals']:,} deals where {row['of'] * row['exact']:,.1f} are expected"
        if pd.isna(row.get("z"))
        else f"{row['z']:+.1f} standard errors"
    )
    counts = (
        f"Of the {len(possible):,} counts looked at, the one farthest off is"
        if len(possible) > 1
        else "The one count looked at is"
    )
    many = " Among so many one is bound to look far." if len(possible) >= _MANY else ""
    return f"{counts} that of {name(row)}: {off}, p-value {COLUMNS['p_value'].wording(row['p_value'])}.{many}"


_MANY = 20
"""Counts of which one with a p-value of a twentieth is to be expected."""


_MOST_NAMED = 3


def tied(first: Row, rows: Iterable[Row], name: Callable[[Row], str], parts: bool = False) -> str:
    """What to add to the ``first`` of a ranking: which of ``rows`` are not told apart from it.

    Nothing where all are. Compared are shares of different deals; with ``parts`` the deals of each
    row, which exclude each other. However many are compared with the first, one that does not differ
    from it is left out at most once in twenty times (Bonferroni).
    """
    compared = [row for row in rows if name(row) != name(first)]
    confidence = 1 - (1 - CONFIDENCE) / max(len(compared), 1)

    def told_apart(row: Row) -> bool:
        if parts:
            return bool(parts_differ(first["deals"], row["deals"], confidence))
        return bool(shares_differ(first["deals"], first["of"], row["deals"], row["of"], confidence))

    others = [row for row in compared if not told_apart(row)]
    if not others:
        return ""
    names = f"{len(others)} others" if len(others) > _MOST_NAMED else listed(map(name, others))
    return f", with {names} not told apart"
