"""What a hand is worth: lengths, points, shape, good suits, stoppers and honours; classes of hands.

A *holding* is a hand's cards in one suit: 13 bits, from bit 12 for the ace to bit 0 for the two. Tables
of 8,192 entries say everything about a holding that the bidding depends on. Everything about a hand
fits in one 30-bit *word*, the sum of four look-ups, one per suit:

======  =====================================================
bits    meaning
======  =====================================================
0-5     high-card points (HCP), 0 to 37
6-17    lengths of clubs, diamonds and hearts, 4 bits each
18-21   a good suit: clubs, diamonds, hearts, spades
22-25   a stopper: clubs, diamonds, hearts, spades
26-29   the ace, king or queen of clubs, diamonds, hearts, spades
======  =====================================================

The fourth length follows from the other three. Dealt hands, and the classes of hands that the exact
side counts, are both arrays of words, so the same rules serve both.

Most of the bidding depends on a hand's shape and points alone. The 560 shapes and 38 point counts
make 21,280 *classes*, which stand for all 635,013,559,600 hands: the sampler bids by look-up in
tables of classes, the tally counts by class, and the exact side counts the classes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import product
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import SUIT_NAMES
from double_study.columns import Combination

IntArray = NDArray[np.int16]
BoolArray = NDArray[np.bool_]
Suit = int | NDArray[np.integer]
Scalar = TypeVar("Scalar", bound=np.generic)

SUIT_CARDS = 13
N_HOLDINGS = 1 << SUIT_CARDS

ACE, KING, QUEEN, JACK, TEN = (1 << rank for rank in (12, 11, 10, 9, 8))
HONOUR_POINTS = {ACE: 4, KING: 3, QUEEN: 2, JACK: 1}

HCP_BITS = 6
LENGTH_SHIFT = tuple(HCP_BITS + 4 * suit for suit in range(3))
"""The shifts of the lengths of clubs, diamonds and hearts in a word."""
CLASS_BITS = 18
"""The low bits of a word, which decide its class: points and lengths, but no flags."""
LENGTH_BITS = CLASS_BITS - HCP_BITS
OF_CLASS = np.uint32((1 << CLASS_BITS) - 1)
GOOD_SHIFT, STOPPER_SHIFT, HONOUR_SHIFT = (
    tuple(start + suit for suit in range(4)) for start in (18, 22, 26)
)


def _has(cards: int) -> NDArray[np.int64]:
    """Return how many of ``cards`` (a mask) each of the 8,192 holdings has."""
    return np.bitwise_count(np.arange(N_HOLDINGS, dtype=np.uint16) & np.uint16(cards)).astype(
        np.int64
    )


LENGTH = _has(N_HOLDINGS - 1)
"""Cards in each holding, shape (8192,), int64."""

HOLDING_HCP = sum(points * _has(card) for card, points in HONOUR_POINTS.items()) + np.zeros(
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

HONOUR = _has(ACE | KING | QUEEN) >= 1
"""Holdings with the ace, king or queen; shape (8192,), bool."""


def good(minimum: int = 2) -> BoolArray:
    """Return good suits: ``minimum`` of the top five cards, one of them the ace, king or queen.

    Returns a boolean array of shape (8192,), one entry per holding.
    """
    return (_has(ACE | KING | QUEEN | JACK | TEN) >= minimum) & HONOUR


@lru_cache
def word_tables(good_minimum: int = 2) -> NDArray[np.uint32]:
    """Return the summand of each holding in the word of a hand; shape (4 suits, 8192), uint32."""
    flags = {GOOD_SHIFT: good(good_minimum), STOPPER_SHIFT: STOPPER, HONOUR_SHIFT: HONOUR}
    tables = np.tile(HOLDING_HCP, (4, 1))
    tables[:3] += LENGTH << np.array(LENGTH_SHIFT)[:, np.newaxis]
    for shift, flag in flags.items():
        tables += flag.astype(np.int64) << np.array(shift)[:, np.newaxis]
    return tables.astype(np.uint32)


_CHUNK = 10_000
"""Hands valued at a time, few enough to stay in the processor's cache."""


