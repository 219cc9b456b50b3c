"""What the opening and the overcall settle for the rest of the auction.

The responder's and the opener's rules both turn on it: the cheapest levels, the unbid suits, what
the double promises and the values it needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.agreement import Agreement
from analysis.bidding.rules import Situation, cheapest_level
from analysis.cards import HEARTS, MAJORS, SUITS, Bid, bid_code
from analysis.hands import BoolArray, Hands, IntArray, Suit, in_suit

BOTH_MAJORS, EITHER_MAJOR, BOTH_MINORS, FOUR_SPADES, OTHER_MAJOR = range(5)
MESSAGES = ("both_majors", "either_major", "both_minors", "exactly_four_spades", "other_major")
"""What the double may promise. ``either_major`` is there only for partnerships that double with
one major when both minors were bid (setting ``response.both_majors = false``)."""

GAME_LEVEL = np.array([5, 5, 4, 4, 3], dtype=np.int16)
"""The level of game by denomination: clubs ... spades, notrump."""


@dataclass(frozen=True)
class Overcalled(Situation):
    """A hand after 1Y by its side and an overcall of ``level`` in the suit ``overcall`` (Z)."""

    opening: Suit
    overcall: Suit
    level: Suit

    @property
    def auction(self) -> tuple[NDArray[np.integer], NDArray[np.integer], NDArray[np.integer]]:
        """Y, Z and the level, as arrays."""
        return np.asarray(self.opening), np.asarray(self.overcall), np.asarray(self.level)

    @cached_property
    def overcall_bid(self) -> NDArray[np.integer]:
        """The code of the overcall."""
        return np.asarray(bid_code(np.asarray(self.level), np.asarray(self.overcall)))

    def cheapest(self, suit: Suit) -> NDArray[np.integer]:
        """The cheapest level of a suit (4: notrump) over the overcall."""
        return cheapest_level(suit, self.overcall_bid)

    @cached_property
    def rebid_level(self) -> NDArray[np.integer]:
        """The cheapest level of the opened suit."""
        return self.cheapest(self.opening)

    @cached_property
    def rebid(self) -> NDArray[np.integer]:
        """The cheapest rebid of the opened suit."""
        return np.asarray(bid_code(self.rebid_level, np.asarray(self.opening)))

    @cached_property
    def major_opened(self) -> BoolArray:
        """Whether the opening was in a major."""
        return np.asarray(self.opening) >= HEARTS

    @cached_property
    def total_points(self) -> IntArray:
        """Total points without length in the overcaller's suit."""
        return self.hands.total_points(without=self.overcall)

    @cached_property
    def in_opened(self) -> IntArray:
        """Cards in the suit opened."""
        return in_suit(self.hands.lengths, self.opening)

    @cached_property
    def in_overcalled(self) -> IntArray:
        """Cards in the overcaller's suit."""
        return in_suit(self.hands.lengths, self.overcall)

    @cached_property
    def good_overcalled(self) -> BoolArray:
        """Whether the hand's holding in the overcaller's suit is good."""
        return in_suit(self.hands.good, self.overcall)

    @cached_property
    def stopper(self) -> BoolArray:
        """Whether the overcaller's suit is stopped."""
        return in_suit(self.hands.stopper, self.overcall)

    def is_unbid(self, suit: int) -> BoolArray:
        """Whether neither side has bid ``suit``."""
        return (np.asarray(self.opening) != suit) & (np.asarray(self.overcall) != suit)

    @cached_property
    def message(self) -> NDArray[np.integer]:
        """What the double promises here, an index into :data:`MESSAGES`."""
        majors_unbid = sum(self.is_unbid(suit).astype(int) for suit in MAJORS)
        both = BOTH_MAJORS if self.agreement.response.both_majors else EITHER_MAJOR
        over_one_heart = (
            ~self.major_opened
            & (np.asarray(self.overcall) == HEARTS)
            & (np.asarray(self.level) == 1)
        )
        by_majors = np.array([BOTH_MINORS, OTHER_MAJOR, both])[majors_unbid]
        return np.where(over_one_heart, FOUR_SPADES, by_majors)

    @cached_property
    def promised(self) -> BoolArray:
        """The suits of the message; shape (4, ...)."""
        minors = self.message == BOTH_MINORS
        return self._by_suit([self.is_unbid(suit) & (minors == (suit < HEARTS)) for suit in SUITS])

    @cached_property
    def one_suit_promised(self) -> BoolArray:
        """Whether the message names a single suit."""
        return (self.message == OTHER_MAJOR) | (self.message == FOUR_SPADES)

    @cached_property
    def longest_promised(self) -> NDArray[np.int16]:
        """The hand's longest promised suit; between equals, the higher-ranking."""
        return self._longest(self.promised)

    @cached_property
    def in_longest_promised(self) -> IntArray:
        """Cards in it."""
        return in_suit(self.hands.lengths, self.longest_promised)

    @cached_property
    def in_shortest_promised(self) -> IntArray:
        """Cards in the hand's shortest promised suit."""
        return np.where(self.promised, self.hands.lengths, np.int16(13)).min(axis=0)

    def longest_unbid(self, suits: tuple[int, ...]) -> NDArray[np.int16]:
        """The longest of the unbid ``suits`` (equals: the higher); -1 where all are bid."""
        return self._longest(
            self._by_suit([self.is_unbid(s) & np.bool_(s in suits) for s in SUITS])
        )

    def _by_suit(self, flags: Sequence[ArrayLike]) -> BoolArray:
        """One flag or array of flags a suit, as one array of shape (4, ...)."""
        return np.stack([np.broadcast_to(flag, self.hands.words.shape) for flag in flags])

    def _longest(self, among: BoolArray) -> NDArray[np.int16]:
        ranks = np.array(SUITS, dtype=np.int16).reshape(4, *[1] * self.hands.words.ndim)
        best = np.where(among, self.hands.lengths * np.int16(4) + ranks, np.int16(-1)).max(axis=0)
        return np.where(best < 0, np.int16(-1), best & np.int16(3))


def _pairs() -> tuple[tuple[int, Bid], ...]:
    """Every opening suit with every overcall that the rules can make over it, up to level 4."""
    return tuple(
        (opening, Bid(level, suit))
        for opening in SUITS
        for level in range(1, 5)
        for suit in SUITS
        if suit != opening and level >= cheapest_level(suit, bid_code(1, opening))
    )


PAIRS = _pairs()
"""The 42 pairs of an opening suit and an overcall, in order of opening, then overcall."""

PAIR_OF = np.full((4, 20), -1, dtype=np.int8)
"""The position in :data:`PAIRS` of [opening suit, overcall code]; -1 where there is none."""
for _position, (_opening, _overcall) in enumerate(PAIRS):
    PAIR_OF[_opening, _overcall.code] = _position


def messages_by_pair(agreement: Agreement) -> tuple[str, ...]:
    """What the double promises after each of :data:`PAIRS`."""
    nobody = Hands(np.zeros(len(PAIRS), dtype=np.uint32))
    opening, overcall, level = (
        np.array(part)
        for part in zip(*((suit, bid.denomination, bid.level) for suit, bid in PAIRS), strict=True)
    )
    return tuple(
        MESSAGES[code] for code in Overcalled(nobody, agreement, opening, overcall, level).message
    )
