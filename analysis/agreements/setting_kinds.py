"""The kinds of setting: what each may be, in words and as a check, and how it moves by one.

A field of a section in :mod:`analysis.agreements.settings` is declared by :func:`number`,
:func:`span`, :func:`choice` or :func:`ceiling`, which put its meaning and its kind into the field's
metadata.
"""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from analysis.cards.bids import NOTRUMP, Bid
from analysis.errors import InputError

MAX_HCP = 37

MOST_LISTED = 3
"""Where a setting may be one of no more numbers than these, each is named."""

LOWEST_CEILING, HIGHEST_CEILING = Bid.parse("1D"), Bid.parse("4S")
"""The lowest and the highest overcall that can be asked for."""


@dataclass(frozen=True)
class Range:
    """Points from ``low`` to ``high``, both included."""

    low: int
    high: int

    def __str__(self) -> str:
        return f"{self.low}–{self.high}"


Setting = int | bool | Range | Bid
"""What a setting may be: points or cards, yes or no, a range of points, or an overcall."""


@dataclass(frozen=True)
class Neighbour:
    """A setting moved by one: the ``end`` of it that moved (empty but for ranges), and how it reads."""

    end: str
    before: str
    after: str
    value: Setting


class Kind(ABC):
    """What a setting may be."""

    @property
    @abstractmethod
    def allowed(self) -> str:
        """In words, what it may be."""

    @abstractmethod
    def read(self, value: Any) -> Setting | None:
        """``value``, as a TOML file or as an agreement holds it; None where it is not allowed."""

    def written(self, value: Any) -> Any:
        """A setting of this kind as a TOML document holds it."""
        return value

    def moved(self, value: Any, by: int) -> Iterator[Neighbour]:
        """``value`` moved ``by`` 1 or -1, whether or not that is allowed; a choice does not move."""
        return iter(())

    @property
    @abstractmethod
    def asked(self) -> str:
        """What it may be, for a player who is asked."""

    @abstractmethod
    def answered(self, text: str) -> Setting | None:
        """A player's answer, as typed; None where it cannot be used."""

    def shown(self, value: Any) -> str:
        """A setting of this kind as a player would answer."""
        return str(value)


@dataclass(frozen=True)
class Number(Kind):
    """A whole number from ``low`` to ``high``."""

    low: int
    high: int

    @property
    def allowed(self) -> str:
        """Both ends, in words."""
        return f"a whole number from {self.low} to {self.high}"

    def read(self, value: Any) -> int | None:
        """``value`` if it is whole and within the ends."""
        whole = isinstance(value, int) and not isinstance(value, bool)
        return value if whole and self.low <= value <= self.high else None

    def moved(self, value: int, by: int) -> Iterator[Neighbour]:
        """The next number."""
        yield Neighbour("", str(value), str(value + by), value + by)

    @property
    def asked(self) -> str:
        """Each number where they are few, otherwise the two ends."""
        few = range(self.low, self.high + 1)
        return " or ".join(map(str, few)) if len(few) <= MOST_LISTED else self.allowed

    def answered(self, text: str) -> int | None:
        """The number, in digits."""
        return self.read(int(text)) if re.fullmatch(r"\d{1,2}", text) else None


@dataclass(frozen=True)
class Span(Kind):
    """A range of points, whose two ends move on their own."""

    ends: Number = Number(0, MAX_HCP)

    @property
    def allowed(self) -> str:
        """The form and the ends, in words."""
        within = f"from {self.ends.low} to {self.ends.high}"
        return f"[lowest, highest], whole numbers {within}, the lowest first"

    def read(self, value: Any) -> Range | None:
        """A :class:`Range` or a list of its two ends."""
        ends = self.written(value) if isinstance(value, Range) else value
        whole = isinstance(ends, list) and len(ends) == 2 and None not in map(self.ends.read, ends)
        return Range(*ends) if whole and ends[0] <= ends[1] else None

    def written(self, value: Range) -> list[int]:
        """The two ends."""
        return [value.low, value.high]

    def moved(self, value: Range, by: int) -> Iterator[Neighbour]:
        """The lower end moved, then the upper."""
        for end in ("low", "high"):
            standing = getattr(value, end)
            changed = replace(value, **{end: standing + by})
            yield Neighbour(f".{end}", str(standing), str(standing + by), changed)

    @property
    def asked(self) -> str:
        """The form, by an example."""
        return "the lowest and the highest points, such as 13–15"

    def answered(self, text: str) -> Range | None:
        """The two ends with a dash or a word between them."""
        ends = re.fullmatch(r"(\d{1,2})\s*(?:-|–|to)\s*(\d{1,2})", text)
        return self.read([int(end) for end in ends.groups()]) if ends else None


