"""Dimensions: the properties by which deals are told apart, each declared once.

A dimension is a column of names or of whole numbers, such as seat, opening, call or reason. Its
declaration holds the order of its categories, and for tables and readers the column, the heading,
the wording of each category and the description in the data dictionary. Inside arrays a name is a
*code*, its position in that order; a whole number is itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from analysis.vocabulary.column import NO_UNIT, Column

Name = str | int
"""What a category is called in tables."""


class Dimension(Column):
    """A column of names, with its categories in order.

    Parameters
    ----------
    name, heading, description
        As for every column.
    wordings
        Name of a category -> how readers see it, in order.
    """

    def __init__(
        self, name: str, heading: str, description: str, wordings: Mapping[Any, str]
    ) -> None:
        super().__init__(name, heading, description)
        self.wordings: dict[Any, str] = dict(wordings)
        self.names: tuple[Any, ...] = tuple(self.wordings)
        self._codes = {category: code for code, category in enumerate(self.names)}

    @property
    def columns(self) -> tuple[Dimension, ...]:
        """The columns that the dimension fills: itself."""
        return (self,)

    @property
    def size(self) -> int:
        """How many categories there are."""
        return len(self.names)

    def along(self, column: str) -> tuple[Any, ...]:
        """What each position of the axis says in ``column``, the dimension's own."""
        return self.names

    @property
    def constraints(self) -> dict[str, Any]:
        """The names that a cell may hold."""
        return {"enum": list(self.names)}

    def code(self, name: Name) -> int:
        """The position of a category. Raises :class:`KeyError` for an unknown name."""
        return self._codes[name]

    def positions(self, values: ArrayLike) -> NDArray[np.integer]:
        """Where arrays hold each value along an axis of this dimension: codes as they are."""
        return np.asarray(values)

    def wording(self, value: Any) -> str:
        """A category as readers see it. Raises :class:`KeyError` for an unknown name."""
        return self.wordings[value]

    def label(self, value: Any) -> str:
        """A category as a label that stands alone."""
        return self.wording(value)

    @property
    def dtype(self) -> pd.CategoricalDtype:
        """The ordered categorical type of the column."""
        return pd.CategoricalDtype(list(self.names), ordered=True)

    def frame(self) -> pd.DataFrame:
        """A table of one column: every category, in order."""
        return every_cell([self])

    def filled(self, positions: ArrayLike) -> dict[str, Any]:
        """The column that an array of positions along the axis fills."""
        return {self: pd.Categorical.from_codes(np.asarray(positions).tolist(), dtype=self.dtype)}


class Numbers(Dimension):
    """A dimension of consecutive whole numbers: a count of cards, points or tricks, a level, a seat.

    Parameters
    ----------
    numbers
        All that it can be.
    unit
        What is counted.
    """

    type = "integer"

    def __init__(
        self, name: str, heading: str, description: str, numbers: range, unit: str = NO_UNIT
    ) -> None:
        super().__init__(name, heading, description, {number: str(number) for number in numbers})
        self.unit = unit

    @property
    def constraints(self) -> dict[str, Any]:
        """The lowest and the highest number."""
        return {"minimum": self.names[0], "maximum": self.names[-1]}

    def positions(self, values: ArrayLike) -> NDArray[np.integer]:
        """Where arrays hold each number along an axis of this dimension."""
        return np.asarray(values) - self.names[0]

    def wording(self, value: Any) -> str:
        """The number."""
        return str(int(value))

    def label(self, value: Any) -> str:
        """The number after what it counts: level 2."""
        return f"{self.heading} {self.wording(value)}"

    def filled(self, positions: ArrayLike) -> dict[str, Any]:
        """The column of numbers that an array of positions along the axis fills."""
        return {self: np.asarray(positions, dtype=np.int64) + self.names[0]}


class Combinations:
    """Some combinations of several dimensions, in order, as one axis: opening and overcall.

    Parameters
    ----------
    columns
        The dimensions.
    names
        The combinations, each with a name a dimension.
    """

    def __init__(self, columns: Sequence[Dimension], names: Iterable[Sequence[Any]]) -> None:
        self.columns, self.names = tuple(columns), tuple(tuple(each) for each in names)
        self._codes = {each: code for code, each in enumerate(self.names)}
        self._along = np.array(
            [[d.code(name) for d, name in zip(columns, each, strict=True)] for each in self.names]
        )

    @property
    def size(self) -> int:
        """How many combinations there are."""
        return len(self.names)

    def frame(self) -> pd.DataFrame:
        """A table of every combination, in order."""
        return every_cell([self])

    def along(self, column: str) -> tuple[Any, ...]:
        """What each position of the axis says in one of the columns."""
        return tuple(each[self.columns.index(column)] for each in self.names)

    def code(self, *names: Name) -> int:
        """The position of a combination. Raises :class:`KeyError` for one that is not there."""
        return self._codes[names]

    def codes(self, table: pd.DataFrame) -> NDArray[np.intp]:
        """The position of each row's combination."""
        each = zip(*(table[column] for column in self.columns), strict=True)
        return np.array([self._codes[names] for names in each], dtype=np.intp)

    def positions(self, values: ArrayLike) -> NDArray[np.integer]:
        """Where arrays hold each combination: codes as they are."""
        return np.asarray(values)

    def filled(self, positions: ArrayLike) -> dict[str, Any]:
        """The columns that an array of positions along the axis fills."""
        along = self._along[np.asarray(positions, dtype=np.intp)]
        filled: dict[str, Any] = {}
        for dimension, codes in zip(self.columns, along.T, strict=True):
            filled |= dimension.filled(codes)
        return filled


Axis = Dimension | Combinations
"""An axis of a table of counts."""


def every_cell(axes: Sequence[Axis]) -> pd.DataFrame:
    """The names of all cells of a table with these axes, one row a cell, the last axis fastest."""
    return cells(axes, np.indices([axis.size for axis in axes]).reshape(len(axes), -1))


def cells(axes: Sequence[Axis], positions: ArrayLike) -> pd.DataFrame:
    """The names of some cells; ``positions`` has one row an axis, one column a cell."""
    filled: dict[str, Any] = {}
    for axis, along in zip(axes, np.asarray(positions), strict=True):
        filled |= axis.filled(along)
    return pd.DataFrame(filled)


def typed(table: pd.DataFrame, *dimensions: Dimension) -> pd.DataFrame:
    """``table`` with these columns, names as plain text, as the dimensions have them."""
    return table.astype({d: d.dtype for d in dimensions if not isinstance(d, Numbers)})
