"""Measures: the numbers of a table, each declared once.

An *estimate* is one declaration for three columns: the value and the two limits of its interval.
"""

from __future__ import annotations

from math import isnan
from typing import Any

from analysis.vocabulary import numerals
from analysis.vocabulary.column import ABSENT, NO_UNIT, Column, Row

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
