"""The rows of a table, one by one: of a frame, or of cases laid out as text."""

from collections.abc import Iterator
from typing import Any

import pandas as pd


def each_row(table: pd.DataFrame) -> Iterator[Any]:
    """Return the rows of a table as objects whose attributes are the columns, of any type."""
    return table.itertuples(index=False)


def cases(text: str) -> list[tuple[str, ...]]:
    """Return the cells of lines of text with bars between them; empty lines are left out."""
    lines = (line for line in text.splitlines() if line.strip())
    return [tuple(cell.strip() for cell in line.split("|")) for line in lines]
