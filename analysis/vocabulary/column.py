"""Columns: what every column of every table holds, each declared once, where it arises.

A column *is* its name, so tables are indexed by the declaration itself: ``table[LEVEL]``.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import Any, ClassVar

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
