"""The columns of every table, described once in ``columns.toml``.

Code names a column by a plain string. This module reads the file's entry for the column: heading, unit,
categories in order with their wording, description. Inside arrays a category is a *code*, its position
in that order, and a whole number is stored as it is. Tables carry ordered categoricals.
"""

import json
import tomllib
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from double_study import numbers_in_words as words

Row = Mapping[Hashable, Any]

ABSENT = "–"


@dataclass(frozen=True, kw_only=True)
class Column:
    """The entry of one column in ``columns.toml``.

    ``wordings`` maps the categories, in order, to their wording, and is empty for other columns.
    ``whole`` is the range of a column of whole numbers that can be an axis of a count. ``limits``
    names the columns of the 95% interval of an estimate. ``form`` is a format specification, or ``p``
    for p-values. ``at`` are the stages of the auction that have the column, if a user may ask for it
    (:mod:`double_study.how_often`).
    """

    key: str
    name: str
    heading: str
    description: str
    unit: str = "none"
    type: str = "string"
    wordings: Mapping[Any, str]
    whole: range | None = None
    least: float | None = None
    most: float | None = None
    form: str = ",.4g"
    optional: bool = False
    limits: Sequence[str] | None = None
    difference: bool = False
    at: Sequence[str] = ()

    @property
    def names(self) -> tuple[Any, ...]:
        return tuple(self.whole if self.whole is not None else self.wordings)

    @property
    def size(self) -> int:
        return len(self.names)

    @property
    def columns(self) -> tuple[str, ...]:
        """The column's name and, for an estimate, those of its limits."""
        return (self.name, *(self.limits or ()))

    @property
    def scale(self) -> int:
        """The factor between a value and its figure: 100 for percentages."""
        return 100 if self.unit == "proportion" else 1

    @property
    def numeric(self) -> bool:
        return self.type in ("integer", "number")

    @property
    def constraints(self) -> dict[str, Any]:
        """The constraints on a value, as a Table Schema states them."""
        if self.wordings:
            return {"enum": list(self.wordings)}
        bounds = {"minimum": self.least, "maximum": self.most}
        return {name: bound for name, bound in bounds.items() if bound is not None}

    def code(self, name: Any) -> int:
        """Return the position of a category. Raises :class:`ValueError` for an unknown one."""
        return self.names.index(name)

    def positions(self, values: ArrayLike) -> NDArray[np.integer]:
        """Return the positions along an axis of an array's codes or numbers."""
        return np.asarray(values) - (self.whole[0] if self.whole is not None else 0)

    def along(self, column: str) -> tuple[Any, ...]:
        """Return the value of each position of the axis; ``column`` is this column's own name."""
        return self.names

    @property
    def dtype(self) -> Any:
        """The ordered categorical type of a column of categories, else int64."""
        if self.whole is not None:
            return np.dtype(np.int64)
        return pd.CategoricalDtype(list(self.names), ordered=True)

    def filled(self, positions: ArrayLike) -> dict[str, Any]:
        """Return the values at positions along the axis as a column."""
        at = np.asarray(positions)
        if self.whole is not None:
            return {self.name: at.astype(np.int64) + self.whole[0]}
        return {self.name: pd.Categorical.from_codes(at.tolist(), dtype=self.dtype)}

    def frame(self) -> pd.DataFrame:
        return every_cell([self])

    def wording(self, value: Any) -> str:
        """Return a value as readers see it. Raises :class:`KeyError` for an unknown category."""
        if self.wordings:
            return self.wordings[value]
        match self.type:
            case "boolean":
                return "yes" if value else "no"
            case "string":
                return str(value)
        if self.whole is not None:
            return str(int(value))
        return words.p_value(value) if self.form == "p" else format(value, self.form)

    def label(self, value: Any) -> str:
        """Return a value as a label that stands alone, such as a number with the thing it counts."""
        text = self.wording(value)
        return text if self.whole is None else f"{self.heading} {text}"

    def of(self, row: Row, least: int | None = None) -> str:
        """Return a row's value as readers see it, an estimate with its interval.

        ``least`` is the smallest number of decimals.
        """
        value = row[self.name]
        if value is None or value != value:
            return ABSENT
        if self.limits is None:
            return self.wording(value)
        value, low, high = (float(row[column]) for column in self.columns)
        if self.difference:
            return words.points(value, low, high, 2 if least is None else least)
        if self.unit == "proportion":
            return words.percent(value, low, high)
        return words.interval(value, low, high, least or 0)


_SHARE = {"type": "number", "unit": "proportion", "least": 0, "most": 1}
_KINDS: Mapping[str, Mapping[str, Any]] = {
    "text": {},
    "category": {},
    "flag": {"type": "boolean"},
    "number": {"type": "number", "least": 0},
    "whole": {"type": "integer", "least": 0, "form": ","},
    "share": {**_SHARE, "form": ".4%"},
    "p_value": {**_SHARE, "form": "p"},
    "difference": {**_SHARE, "least": -1, "difference": True},
}
"""What an entry of each kind has unless it says otherwise."""