@dataclass(frozen=True)
class Choice(Kind):
    """Yes or no."""

    @property
    def allowed(self) -> str:
        """The two, as TOML writes them."""
        return "true or false"

    def read(self, value: Any) -> bool | None:
        """``value`` if it is one of the two."""
        return value if isinstance(value, bool) else None

    @property
    def asked(self) -> str:
        """The two, in words."""
        return " or ".join(map(self.shown, (True, False)))

    def answered(self, text: str) -> bool | None:
        """Yes or no, or the first letter of it."""
        given = text.lower()
        return {self.shown(of)[: len(given)]: of for of in (True, False)}.get(given or "?")

    def shown(self, value: bool) -> str:
        """Yes or no."""
        return "yes" if value else "no"


@dataclass(frozen=True)
class Ceiling(Kind):
    """The highest overcall that something applies to; it moves to the next bid of a suit."""

    default: Bid

    @property
    def allowed(self) -> str:
        """The lowest and the highest bid, and an example."""
        return f"a suit bid from {LOWEST_CEILING} to {HIGHEST_CEILING}, such as {self.default}"

    def read(self, value: Any) -> Bid | None:
        """A :class:`~analysis.cards.bids.Bid` or its text."""
        try:
            bid = Bid.parse(value) if isinstance(value, str) else value
        except InputError:
            return None
        suit_bid = isinstance(bid, Bid) and not bid.is_notrump
        return bid if suit_bid and LOWEST_CEILING <= bid <= HIGHEST_CEILING else None

    def written(self, value: Bid) -> str:
        """The bid's text."""
        return str(value)

    def moved(self, value: Bid, by: int) -> Iterator[Neighbour]:
        """The next bid of a suit: notrump is no overcall of a suit."""
        code = value.code + by
        bid = Bid.from_code(code + by if code % 5 == NOTRUMP else code)
        yield Neighbour("", value.symbol, bid.symbol, bid)

    @property
    def asked(self) -> str:
        """The lowest and the highest bid."""
        return f"a suit bid from {LOWEST_CEILING.symbol} to {HIGHEST_CEILING.symbol}"

    def answered(self, text: str) -> Bid | None:
        """The bid, with a letter or a symbol for its suit."""
        return self.read(text)

    def shown(self, value: Bid) -> str:
        """The bid with its suit's symbol."""
        return value.symbol


def number(
    default: int, meaning: str, low: int = 0, high: int = MAX_HCP, added: bool = False
) -> Any:
    """A whole-number setting from ``low`` to ``high``."""
    return _declared(default, meaning, Number(low, high), added)


def span(low: int, high: int, meaning: str) -> Any:
    """A setting that is a range of points."""
    return _declared(Range(low, high), meaning, Span())


def choice(default: bool, meaning: str) -> Any:
    """A yes-or-no setting; the reference's text leaves no such choice."""
    return _declared(default, meaning, Choice(), added=True)


def ceiling(default: str, meaning: str) -> Any:
    """A setting that is the highest overcall to which something applies."""
    return _declared(Bid.parse(default), meaning, Ceiling(Bid.parse(default)))


def _declared(default: Setting, meaning: str, kind: Kind, added: bool = False) -> Any:
    return field(default=default, metadata={"meaning": meaning, "kind": kind, "added": added})
