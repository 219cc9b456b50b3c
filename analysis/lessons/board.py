"""A board: a deal at the table, with the dealer and the vulnerability that its number sets.

A deal has its own dealer, seat 1. At a board it is rotated so that seat 1 sits where the board's
dealer does; rotation is all that is done to it, so the passes before the opening stay as they were.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from analysis.cards.bids import DOUBLE, Bid
from analysis.cards.dealing import deal_block
from analysis.lessons.auction_of_deal import Course

COMPASS = ("North", "East", "South", "West")
SOUTH = COMPASS.index("South")
VULNERABILITIES = ("None", "NS", "EW", "All")


def dealer_of(number: int) -> int:
    """The dealer of a board, a position in COMPASS: Law 2 of the Laws of Duplicate Bridge 2017."""
    return (number - 1) % 4


def vulnerability_of(number: int) -> str:
    """Who is vulnerable at a board, by Law 2: it moves on by one with every four boards."""
    return VULNERABILITIES[(number - 1 + (number - 1) // 4) % 4]


def number_with(seat: int, compass: int, earlier: int = 0) -> int:
    """The number of the board that seats ``seat`` (1 to 4 from the dealer) at ``compass``.

    The lowest such number after ``earlier`` others; every fourth board has the same dealer.
    """
    return (compass - (seat - 1)) % 4 + 1 + 4 * earlier


@lru_cache(maxsize=8)
def _block(seed: int, block: int) -> NDArray[np.uint64]:
    """The deals of a block, kept for the boards of a lesson that come from the same one."""
    return deal_block(seed, block)


@dataclass(frozen=True)
class Origin:
    """Where a deal comes from: the seed, the block, the deal's place in it; both from 0."""

    seed: int
    block: int
    deal: int

    @property
    def cards(self) -> tuple[int, ...]:
        """The four hands, 52 bits each, by seat; dealt again."""
        return tuple(_block(self.seed, self.block)[:, self.deal].tolist())

    @property
    def place(self) -> str:
        """Block and deal as ``--only`` reads them."""
        return f"{self.block}:{self.deal}"

    def __str__(self) -> str:
        return f"seed {self.seed}, block {self.block}, deal {self.deal}"


@dataclass(frozen=True)
class Board:
    """A deal at board ``number`` and the course of its auction."""

    number: int
    origin: Origin
    course: Course

    @property
    def dealer(self) -> int:
        """The dealer, a position in COMPASS."""
        return dealer_of(self.number)

    @property
    def vulnerability(self) -> str:
        """Who is vulnerable, one of VULNERABILITIES."""
        return vulnerability_of(self.number)

    def compass(self, seat: int) -> int:
        """Where a seat (1 to 4 from the dealer) sits, a position in COMPASS."""
        return (self.dealer + seat - 1) % 4

    @property
    def hands(self) -> tuple[int, ...]:
        """The four hands, 52 bits each, in the order of COMPASS."""
        return tuple(self.course.cards[(place - self.dealer) % 4] for place in range(4))

    @cached_property
    def contract(self) -> tuple[str, int] | None:
        """The contract, such as ``4H`` or ``2SX``, and its declarer (a position in COMPASS).

        The declarer is the first of the side to have named the denomination. None where the
        auction is not followed to its end.
        """
        calls = self.course.calls
        if not self.course.complete:
            return None
        bids = {at: call for at, call in enumerate(calls) if isinstance(call, Bid)}
        last = max(bids)
        first = min(
            at
            for at, bid in bids.items()
            if bid.denomination == bids[last].denomination and (at - last) % 2 == 0
        )
        doubled = "X" if DOUBLE in calls[last:] else ""
        return f"{bids[last]}{doubled}", (self.dealer + first) % 4
