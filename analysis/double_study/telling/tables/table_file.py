"""What a table file is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

from double_study.counting.run import Run


@dataclass(frozen=True)
class TableFile:
    """A table that every run leaves as ``name.csv``.

    ``table`` makes it from the run, a row a cell; ``primary_key`` names the columns that tell one
    row from every other.
    """

    name: str
    title: str
    table: Callable[[Run], pd.DataFrame]
    primary_key: tuple[str, ...]

    @property
    def path(self) -> str:
        """The file's name in the folder of tables."""
        return f"{self.name}.csv"
