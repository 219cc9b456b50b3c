"""Columns: what every column of every table holds, each declared once, where it arises.

A column *is* its name, so tables are indexed by the declaration itself: ``table[LEVEL]``.

Dimensions: the properties by which deals are told apart, each declared once.

A dimension is a column of names or of whole numbers, such as seat, opening, call or reason. Its
declaration holds the order of its categories, and for tables and readers the column, the heading,
the wording of each category and the description in the data dictionary. Inside arrays a name is a
*code*, its position in that order; a whole number is itself.

Measures: the numbers of a table, each declared once.

An *estimate* is one declaration for three columns: the value and the two limits of its interval.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from math import isnan
from typing import Any, ClassVar

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from double_study import words as numerals

Row = Mapping[Hashable, Any]
"""A row of a table: column to value."""

NO_UNIT = "none"
"""The unit of names and pure numbers."""

ABSENT = "–"
"""What readers see in an empty cell."""


class Column(str):
    """A column of free text; the other kinds of column derive from it.

    Parameters
    ----------
    name
        The column's name in tables and files, which is what the object is equal to.
    heading
        What readers see above it.
    description
        What the data dictionary says of it.
    unit
        Of its values.
    optional
        Whether a cell may be empty.
    """

    type: ClassVar[str] = "string"
    """The type of its values in the Table Schema of a Frictionless Data Package."""

    # Only the name, so that a copied or unpickled column is one too: str hands on nothing else.
    def __new__(cls, name: str, *_: Any, **__: Any) -> Column:
        """A string equal to ``name``."""
        return super().__new__(cls, name)

    def __init__(
        self,
        name: str,
        heading: str,
        description: str,
        unit: str = NO_UNIT,
        optional: bool = False,
    ) -> None:
        self.heading, self.description = heading, description
        self.unit, self.optional = unit, optional

    @property
    def constraints(self) -> dict[str, Any]:
        """What values it may hold, in the words of the Table Schema."""
        return {}

    @property
    def numeric(self) -> bool:
        """Whether its values are numbers, which tables set to the right."""
        return self.type in ("integer", "number")

    def wording(self, value: Any) -> str:
        """One of its values as readers see it."""
        return str(value)

    def of(self, row: Row) -> str:
        """A row's value as readers see it."""
        value = row[self]
        return ABSENT if value is None or value != value else self.wording(value)


class Flag(Column):
    """A column of yes and no."""

    type = "boolean"

    def wording(self, value: Any) -> str:
        """Yes or no."""
        return "yes" if value else "no"


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


SHARE_UNIT = "proportion"


class Measure(Column):
    """A column of numbers.

    Parameters
    ----------
    name, heading, description, unit, optional
        As for every column.
    low, high
        The least and the most that it can be; None for no bound.
    form
        How a value reads, as a format specification.
    """

    type = "number"

    def __init__(
        self,
        name: str,
        heading: str,
        description: str,
        unit: str = NO_UNIT,
        optional: bool = False,
        least: float | None = 0,
        most: float | None = None,
        form: str = ",.4g",
    ) -> None:
        super().__init__(name, heading, description, unit, optional)
        self.least, self.most, self.form = least, most, form

    @property
    def constraints(self) -> dict[str, Any]:
        """The bounds that it has."""
        bounds = {"minimum": self.least, "maximum": self.most}
        return {name: bound for name, bound in bounds.items() if bound is not None}

    def wording(self, value: Any) -> str:
        """A value as readers see it."""
        return format(value, self.form)


class WholeNumber(Measure):
    """A column of whole numbers: deals, cells, degrees of freedom."""

    type = "integer"

    def __init__(
        self, name: str, heading: str, description: str, unit: str, least: int = 0
    ) -> None:
        super().__init__(name, heading, description, unit, least=least, form=",")


class Share(Measure):
    """A column of proportions, 0 to 1."""

    def __init__(
        self,
        name: str,
        heading: str,
        description: str,
        optional: bool = False,
        form: str = ".4%",
    ) -> None:
        super().__init__(name, heading, description, SHARE_UNIT, optional, 0, 1, form)


class PValue(Share):
    """A column of p-values, in two figures: none reads as 0, and only a certain one as 1."""

    def wording(self, value: Any) -> str:
        """A value as readers see it."""
        if value < _SMALLEST_P:
            return "below one in a million"
        return f"{min(value, 0.999):.3f}" if 0.995 <= value < 1 else f"{value:.2g}"


_SMALLEST_P = 1e-6
"""Smaller than what any family of the machine's check may have."""


class Estimate(Measure):
    """A number with the limits of its interval, three columns in all.

    Parameters
    ----------
    name, heading, description, unit, optional, most
        As for a measure; the limits are of the same kind.
    limits
        The columns of the limits; by default the name with ``_low`` and ``_high``.
    interval
        What the interval is called.
    limits_optional
        Whether a limit may be missing; by default like the value.
    """

    def __init__(
        self,
        name: str,
        heading: str,
        description: str,
        unit: str = NO_UNIT,
        optional: bool = False,
        most: float | None = None,
        limits: tuple[str, str] | None = None,
        interval: str = "interval",
        limits_optional: bool | None = None,
    ) -> None:
        super().__init__(name, heading, description, unit, optional, 0, most)
        low, high = limits or (f"{name}_low", f"{name}_high")
        missing = optional if limits_optional is None else limits_optional
        of = f"limit of the pointwise 95% {interval} of {name}."
        self.low = Measure(low, "from", f"Low {of}", unit, missing, 0, most)
        self.high = Measure(high, "to", f"High {of}", unit, missing, 0, most)

    scale = 1
    """By what figures multiply it: 100 for what is shown in per cent."""

    @property
    def columns(self) -> tuple[Measure, Measure, Measure]:
        """The value and its limits."""
        return self, self.low, self.high

    def of(self, row: Row, least: int = 0) -> str:
        """A row's value with its interval, with so many decimals at least."""
        value, low, high = (float(row[column]) for column in self.columns)
        return ABSENT if isnan(value) else numerals.interval(value, low, high, least)

    def rounded(self, row: Row) -> str:
        """A row's value for a sentence, with no more figures than the interval supports."""
        return numerals.rounded(*(self.scale * float(row[column]) for column in self.columns))


class ShareEstimate(Estimate):
    """A proportion with the limits of its interval."""

    scale = 100

    def __init__(self, name: str, heading: str, description: str, **more: Any) -> None:
        super().__init__(name, heading, description, SHARE_UNIT, most=1, **more)

    def of(self, row: Row, least: int = 0) -> str:
        """A row's share with its interval, in per cent."""
        value, low, high = (float(row[column]) for column in self.columns)
        return ABSENT if isnan(value) else numerals.percent(value, low, high)

    def rounded(self, row: Row) -> str:
        """A row's share for a sentence, in per cent."""
        return f"{super().rounded(row)}%"


class Difference(Estimate):
    """A difference of two proportions with the limits of its interval."""

    scale = 100

    def rounded(self, row: Row) -> str:
        """A row's difference for a sentence, in percentage points, with its sign."""
        value = super().rounded(row)
        return value if value.startswith("-") or not float(value.replace(",", "")) else f"+{value}"

    def of(self, row: Row, least: int = 2) -> str:
        """A row's difference with its interval, in percentage points."""
        value, low, high = (float(row[column]) for column in self.columns)
        return ABSENT if isnan(value) else numerals.points(value, low, high, least)
