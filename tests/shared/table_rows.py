"""The rows of a table, one by one: of a frame, or of cases laid out as text."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd


def each_row(table: pd.DataFrame) -> Iterator[Any]:
    """Return the rows of a table as objects whose attributes are the columns, of any type."""
    return table.itertuples(index=False)


def cases(text: str | Path) -> list[tuple[str, ...]]:
    """Return the cells of lines with bars between them, of a text or a file.

    Empty lines and comments, which begin with #, are left out.
    """
    text = text if isinstance(text, str) else text.read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if line.strip() and not line.startswith("#"))
    return [tuple(cell.strip() for cell in line.split("|")) for line in lines]
