"""Format tables for readers: styled for a notebook and its page, as Markdown, or for a terminal."""

import re
from collections.abc import Container, Hashable, Iterable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
from pandas.io.formats.style import Styler

from double_study.columns import ABSENT, COLUMNS, Column, named
from double_study.numbers_in_words import aligned, decimals

INTERVAL = "95% interval"
NOTHING = "There is no such deal in this run."
"""The caption of a table without rows."""
_MOST_DECIMALS = 3
_WIDEST = 18
"""Width in ems at which the longest text takes some six lines."""
_HIDDEN = ":is(body:has(#hide-intervals:checked) *)"
"""A selector that matches once the reader of a page ticks the box that hides the intervals."""


def styled(table: pd.DataFrame, *shown: str, **headings: str) -> Styler:
    """Return ``table`` as pages show it.

    Parameters
    ----------
    table
        The rows to show. An index other than the default one becomes the first columns.
    shown
        The columns to show, in this order; by default all.
    headings
        Headings by column, if they are not those of ``columns.toml``; a column that is described
        in neither is headed by its own name.

    The limits of an estimate are a column of their own after it. The numbers of a column have the
    same decimals, those that half of its intervals support. Shares and differences are in per cent.
    """
    whole = table if isinstance(table.index, pd.RangeIndex) else table.reset_index()
    limits = {limit for name in whole for limit in _column(name, whole, {}).limits or ()}
    cells: dict[str, list[str]] = {}
    right, hidden = list[int](), list[int]()
    text: dict[int, int] = {}
    for name in shown or [name for name in whole if name not in limits]:
        column = _column(name, whole, headings)
        written = _texts(column, whole[name], whole)
        if column.numeric:
            right.append(len(cells))
        else:
            text[len(cells)] = max(map(len, written), default=0)
        cells[column.heading] = written
        if column.limits and set(column.limits) <= set(whole):
            hidden.append(len(cells))
            # A styled DataFrame may not repeat a heading.
            cells[INTERVAL + "\u200b" * (len(hidden) - 1)] = _intervals(column, whole)
    look: list[Any] = [
        {"selector": "th, td", "props": "text-align: left; vertical-align: top"},
        *({"selector": f".col{at}", "props": "text-align: right"} for at in (*right, *hidden)),
        *({"selector": f"td.col{at}", "props": "white-space: nowrap"} for at in (*right, *hidden)),
        # On a telephone the table scrolls rather than break its texts at every word.
        *(
            {"selector": f"td.col{at}", "props": f"min-width: {min(longest // 3, _WIDEST)}em"}
            for at, longest in text.items()
        ),
        *({"selector": f".col{at}{_HIDDEN}", "props": "display: none"} for at in hidden),
    ]
    frame = pd.DataFrame(cells, index=whole.index)
    if frame.empty:
        return Styler(frame[[]], uuid="empty").set_caption(NOTHING).hide(axis="index")
    same = pd.util.hash_pandas_object(frame.astype(str)).sum()  # on every run
    return (
        Styler(frame, uuid_len=5, uuid=f"{same % 2**40:010x}", cell_ids=False)
        .hide(axis="index")
        .format(escape="html")
        .format_index(escape="html", axis=1)
        .set_table_styles(look)
    )


def _column(name: Hashable, table: pd.DataFrame, headings: dict[str, str]) -> Column:
    """Return the entry of a column, or one made up for a notebook's own column."""
    kind = table[name].dtype
    flag, share = pd.api.types.is_bool_dtype(kind), pd.api.types.is_float_dtype(kind)
    number = pd.api.types.is_numeric_dtype(kind) and not flag
    along = COLUMNS.get(str(table.columns.name))  # whose category it is in an unstacked table
    made_up = Column(
        key=str(name),
        name=str(name),
        heading=along.label(name) if along and name in along.names else str(name),
        description="",
        unit="proportion" if share else "none",
        type="number" if share else "integer" if number else "string",
        wordings={},
        form=",",
    )
    known = [named(str(name)), COLUMNS[str(name)]] if str(name) in COLUMNS else []
    fitting = (c for c in known if c.numeric == number and (c.type != "boolean" or flag))
    column = next(fitting, made_up)
    return replace(column, heading=headings.get(column.name, column.heading))


def _texts(column: Column, values: pd.Series, table: pd.DataFrame) -> list[str]:
    if column.type != "number" or column.form == "p":
        whole = column.type == "integer"
        return [
            ABSENT if pd.isna(value) else _word(column, int(value) if whole else value)
            for value in values
        ]
    places = _places(column, values, table)
    sign = "+" if column.difference or column.form.startswith("+") else ""
    end = "%" if column.unit == "proportion" and not column.difference else ""
    return [
        ABSENT if pd.isna(value) else _number(column.scale * value, places, sign) + end
        for value in values.astype(float)
    ]


def _number(value: float, places: int, sign: str) -> str:
    # Avoid a negative zero; a ratio to zero is infinite.
    return f"{round(value, places) + 0.0:{sign},.{places}f}" if np.isfinite(value) else "∞"


def _word(column: Column, value: Any) -> str:
    try:
        return column.wording(value)
    except KeyError:
        return str(value)


def _intervals(column: Column, table: pd.DataFrame) -> list[str]:
    low, high = (column.scale * table[name].astype(float) for name in column.limits or ())
    places = _places(column, table[column.name], table)
    sign = "+" if column.difference else ""
    # Boards are rounded up to whole ones, so their limits may meet although they were counted.
    exact = column.type == "number" and column.unit != "boards"
    return [
        ABSENT
        if np.isnan(lower) or (column.difference and lower == upper == 0)  # compared with itself
        else "exact"
        if exact and lower == upper
        else f"{_number(lower, places, sign)} to {_number(upper, places, sign)}"
        for lower, upper in zip(low, high, strict=True)
    ]


def _places(column: Column, values: pd.Series, table: pd.DataFrame) -> int:
    """Return the number of decimals for a whole column, so that its numbers can be compared."""
    if column.type == "integer" or column.unit == "boards":
        return 0
    if column.limits and set(column.limits) <= set(table):
        low, high = (column.scale * table[name].astype(float) for name in column.limits)
        most = 2 if column.unit == "points" else _MOST_DECIMALS
        if (width := (high - low)[high > low]).any() and np.isfinite(width.median()):
            return min(decimals(0, float(width.median())), most)
    if column.unit == "proportion" and (column.limits or not column.description):
        return 1 if (100 * values.abs()).median() >= 1 else 3
    stated = re.search(r"\.(\d)", column.form)
    return int(stated[1]) if stated and column.form[-1] in "%f" else 1


def markdown_table(rows: Iterable[Sequence[str]], right: Container[int] = ()) -> str:
    """Return rows of cells in Markdown, the headings first, as a Markdown table.

    ``right`` are the positions, counted from 0, of the right-aligned columns.
    """
    heading, *others = rows
    sides = ["---:" if at in right else "---" for at in range(len(heading))]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in (heading, sides, *others))


def terminal_table(table: pd.DataFrame) -> list[str]:
    """Return a table as aligned lines, an estimate with its interval."""
    columns = [_column(name, table, {}) for name in table]
    limits = {limit for column in columns for limit in column.limits or ()}
    kept = [column for column in columns if column.name not in limits]
    rows = [[column.of(row) for column in kept] for row in table.to_dict("records")]
    return aligned([[column.heading for column in kept], *rows])