def _read(key: str, entry: dict[str, Any]) -> list[Column]:
    """Return the columns of one entry of the file: one, or an estimate and its two limits."""
    wordings = entry.pop("categories", {})
    kind = entry.pop("kind", "category" if wordings else "text")
    entry = {"name": key, **_KINDS[kind], **entry}
    if numbers := entry.pop("numbers", None):
        entry |= {"type": "integer", "least": numbers[0], "most": numbers[1]}
        entry["whole"] = range(numbers[0], numbers[1] + 1)
    if entry.get("least") == "none":
        del entry["least"]
    interval = entry.pop("interval", "interval")
    optional = entry.pop("limits_optional", entry.get("optional", False))
    column = Column(key=key, wordings=wordings, **entry)
    return [column] + [
        Column(
            key=limit,
            name=limit,
            heading=heading,
            description=f"{which} limit of the pointwise 95% {interval} of {column.name}.",
            unit=column.unit,
            type="number",
            wordings={},
            least=column.least,
            most=column.most,
            optional=optional,
        )
        for limit, which, heading in zip(
            column.limits or (), ("Low", "High"), ("from", "to"), strict=False
        )
    ]


PLAYERS = ("opener", "overcaller", "responder", "advancer")
"""The players by their turn after the opener."""

WHOLES = ("deals", "overcalls", "doubles", "hands", "bids", "part_scores", "contracts")
"""What the shares in files are shares of."""
_STAND_FOR = {"{player}": PLAYERS, "{whole}": WHOLES}


def _entries() -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield the entries of the file; an entry whose key has {player} comes once per player."""
    text = Path(__file__).with_suffix(".toml").read_text(encoding="utf-8")
    for key, entry in tomllib.loads(text).items():
        [(mark, names)] = [(m, n) for m, n in _STAND_FOR.items() if m in key] or [("", ("",))]
        for name in names:
            filled = json.dumps([key, entry])
            yield json.loads(filled.replace(mark, name) if mark else filled)


COLUMNS: Mapping[str, Column] = {
    column.key: column for key, entry in _entries() for column in _read(key, entry)
}
"""Every column by its key, which is its name unless several tables use the name differently."""


def named(name: str) -> Column:
    """Return the column that a table calls ``name``."""
    return COLUMNS[_SHOWN.get(name, name)]


def label_of(name: str, value: Any) -> str:
    """Return the label of a value; unchanged if ``columns.toml`` lacks the column or the value."""
    try:
        return named(name).label(value)
    except (KeyError, ValueError, TypeError):
        return str(value)


_SHOWN = {
    COLUMNS[key].name: key
    for key in ("call_or_any", "any_answer", "opener_spades_held", "fit_outcome")
}
"""For a name that several entries share: the entry that covers the values of all in a table."""


class Combination:
    """One axis made of combinations of several columns (``keys``), such as opening and overcall.

    A batch of deals has its positions along the axis in the column ``key``. ``names`` are the
    combinations in order, each with a value for each column.
    """

    def __init__(self, key: str, keys: Sequence[str], names: Iterable[Sequence[Any]]) -> None:
        self.key = key
        self._parts = tuple(COLUMNS[part] for part in keys)
        self.columns = tuple(part.name for part in self._parts)
        self.names = tuple(tuple(each) for each in names)
        self._codes = {each: code for code, each in enumerate(self.names)}
        self._along = np.array(
            [
                [part.code(name) for part, name in zip(self._parts, each, strict=True)]
                for each in self.names
            ]
        )

    @property
    def size(self) -> int:
        return len(self.names)

    def frame(self) -> pd.DataFrame:
        return every_cell([self])

    def along(self, column: str) -> tuple[Any, ...]:
        """Return the value of each position of the axis in one of the columns."""
        return tuple(each[self.columns.index(column)] for each in self.names)

    def code(self, *names: Any) -> int:
        """Return the position of a combination. Raises :class:`KeyError` for an unknown one."""
        return self._codes[names]

    def codes(self, table: pd.DataFrame) -> NDArray[np.intp]:
        """Return the position of each row's combination."""
        each = zip(*(table[column] for column in self.columns), strict=True)
        return np.array([self._codes[names] for names in each], dtype=np.intp)

    def positions(self, values: ArrayLike) -> NDArray[np.integer]:
        """Return an array's positions along the axis, which the array already holds."""
        return np.asarray(values)

    def filled(self, positions: ArrayLike) -> dict[str, Any]:
        """Return the values at positions along the axis as columns."""
        along = self._along[np.asarray(positions, dtype=np.intp)]
        filled: dict[str, Any] = {}
        for part, codes in zip(self._parts, along.T, strict=True):
            filled |= part.filled(codes)
        return filled


Axis = Column | Combination


def axis_of(axis: str | Axis) -> Axis:
    return COLUMNS[axis] if isinstance(axis, str) else axis


def every_cell(axes: Sequence[str | Axis]) -> pd.DataFrame:
    """Return the names of all cells of a table with these axes, one row per cell, the last fastest."""
    sizes = [axis_of(axis).size for axis in axes]
    return cells(axes, np.indices(sizes).reshape(len(axes), -1))


def cells(axes: Sequence[str | Axis], positions: ArrayLike) -> pd.DataFrame:
    """Return the names of some cells; ``positions`` has one row per axis, one column per cell."""
    filled: dict[str, Any] = {}
    for axis, along in zip(axes, np.asarray(positions), strict=True):
        filled |= axis_of(axis).filled(along)
    return pd.DataFrame(filled)


def typed(table: pd.DataFrame, *keys: str) -> pd.DataFrame:
    """Return ``table`` with the columns of these keys as ordered categoricals."""
    columns = [COLUMNS[key] for key in keys]
    return table.astype({c.name: c.dtype for c in columns if c.whole is None})
