"""The rows of a table, one by one."""

from collections.abc import Iterator
from typing import Any

import pandas as pd


def each_row(table: pd.DataFrame) -> Iterator[Any]:
    """A row's columns are its attributes, of whatever kind this table has in them."""
    return table.itertuples(index=False)