def hand_words(cards: NDArray[np.uint64], good_minimum: int = 2) -> NDArray[np.uint32]:
    """Return the words of hands given as 52-bit integers (four holdings, clubs in the lowest 13 bits)."""
    tables = word_tables(good_minimum)
    words = np.empty(cards.shape, dtype=np.uint32)
    # Signed indices of pointer size, because NumPy converts any other type on each look-up.
    every, every_word = cards.reshape(-1).view(np.int64), words.reshape(-1)
    for start in range(0, every.size, _CHUNK):
        some, word = every[start : start + _CHUNK], every_word[start : start + _CHUNK]
        tables[0].take(some & (N_HOLDINGS - 1), out=word, mode="clip")
        for suit in range(1, 4):
            word += tables[suit].take((some >> (SUIT_CARDS * suit)) & (N_HOLDINGS - 1))
    return words


def class_words(
    lengths: NDArray[np.integer],
    hcp: NDArray[np.integer],
    good_suits: NDArray[np.integer] | int = 0,
    stoppers: NDArray[np.integer] | int = 0,
    honours: NDArray[np.integer] | int = 0,
) -> NDArray[np.uint32]:
    """Return the words of whole classes of hands.

    ``lengths`` has shape (4, ...); ``hcp`` and the three masks (bit *s* for suit *s*) broadcast
    against its other axes. :class:`Hands` reads these words back.
    """
    parts = [(hcp, 0), *zip(lengths, LENGTH_SHIFT, strict=False)]
    masks = zip(
        (good_suits, stoppers, honours), (GOOD_SHIFT, STOPPER_SHIFT, HONOUR_SHIFT), strict=True
    )
    parts += [(mask, shift[0]) for mask, shift in masks]
    word = sum(np.asarray(part, dtype=np.int64) << shift for part, shift in parts)
    return np.asarray(word, dtype=np.uint32)


def _lengths(cards: int) -> NDArray[np.int8]:
    """Return the four lengths for each value of a word's length bits; shape (4, 4096)."""
    three = (np.arange(1 << LENGTH_BITS) >> 4 * np.arange(3)[:, np.newaxis]) & 15
    return np.concatenate([three, cards - three.sum(axis=0, keepdims=True)]).astype(np.int8)


_LENGTHS = _lengths(SUIT_CARDS)


def _of_suits(choose: Callable[[list[int]], NDArray[np.int8]]) -> NDArray[np.int8]:
    """Apply ``choose`` to the lengths of each set of suits, by set and length bits; -1 for none."""
    table = np.full((16, 1 << LENGTH_BITS), -1, dtype=np.int8)
    for among in range(1, 16):
        suits = [suit for suit in range(4) if among >> suit & 1]
        table[among] = choose(suits)
    return table.reshape(-1)


_RANKED = 4 * _LENGTHS + np.arange(4, dtype=np.int8)[:, np.newaxis]
_LONGEST = _of_suits(lambda suits: _RANKED[suits].max(axis=0) & 3)
"""The longest of a set of suits (bit *s* for suit *s*), by set and length bits."""

_SHORTEST_LENGTH = _of_suits(lambda suits: _LENGTHS[suits].min(axis=0))
"""Cards in the shortest of a set of suits, by set and length bits."""

_LENGTH_POINTS = np.maximum(_LENGTHS - 4, 0).sum(axis=0, dtype=np.int8)
_SHORTNESS_POINTS = np.maximum(3 - _LENGTHS, 0).sum(axis=0, dtype=np.int8)
_LENGTH_POINTS_WITHOUT = (_LENGTH_POINTS - np.maximum(_LENGTHS - 4, 0)).reshape(-1)
"""Length points in three suits, by the suit left out and length bits."""


_LENGTH_PLACES = (0, 4, 8, 12)
"""The shift of each suit's length when the four lengths stand side by side."""


