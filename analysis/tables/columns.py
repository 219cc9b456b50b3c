"""The dictionary of columns: what every column of every table file is, each said once.

A table file may hold no column that is not here. Types and constraints are those of the
Frictionless Data Package v2 standard's Table Schema.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from analysis.bidding.overcalled import MESSAGES
from analysis.cards import Bid
from analysis.counts import (
    ANSWER_COLUMN,
    CALL,
    ONE_BIDS,
    OPENING,
    OVERCALL_COLUMN,
    REASON_COLUMN,
    REST_COLUMN,
    SEAT,
    answers,
    calls,
    pairs,
    reasons,
    rests,
)
from analysis.estimates import ESTIMATE, HIGH, LOW
from analysis.tally import DEALS, Axis

MESSAGE, LEVEL = "message", "level"
EXACT, Z = "exact", "z"

NO_UNIT = "none"
"""The unit of names and pure numbers."""


@dataclass(frozen=True)
class Column:
    """A column: its type, its unit, what it means, and what values it may hold."""

    type: str
    unit: str
    meaning: str
    constraints: dict[str, Any] = field(default_factory=dict)
    optional: bool = False
    """Whether a cell may be empty."""

    def descriptor(self, name: str) -> dict[str, Any]:
        """The column as a field descriptor of the Table Schema, with its unit."""
        return {
            "name": name,
            "type": self.type,
            "unit": self.unit,
            "description": self.meaning,
            "constraints": {"required": not self.optional} | self.constraints,
        }


def name_of(meaning: str, values: Iterable[Any], optional: bool = False) -> Column:
    """A column of names, one of ``values``."""
    return Column("string", NO_UNIT, meaning, {"enum": list(values)}, optional)


def whole(unit: str, meaning: str, low: int, high: int | None = None) -> Column:
    """A column of whole numbers from ``low``, to ``high`` if there is a highest."""
    top = {} if high is None else {"maximum": high}
    return Column("integer", unit, meaning, {"minimum": low} | top)


def share(meaning: str, optional: bool = False) -> Column:
    """A column of proportions."""
    return Column("number", "proportion", meaning, {"minimum": 0, "maximum": 1}, optional)


def _labels(axis: Axis, position: int = 0) -> list[Any]:
    return list(dict.fromkeys(label[position] for label in axis.labels))


COLUMNS: dict[str, Column] = {
    SEAT: whole("seat", "Where the opener sits, clockwise from the dealer, who is 1.", 1, 4),
    OPENING: name_of("The opening bid, level and suit (C D H S).", ONE_BIDS),
    OVERCALL_COLUMN: name_of(
        "The next hand's overcall, level and suit (C D H S).",
        sorted(_labels(pairs, 1), key=Bid.parse),
    ),
    LEVEL: whole("level", "The level of the overcall.", 1, 4),
    CALL: name_of("The responder's call, as the rules of the agreement name it.", _labels(calls)),
    MESSAGE: name_of("What the double promises.", MESSAGES),
    REASON_COLUMN: name_of("Why the double was chosen.", _labels(reasons)),
    ANSWER_COLUMN: name_of("The opener's answer to the double.", _labels(answers)),
    REST_COLUMN: name_of("Where the auction comes to rest.", _labels(rests)),
    DEALS: whole("deals", "Deals counted in the row's case.", 0),
    ESTIMATE: share("The row's deals as a share of the deals they are taken from."),
    LOW: share("Low limit of the estimate's pointwise 95% Wilson interval."),
    HIGH: share("High limit of the estimate's pointwise 95% Wilson interval."),
    EXACT: share("The same probability worked out without sampling.", optional=True),
    Z: Column(
        "number",
        "standard errors",
        "Standard errors by which the estimate lies above the exact value.",
        optional=True,
    ),
}
"""Every column by its name. Add a column here before a table uses it."""
