"""What the opening and the overcall settle for the rest of the auction.

The responder's and the opener's rules both turn on it: the cheapest levels, the unbid suits, what
the double promises and the values it needs.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import product

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.rules import Situation, cheapest_level
from analysis.bidding.suit_words import Suits
from analysis.cards.bids import HEARTS, MAJORS, MINORS, SUITS, Bid, bid_code
from analysis.cards.hands import BoolArray, Hands, IntArray, Suit, suit_set
from analysis.vocabulary.column import Row
from analysis.vocabulary.dimension import Combinations, Dimension, Numbers

BOTH_MAJORS, EITHER_MAJOR, BOTH_MINORS, FOUR_SPADES, OTHER_MAJOR = range(5)
MESSAGE = Dimension(
    "message",
    "promises",
    "What the double promises.",
    {
        "both_majors": "both majors",
        "either_major": "either major",
        "both_minors": "both minors",
        "exactly_four_spades": "exactly four spades",
        "other_major": "the one unbid major",
    },
)
"""What the double may promise. ``either_major`` is there only for partnerships that double with
one major when both minors were bid (setting ``response.both_majors = false``)."""

RAISE_WORDINGS = {
    "raise_minimum": "raise with a minimum",
    "raise_jump": "raise with extra values",
    "raise_game": "raise with the values for game",
}
"""Opener's raises go by the strength that they show, whatever level is left."""

GAME_LEVEL = np.array([5, 5, 4, 4, 3], dtype=np.int16)
"""The level of game by denomination: clubs ... spades, notrump."""


def _message(opening: int, overcall: int, level: int, both_majors: bool) -> int:
    """What the double promises after one opening and one overcall, a code of MESSAGE."""
    if opening < HEARTS and overcall == HEARTS and level == 1:
        return FOUR_SPADES
    majors_unbid = len({*MAJORS} - {opening, overcall})
    both = BOTH_MAJORS if both_majors else EITHER_MAJOR
    return (BOTH_MINORS, OTHER_MAJOR, both)[majors_unbid]


def _promised(opening: int, overcall: int, level: int) -> int:
    """The set of suits that the double promises, the same whether both majors or either."""
    minors = _message(opening, overcall, level, both_majors=True) == BOTH_MINORS
    return suit_set({*(MINORS if minors else MAJORS)} - {opening, overcall})


_LEVELS = 8


def _by_auction(settled: Callable[[int, int, int], int]) -> NDArray[np.int8]:
    """What ``settled`` gives for every opening suit, suit overcalled and level, in one flat table."""
    auctions = product(SUITS, SUITS, range(_LEVELS))
    return np.array([settled(*auction) for auction in auctions], dtype=np.int8)


_MESSAGE = {both: _by_auction(partial(_message, both_majors=both)) for both in (True, False)}
_PROMISED = _by_auction(_promised)
_UNBID = _by_auction(lambda opening, overcall, level: suit_set({*SUITS} - {opening, overcall}))


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
    def _auction_number(self) -> NDArray[np.intp]:
        """Where the tables by auction have this one."""
        opening, overcall, level = self.auction
        return (opening * len(SUITS) + overcall).astype(np.intp) * _LEVELS + level

    @cached_property
    def overcall_bid(self) -> NDArray[np.integer]:
        """The code of the overcall."""
        return np.asarray(bid_code(np.asarray(self.level), np.asarray(self.overcall)))

    @cached_property
    def jump(self) -> BoolArray:
        """Whether the overcall was higher than the cheapest in its suit."""
        # The code of one of a suit is the suit.
        lowest = cheapest_level(self.overcall, np.asarray(self.opening))
        return np.asarray(self.level) > lowest

    def cheapest(self, suit: ArrayLike) -> NDArray[np.integer]:
        """The cheapest level of a suit (4: notrump) over the overcall."""
        return np.asarray(self.level) + (np.asarray(suit) <= np.asarray(self.overcall))

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
        return self.hands.length_in(self.opening)

    @cached_property
    def in_overcalled(self) -> IntArray:
        """Cards in the overcaller's suit."""
        return self.hands.length_in(self.overcall)

    @cached_property
    def good_overcalled(self) -> BoolArray:
        """Whether the hand's holding in the overcaller's suit is good."""
        return self.hands.good_in(self.overcall)

    @cached_property
    def stopper(self) -> BoolArray:
        """Whether the overcaller's suit is stopped."""
        return self.hands.stopper_in(self.overcall)

    @cached_property
    def message(self) -> NDArray[np.int8]:
        """What the double promises here, codes of :data:`MESSAGE`."""
        return _MESSAGE[self.agreement.response.both_majors].take(self._auction_number)

    @cached_property
    def promised_set(self) -> NDArray[np.int8]:
        """The suits of the message, bit *s* for suit *s*."""
        return _PROMISED.take(self._auction_number)

    @cached_property
    def promised(self) -> BoolArray:
        """The suits of the message; shape (4, ...)."""
        sets = np.broadcast_to(self.promised_set, self.hands.words.shape)
        return np.stack([sets >> suit & 1 for suit in SUITS]).astype(np.bool_)

    @cached_property
    def one_suit_promised(self) -> BoolArray:
        """Whether the message names a single suit."""
        return (self.message == OTHER_MAJOR) | (self.message == FOUR_SPADES)

    @cached_property
    def longest_promised(self) -> NDArray[np.int8]:
        """The hand's longest promised suit; between equals, the higher-ranking."""
        return self.hands.longest_among(self.promised_set)

    @cached_property
    def in_longest_promised(self) -> IntArray:
        """Cards in it."""
        return self.hands.length_in(self.longest_promised)

    @cached_property
    def in_shortest_promised(self) -> NDArray[np.int8]:
        """Cards in the hand's shortest promised suit."""
        return self.hands.shortest_length_among(self.promised_set)

    @cached_property
    def unbid_set(self) -> NDArray[np.int8]:
        """The suits that neither side has bid, bit *s* for suit *s*."""
        return _UNBID.take(self._auction_number)

    def is_unbid(self, suit: int) -> BoolArray:
        """Whether neither side has bid ``suit``."""
        return (self.unbid_set >> suit & 1).astype(np.bool_)

    @cached_property
    def longest_unbid_major(self) -> NDArray[np.int8]:
        """The hand's longest unbid major (equals: spades); -1 where both are bid."""
        return self.hands.longest_among(self.unbid_set & np.int8(suit_set(MAJORS)))

    @cached_property
    def longest_unbid_minor(self) -> NDArray[np.int8]:
        """The hand's longest unbid minor (equals: diamonds); -1 where both are bid."""
        return self.hands.longest_among(self.unbid_set & np.int8(suit_set(MINORS)))