def _every(
    packed: NDArray[np.uint32], shifts: tuple[int, ...], mask: int, dtype: type[Scalar]
) -> NDArray[Scalar]:
    """Return the bits of each number under ``mask`` at each of ``shifts``; shape (4, ...)."""
    fields = np.empty((len(shifts), *packed.shape), dtype=dtype)
    for row, shift in enumerate(shifts):
        bits = packed >> np.uint32(shift)
        np.bitwise_and(bits, np.uint32(mask), out=fields[row, ...], casting="unsafe")
    return fields


def _at(
    packed: NDArray[np.uint32], shifts: tuple[int, ...], mask: int, suit: Suit
) -> NDArray[np.uint32]:
    """Return the bits at the shift of ``suit``; those of spades if the suit is -1, which means none."""
    shift = np.array(shifts, dtype=np.uint32).take(suit, mode="wrap")
    return (packed >> shift) & np.uint32(mask)


@dataclass(frozen=True)
class Hands:
    """Hands, or classes of hands, with the properties that the bidding depends on.

    ``words`` may have any shape; every property has that shape, those by suit with a leading axis
    of four (clubs, diamonds, hearts, spades). If a method takes a suit, it is one suit index for all
    hands or an array with one for each. Points and lengths are int16, suits int8.
    """

    words: NDArray[np.uint32]

    def rows(self, keep: NDArray[np.generic]) -> Hands:
        return Hands(self.words[keep])

    @cached_property
    def hcp(self) -> IntArray:
        return (self.words & np.uint32(63)).astype(np.int16)

    @cached_property
    def _length_bits(self) -> NDArray[np.uint32]:
        return (self.words & OF_CLASS) >> np.uint32(HCP_BITS)

    @cached_property
    def _four_lengths(self) -> NDArray[np.uint32]:
        # The third four-bit digit of the product is the sum of the three lengths, and the length of
        # spades is 13 minus that sum.
        three = (self._length_bits * np.uint32(0x111)) & np.uint32(0xF00)
        return self._length_bits + np.uint32(SUIT_CARDS << LENGTH_BITS) - (three << np.uint32(4))

    def _of_lengths(self, table: NDArray[np.int8], of: ArrayLike) -> NDArray[np.int8]:
        """Look up the lengths in a table by a suit or a set of suits."""
        row = np.asarray(of, dtype=np.uint32) << np.uint32(LENGTH_BITS)
        return table.take(self._length_bits | row)

    @cached_property
    def lengths(self) -> IntArray:
        return _every(self._four_lengths, _LENGTH_PLACES, 15, np.int16)

    def length_in(self, suit: Suit) -> IntArray:
        return _at(self._four_lengths, _LENGTH_PLACES, 15, suit).astype(np.int16)

    @cached_property
    def good(self) -> BoolArray:
        return _every(self.words, GOOD_SHIFT, 1, np.bool_)

    def good_in(self, suit: Suit) -> BoolArray:
        return _at(self.words, GOOD_SHIFT, 1, suit).astype(np.bool_)

    @cached_property
    def stopper(self) -> BoolArray:
        return _every(self.words, STOPPER_SHIFT, 1, np.bool_)

    def stopper_in(self, suit: Suit) -> BoolArray:
        return _at(self.words, STOPPER_SHIFT, 1, suit).astype(np.bool_)

    def honour_in(self, suit: Suit) -> BoolArray:
        return _at(self.words, HONOUR_SHIFT, 1, suit).astype(np.bool_)

    @cached_property
    def length_points(self) -> IntArray:
        """Length points: one for each card beyond four, over all suits."""
        return _LENGTH_POINTS.take(self._length_bits).astype(np.int16)

    @cached_property
    def support_points(self) -> IntArray:
        """Support points: HCP, plus 1 for a doubleton, 2 for a singleton and 3 for a void."""
        return self.hcp + _SHORTNESS_POINTS.take(self._length_bits)

    @cached_property
    def balanced(self) -> BoolArray:
        """Whether the shape is 4-3-3-3, 4-4-3-2 or 5-3-3-2, in any suits."""
        return (
            (self.lengths.min(axis=0) >= 2)
            & (self.lengths.max(axis=0) <= 5)
            & ((self.lengths == 2).sum(axis=0) <= 1)
        )

    @cached_property
    def two_longest(self) -> IntArray:
        ordered = np.sort(self.lengths, axis=0)
        return ordered[2] + ordered[3]

    def total_points(self, without: Suit) -> IntArray:
        """Return HCP and length points, leaving out length in the suit ``without``."""
        return self.hcp + self._of_lengths(_LENGTH_POINTS_WITHOUT, without)

    def longest_among(self, suits: ArrayLike) -> NDArray[np.int8]:
        """Return the longest of a set of suits, the higher-ranking between equals; -1 for no suits.

        ``suits`` has bit *s* set for suit *s*: one set for all hands, or one for each.
        """
        return self._of_lengths(_LONGEST, suits)

    def shortest_length_among(self, suits: ArrayLike) -> NDArray[np.int8]:
        """Return the length of the shortest of a set of suits, given as for :meth:`longest_among`."""
        return self._of_lengths(_SHORTEST_LENGTH, suits)

    def longest(self, *suits: int) -> NDArray[np.int8]:
        """Return the longest of ``suits``; between equals, the higher-ranking."""
        return self.longest_among(suit_set(suits))

    def longest_but(self, suit: Suit) -> NDArray[np.int8]:
        """Return the longest suit other than ``suit``; between equals, the higher-ranking."""
        return self.longest_among(suit_set(range(4)) - (1 << np.asarray(suit)))


