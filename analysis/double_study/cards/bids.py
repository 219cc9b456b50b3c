"""The pack, the seats and the calls, and how they are written.

Suits are indexed 0 to 3 in rank order: clubs, diamonds, hearts, spades; a bid's denomination may
also be 4, notrump. Inside arrays a bid is one small integer, its *code*, so that a higher bid is a
higher number: ``5 * (level - 1) + denomination``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import total_ordering
from typing import Any

from double_study.errors import InputError
from double_study.escape import quoted

CLUBS, DIAMONDS, HEARTS, SPADES, NOTRUMP = range(5)
SUITS = (CLUBS, DIAMONDS, HEARTS, SPADES)
MINORS = (CLUBS, DIAMONDS)
MAJORS = (HEARTS, SPADES)

DENOMINATIONS = ("C", "D", "H", "S", "NT")
SUIT_NAMES = ("clubs", "diamonds", "hearts", "spades")
SUIT_SYMBOLS = ("♣", "♦", "♥", "♠")
RANKS = "23456789TJQKA"
"""The ranks in order; the rank's position is its bit in a holding."""

N_DEALS = 53_644_737_765_488_792_839_237_440_000
"""The number of bridge deals: 52! / (13!)^4."""

NO_BID = -1


class BareCall(StrEnum):
    """A call other than a bid; it equals its name in tables."""

    PASS = "pass"
    DOUBLE = "double"

    @property
    def symbol(self) -> str:
        return self.value


PASS, DOUBLE = BareCall


def bid_code(level: Any, denomination: Any) -> Any:
    """Return the code of a bid: an int for ints, an array of codes for arrays."""
    return 5 * (level - 1) + denomination


@total_ordering
@dataclass(frozen=True)
class Bid:
    """A bid: ``level`` 1 to 7 and ``denomination`` 0 to 4 (clubs ... spades, notrump)."""

    level: int
    denomination: int

    @classmethod
    def parse(cls, text: str) -> Bid:
        """Read a bid such as ``1C``, ``2nt``, ``3♠`` or ``1N``; raise :class:`InputError` otherwise."""
        word = text.strip().upper().replace("\ufe0e", "").replace("\ufe0f", "")
        for suit, symbol in enumerate(SUIT_SYMBOLS):
            word = word.replace(symbol, DENOMINATIONS[suit])
        if word.endswith("N"):
            word += "T"
        if len(word) >= 2 and word[0] in "1234567" and word[1:] in DENOMINATIONS:
            return cls(int(word[0]), DENOMINATIONS.index(word[1:]))
        raise InputError(f"{quoted(text)} is not a bid; allowed: 1C to 7NT")

    @classmethod
    def from_code(cls, code: int) -> Bid:
        return cls(int(code) // 5 + 1, int(code) % 5)

    @property
    def code(self) -> int:
        """The bid as one integer, 0 (1C) to 34 (7NT)."""
        return int(bid_code(self.level, self.denomination))

    @property
    def is_notrump(self) -> bool:
        return self.denomination == NOTRUMP

    @property
    def symbol(self) -> str:
        """The bid as it is printed for readers, such as 2♥ or 3NT."""
        return f"{self.level}{(*SUIT_SYMBOLS, 'NT')[self.denomination]}"

    def __str__(self) -> str:
        return f"{self.level}{DENOMINATIONS[self.denomination]}"

    def __lt__(self, other: Bid) -> bool:
        return self.code < other.code


Call = Bid | BareCall


def call_symbol(call: Call | None) -> str:
    """Return a call as readers see it: pass, double or 2♥; None if the agreement has no call."""
    return "not in the agreement" if call is None else call.symbol


def legal_calls(calls: Sequence[Call], highest: Bid) -> list[Call]:
    """Return the calls that are legal after ``calls``: a pass, a double, and the bids up to ``highest``."""
    passes = next((n for n, call in enumerate(reversed(calls)) if call != PASS), len(calls))
    bids = [call for call in calls if isinstance(call, Bid)]
    # Only a bid of the other side can be doubled, and only once.
    double = [DOUBLE] if bids and bids[-1] == calls[-1 - passes] and passes % 2 == 0 else []
    higher = range(bids[-1].code + 1 if bids else 0, highest.code + 1)
    return [PASS, *double, *map(Bid.from_code, higher)]
