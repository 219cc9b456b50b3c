"""Dimensions: the properties by which deals are told apart, each declared once.

A dimension is one column of names or whole numbers: seat, opening, call, reason. Its declaration
holds the order of its categories, and for tables and readers the column, the heading, the wording
of each category and the description in the data dictionary.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import pandas as pd

Name = str | int
"""What a category is called in tables."""


@dataclass(frozen=True)
class Dimension:
    """One property of a deal, with its categories in order.

    Parameters
    ----------
    column
        The column that holds it in every table.
    heading
        What readers see above that column.
    description
        What the data dictionary says of it.
    wordings
        Name of a category -> how readers see it, in order. The position of a category is its code
        inside arrays.
    """

    column: str
    heading: str
    description: str
    wordings: Mapping[Name, str]

    @classmethod
    def of_numbers(
        cls, column: str, heading: str, description: str, numbers: Iterable[int]
    ) -> Dimension:
        """A dimension of whole numbers, which readers see as they are."""
        return cls(column, heading, description, {number: str(number) for number in numbers})

    @cached_property
    def names(self) -> tuple[Name, ...]:
        """The categories in order, as tables hold them."""
        return tuple(self.wordings)

    @cached_property
    def _codes(self) -> dict[Name, int]:
        return {name: code for code, name in enumerate(self.names)}

    def code(self, name: Name) -> int:
        """The code of a category: its position. Raises :class:`KeyError` for an unknown name."""
        return self._codes[name]

    def wording(self, name: Name) -> str:
        """A category as readers see it. Raises :class:`KeyError` for an unknown name."""
        return self.wordings[name]

    @cached_property
    def dtype(self) -> pd.CategoricalDtype:
        """The ordered categorical type of the column."""
        return pd.CategoricalDtype(list(self.names), ordered=True)

    def __len__(self) -> int:
        return len(self.wordings)

    def __hash__(self) -> int:
        return hash((self.column, self.names))
