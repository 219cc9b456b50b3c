"""The rows of a table, one by one."""

from collections.abc import Iterator
from typing import Any

import pandas as pd


def each_row(table: pd.DataFrame) -> Iterator[Any]:
    """Return the rows of a table as objects whose attributes are the columns, of any type."""
    return table.itertuples(index=False)
