"""Tables for readers: a number and its interval in one column, names in words, as Markdown."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from analysis.telling.tables.columns import SHOWN
from analysis.vocabulary.column import Column
from analysis.vocabulary.measure import Estimate


def reading_table(table: pd.DataFrame, *shown: str) -> str:
    """Some columns of ``table`` (all by default) as a Markdown table.

    A share or other number that has limits is one column with its interval. Columns are looked up
    by name among those declared; one that is not there must be a declaration itself. Raises
    :class:`KeyError` for any other.
    """
    columns = [_declared(name) for name in shown or table.columns]
    estimates = [column for column in columns if isinstance(column, Estimate)]
    limits = {limit for estimate in estimates for limit in estimate.columns[1:]}
    columns = [column for column in columns if column not in limits]
    lines = [_line(column.heading for column in columns), _line("---" for _ in columns)]
    for row in table.to_dict("records"):
        lines.append(_line(column.of(row) for column in columns))
    return "\n".join(lines)


def _declared(name: str) -> Column:
    return name if isinstance(name, Column) and name not in SHOWN else SHOWN[name]


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"