def suit_set(suits: Iterable[int]) -> int:
    """Return a set of suits as one number, bit *s* for suit *s*."""
    return sum(1 << suit for suit in suits)


N_HCP = 38

SHAPES = np.array(
    [shape for shape in product(range(14), repeat=4) if sum(shape) == 13], dtype=np.int16
)
"""The 560 shapes, lexicographic; shape (560, 4): lengths of clubs, diamonds, hearts, spades."""

PARTNERSHIP_SHAPES = np.array(
    [shape for shape in product(range(14), repeat=4) if sum(shape) == 26], dtype=np.int16
)
"""The 1834 ways to divide two partners' 26 cards over the suits, lexicographic; shape (1834, 4)."""

MAX_PARTNERSHIP_HCP = 40
"""The most points that two hands can hold: all the points in the pack."""

SHAPE = Combination("shape", SUIT_NAMES, SHAPES.tolist())

N_CLASSES = len(SHAPES) * N_HCP

CLASS_WORDS = class_words(SHAPES.T[:, :, np.newaxis], np.arange(N_HCP)).reshape(-1)
"""The word of each class, no flag set; shape (21280,), uint32: in order of shapes, then of points."""


def by_word(of_class: NDArray[Scalar]) -> NDArray[Scalar]:
    """Turn values per class, shape (21280,), into a table for :func:`look_up`."""
    table = np.zeros(1 << CLASS_BITS, dtype=of_class.dtype)
    table[CLASS_WORDS] = of_class
    return table


def look_up(table: NDArray[Scalar], words: NDArray[np.uint32]) -> NDArray[Scalar]:
    """Look up each hand in a table made by :func:`by_word`; shape of ``words``."""
    return table.take(words & OF_CLASS)


_CLASS = by_word(np.arange(N_CLASSES, dtype=np.int32))


def class_of(words: NDArray[np.uint32]) -> NDArray[np.int32]:
    """Return the class of each hand, shape number * 38 + HCP; int32, shape of ``words``."""
    return look_up(_CLASS, words)


def shape_of(words: NDArray[np.uint32]) -> NDArray[np.int32]:
    """Return the number of each hand's shape in :data:`SHAPES`; int32, shape of ``words``."""
    return class_of(words) // np.int32(N_HCP)