def _first(suits: ArrayLike) -> ArrayLike:
    return np.ravel(suits)[:1]


OPENED = Suits("the suit opened", lambda s: _first(s.opening))
OVERCALLED = Suits("the overcaller's suit", lambda s: _first(s.overcall))
UNBID_MAJOR = Suits("the longer unbid major", lambda s: _first(s.longest_unbid_major))
UNBID_MINOR = Suits("the longer unbid minor", lambda s: _first(s.longest_unbid_minor))
LONGER_MAJOR = Suits("the longer major", lambda s: _first(s.hands.longest(*MAJORS)))
A_PROMISED_SUIT = Suits("a promised suit", lambda s: _first(s.longest_promised))
PROMISED = Suits(
    "the suit or suits promised",
    lambda s: np.flatnonzero(s.promised[:, 0]),
    lambda s: " or " if np.ravel(s.message)[0] == EITHER_MAJOR else " and as many ",
)


def _sequences() -> tuple[tuple[int, Bid], ...]:
    """Every opening suit with every overcall that the rules can make over it, up to level 4."""
    return tuple(
        (opening, Bid(level, suit))
        for opening in SUITS
        for level in range(1, 5)
        for suit in SUITS
        if suit != opening and level >= cheapest_level(suit, bid_code(1, opening))
    )


SEQUENCES = _sequences()
"""The 42 sequences of an opening suit and an overcall, in order of opening, then overcall."""

ONE_BIDS = tuple(Bid(1, suit) for suit in SUITS)
OPENING_BID = Dimension(
    "opening",
    "opening",
    "The opening bid, level and suit (C D H S).",
    {str(bid): bid.symbol for bid in ONE_BIDS},
)
OVERCALL_BID = Dimension(
    "overcall",
    "overcall",
    "The next hand's overcall, level and suit (C D H S).",
    {str(bid): bid.symbol for bid in sorted({bid for _, bid in SEQUENCES})},
)
LEVEL = Numbers("level", "level", "The level of the overcall.", range(1, 5), "level")
SEQUENCE = Combinations(
    (OPENING_BID, OVERCALL_BID), [(str(ONE_BIDS[suit]), str(bid)) for suit, bid in SEQUENCES]
)

SEQUENCE_CODE = np.full((4, 20), -1, dtype=np.int8)
"""The position in :data:`SEQUENCES` of [opening suit, overcall code]; -1 where there is none."""
for _code, (_opening, _overcall) in enumerate(SEQUENCES):
    SEQUENCE_CODE[_opening, _overcall.code] = _code


def every_sequence(agreement: Agreement) -> Overcalled:
    """The 42 of :data:`SEQUENCES` as one situation, with no hands in it."""
    opening, overcall, level = (
        np.array(part)
        for part in zip(
            *((suit, bid.denomination, bid.level) for suit, bid in SEQUENCES), strict=True
        )
    )
    nobody = Hands(np.zeros(len(SEQUENCES), dtype=np.uint32))
    return Overcalled(nobody, agreement, opening, overcall, level)


def messages_by_sequence(agreement: Agreement) -> tuple[str, ...]:
    """What the double promises after each of :data:`SEQUENCES`."""
    return tuple(MESSAGE.names[code] for code in every_sequence(agreement).message)


def sequence_wording(row: Row) -> str:
    """A row's opening and overcall as readers see them, such as ``1♦ (1♠)``."""
    return f"{OPENING_BID.of(row)} ({OVERCALL_BID.of(row)})"
