"""What a hand is worth: lengths, points, shape, good suits and stoppers.

A *holding* is what a hand has in one suit: 13 bits, bit 12 the ace ... bit 0 the two. All that the
bidding asks of a holding is a look-up in tables of 8,192 entries. All that it asks of a hand fits
in one 30-bit *word*, the sum of four look-ups, one a suit:

======  =====================================================
bits    meaning
======  =====================================================
0-5     high-card points (HCP), 0 to 37
6-21    lengths of clubs, diamonds, hearts, spades, 4 bits each
22-25   a good suit: clubs, diamonds, hearts, spades
26-29   a stopper: clubs, diamonds, hearts, spades
======  =====================================================

Dealt hands and the classes of hands that the exact side counts are both arrays of such words, so
one set of rules serves both.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

IntArray = NDArray[np.int16]
BoolArray = NDArray[np.bool_]
Suit = int | NDArray[np.integer]
Scalar = TypeVar("Scalar", bound=np.generic)

SUIT_CARDS = 13
N_HOLDINGS = 1 << SUIT_CARDS

ACE, KING, QUEEN, JACK, TEN = (1 << rank for rank in (12, 11, 10, 9, 8))
HONOUR_POINTS = {ACE: 4, KING: 3, QUEEN: 2, JACK: 1}

HCP_BITS = 6
LENGTH_SHIFT = tuple(HCP_BITS + 4 * suit for suit in range(4))
GOOD_SHIFT = tuple(22 + suit for suit in range(4))
STOPPER_SHIFT = tuple(26 + suit for suit in range(4))
SHAPE_HCP_BITS = 22
"""The low bits of a word that hold its points and lengths, and no flag."""


def _has(cards: int) -> NDArray[np.int64]:
    """How many of ``cards`` (a mask) each of the 8,192 holdings has."""
    return np.bitwise_count(np.arange(N_HOLDINGS, dtype=np.uint16) & np.uint16(cards)).astype(
        np.int64
    )


LENGTH = _has(N_HOLDINGS - 1)
"""Cards in each holding, shape (8192,), int64."""

HCP = sum(points * _has(card) for card, points in HONOUR_POINTS.items()) + np.zeros(
    N_HOLDINGS, np.int64
)
"""High-card points of each holding, 0 to 10, shape (8192,), int64."""

STOPPER = (
    (_has(ACE) == 1)
    | ((_has(KING) == 1) & (LENGTH >= 2))
    | ((_has(QUEEN) == 1) & (LENGTH >= 3))
    | ((_has(JACK) == 1) & (LENGTH >= 4))
)
"""Holdings that stop the suit: the ace, Kx, Qxx or Jxxx; shape (8192,), bool."""


def good(minimum: int = 2) -> BoolArray:
    """Good suits: ``minimum`` of the top five cards, one of them the ace, king or queen.

    Returns a boolean array of shape (8192,), one entry a holding.
    """
    return (_has(ACE | KING | QUEEN | JACK | TEN) >= minimum) & (_has(ACE | KING | QUEEN) >= 1)


@lru_cache
def word_tables(good_minimum: int = 2) -> NDArray[np.uint32]:
    """What each holding adds to the word of a hand; shape (4 suits, 8192), uint32."""
    flags = good(good_minimum)
    return np.array(
        [
            HCP
            + (LENGTH << LENGTH_SHIFT[suit])
            + (flags.astype(np.int64) << GOOD_SHIFT[suit])
            + (STOPPER.astype(np.int64) << STOPPER_SHIFT[suit])
            for suit in range(4)
        ],
        dtype=np.uint32,
    )


def hand_words(cards: NDArray[np.uint64], good_minimum: int = 2) -> NDArray[np.uint32]:
    """The words of hands given as 52-bit integers (four holdings, clubs in the lowest 13 bits)."""
    tables = word_tables(good_minimum)
    # Signed indices of pointer size save NumPy a conversion on each look-up.
    cards = cards.view(np.int64)
    words = tables[0].take(cards & (N_HOLDINGS - 1))
    for suit in range(1, 4):
        words += tables[suit].take((cards >> (SUIT_CARDS * suit)) & (N_HOLDINGS - 1))
    return words


def class_words(
    lengths: NDArray[np.integer],
    hcp: NDArray[np.integer],
    good_suits: NDArray[np.integer] | int = 0,
    stoppers: NDArray[np.integer] | int = 0,
) -> NDArray[np.uint32]:
    """The words of whole classes of hands.

    ``lengths`` has shape (4, ...); ``hcp`` and the two masks (bit *s* for suit *s*) broadcast
    against its other axes. The inverse of what :class:`Hands` reads.
    """
    word = np.asarray(hcp, dtype=np.int64)
    for suit in range(4):
        word = word + (np.asarray(lengths[suit], dtype=np.int64) << LENGTH_SHIFT[suit])
    word = word + (np.asarray(good_suits, dtype=np.int64) << GOOD_SHIFT[0])
    return (word + (np.asarray(stoppers, dtype=np.int64) << STOPPER_SHIFT[0])).astype(np.uint32)


@dataclass(frozen=True)
class Hands:
    """Hands, or classes of hands, seen through what the bidding asks of them.

    ``words`` may have any shape; every property has that shape, those by suit with a leading axis
    of four (clubs, diamonds, hearts, spades). Where a method takes a suit, it is one suit index
    for all hands or an array with one for each. Points and lengths are int16.
    """

    words: NDArray[np.uint32]

    def rows(self, keep: NDArray[np.generic]) -> Hands:
        """The hands at ``keep``, a boolean mask or an array of positions."""
        return Hands(self.words[keep])

    def _flags(self, shifts: tuple[int, ...]) -> BoolArray:
        return np.stack([(self.words >> np.uint32(s)) & np.uint32(1) for s in shifts]).astype(bool)

    @cached_property
    def hcp(self) -> IntArray:
        """High-card points: ace 4, king 3, queen 2, jack 1."""
        return (self.words & np.uint32(63)).astype(np.int16)

    @cached_property
    def lengths(self) -> IntArray:
        """Cards in each suit, shape (4, ...)."""
        return np.stack(
            [(self.words >> np.uint32(s)) & np.uint32(15) for s in LENGTH_SHIFT]
        ).astype(np.int16)

    @cached_property
    def good(self) -> BoolArray:
        """Whether each suit is good, shape (4, ...)."""
        return self._flags(GOOD_SHIFT)

    @cached_property
    def stopper(self) -> BoolArray:
        """Whether each suit is stopped, shape (4, ...)."""
        return self._flags(STOPPER_SHIFT)

    @cached_property
    def length_points(self) -> IntArray:
        """One for each card beyond four, by suit, shape (4, ...)."""
        return np.maximum(self.lengths - np.int16(4), np.int16(0))

    @cached_property
    def support_points(self) -> IntArray:
        """HCP and shortness points: doubleton 1, singleton 2, void 3."""
        return self.hcp + np.maximum(np.int16(3) - self.lengths, np.int16(0)).sum(
            axis=0, dtype=np.int16
        )

    @cached_property
    def balanced(self) -> BoolArray:
        """4-3-3-3, 4-4-3-2 or 5-3-3-2, any suits."""
        return (
            (self.lengths.min(axis=0) >= 2)
            & (self.lengths.max(axis=0) <= 5)
            & ((self.lengths == 2).sum(axis=0) <= 1)
        )

    @cached_property
    def two_longest(self) -> IntArray:
        """Cards in the two longest suits together."""
        ordered = np.sort(self.lengths, axis=0)
        return ordered[2] + ordered[3]

    def total_points(self, without: Suit) -> IntArray:
        """HCP and length points, leaving out length in the suit ``without``."""
        return self.hcp + (
            self.length_points.sum(axis=0, dtype=np.int16) - in_suit(self.length_points, without)
        )

    def longest(self, *suits: Suit) -> NDArray[np.int16]:
        """The longest of ``suits``; between equals, the higher-ranking."""
        return np.max([in_suit(self.lengths, s) * 4 + s for s in suits], axis=0) & np.int16(3)

    def longest_but(self, suit: Suit) -> NDArray[np.int16]:
        """The longest suit other than ``suit``; between equals, the higher-ranking."""
        ranked = self.lengths * np.int16(4) + np.arange(4, dtype=np.int16).reshape(
            4, *[1] * self.words.ndim
        )
        others = np.arange(4).reshape(4, *[1] * self.words.ndim) != suit
        return np.where(others, ranked, np.int16(-1)).max(axis=0) & np.int16(3)


def in_suit(by_suit: NDArray[Scalar], suit: Suit) -> NDArray[Scalar]:
    """What ``by_suit`` (shape (4, ...)) says of ``suit``: one index, or one for each hand."""
    if isinstance(suit, int) or np.ndim(suit) == 0:
        return by_suit[int(suit)]
    index = np.broadcast_to(np.asarray(suit, dtype=np.intp), by_suit.shape[1:])
    return np.take_along_axis(by_suit, index[np.newaxis], axis=0)[0]
