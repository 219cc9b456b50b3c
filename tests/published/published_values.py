"""Reads `published_values.csv`: figures printed elsewhere, each with its source."""

import csv
import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

FILE = Path(__file__).with_name("published_values.csv")

NUMBER = re.compile(r"(?P<digits>\d{1,3}(?:,\d{3})+(?!\d)|\d*\.?\d+)(?P<percent>%?)")


@dataclass(frozen=True)
class Row:
    """One published figure as it was printed."""

    kind: str
    id: str
    quantity: str
    published_value: str
    source: str
    note: str

    def __str__(self) -> str:
        return f"{self.id}: {self.quantity}: printed {self.published_value!r} in {self.source}"


@dataclass(frozen=True)
class Printed:
    """A printed number, and half a unit of its last digit: all that rounding can hide."""

    value: Fraction
    half_unit: Fraction


def rows(kind: str) -> dict[str, Row]:
    """Return the rows of one kind (table, standard, claim or teaching), by id."""
    with FILE.open(encoding="utf-8", newline="") as lines:
        read = [Row(**line) for line in csv.DictReader(lines)]
    found = {row.id: row for row in read if row.kind == kind}
    assert len(found) == sum(row.kind == kind for row in read), "an id stands twice"
    return found


def printed_numbers(text: str) -> list[Printed]:
    """Return the numbers in a printed value, left to right; remarks in brackets are left out."""
    numbers = []
    for match in NUMBER.finditer(re.sub(r"\(.*?\)", "", text)):
        digits = match["digits"].replace(",", "")
        scale = 100 if match["percent"] else 1
        decimals = len(digits.partition(".")[2])
        numbers.append(Printed(Fraction(digits) / scale, Fraction(1, 2 * 10**decimals) / scale))
    return numbers
