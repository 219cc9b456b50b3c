"""Tables for readers: a number and its interval in one column, names in words, as Markdown or as lines."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence

import pandas as pd

from double_study.columns import Column, named
from double_study.escape import markdown
from double_study.words import aligned


def reading_table(table: pd.DataFrame, *shown: str) -> str:
    """Some columns of ``table`` (all by default) as a Markdown table.

    A share or other number that has limits is one column with its interval. Columns are looked up
    by name among those declared; one that is not there must be a declaration itself. Free
    text, an agreement's name for one, is escaped. Numbers stand to the right, save in the first
    column, which names the rows. A table without rows is no text at all. Raises :class:`KeyError`
    for any other column.
    """
    if table.empty:
        return ""
    columns = _columns(table, shown)
    heading, *rows = _cells(table, columns)
    free = [column.type == "string" and not column.wordings for column in columns]
    rows = [
        [markdown(cell) if text else cell for cell, text in zip(row, free, strict=True)]
        for row in rows
    ]
    numeric = [at for at, column in enumerate(columns) if at and column.numeric]
    return markdown_table([heading, *rows], numeric)


def markdown_table(rows: Iterable[Sequence[str]], right: Container[int] = ()) -> str:
    """Rows of cells in Markdown, the headings first, as a Markdown table.

    ``right`` are the columns, counted from 0, that stand to the right.
    """
    heading, *others = rows
    sides = ["---:" if at in right else "---" for at in range(len(heading))]
    return "\n".join(_line(cells) for cells in (heading, sides, *others))


def terminal_table(table: pd.DataFrame, *shown: str) -> list[str]:
    """The same as aligned lines for a terminal."""
    return aligned(reading_rows(table, *shown))


def reading_rows(table: pd.DataFrame, *shown: str) -> list[list[str]]:
    """The headings and then the rows of such a table, cell by cell."""
    return _cells(table, _columns(table, shown))


def _columns(table: pd.DataFrame, shown: Iterable[str]) -> list[Column]:
    columns = [named(name) for name in shown or table.columns]
    limits = {limit for column in columns for limit in column.limits or ()}
    return [column for column in columns if column.name not in limits]


def _cells(table: pd.DataFrame, columns: list[Column]) -> list[list[str]]:
    rows = [[column.of(row) for column in columns] for row in table.to_dict("records")]
    return [[column.heading for column in columns], *rows]


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"
