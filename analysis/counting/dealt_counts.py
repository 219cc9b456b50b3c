"""What was dealt, counted so that the deals themselves can be held against exact values.

These counts look at few of the deals, enough to find a fault of the dealer at little cost to the
run. Deals are picked by their fingerprint.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.bidding.auction import Auctions
from analysis.cards.bids import DENOMINATIONS, HEARTS, RANKS, SPADES, SUIT_NAMES, SUITS
from analysis.cards.hand_classes import N_HCP, SHAPES, class_of
from analysis.cards.hands import (
    HCP_BITS,
    LENGTH_BITS,
    LENGTH_SHIFT,
    SHAPE_HCP_BITS,
    SUIT_CARDS,
)
from analysis.counting.blocks import Blocks
from analysis.counting.fingerprints import BITS, fingerprints
from analysis.counting.tally import Axis, Count, Counts
from analysis.exact.two_hands import MAX_PAIR_HCP, pair_lengths

CHECKED_SHARE = 8
"""One deal in so many is looked at for its cards, hands and splits."""

SEATS = (1, 2, 3, 4)

_NO_FLAGS = np.uint32((1 << SHAPE_HCP_BITS) - 1)


@lru_cache(maxsize=1)
def looked_at(auctions: Auctions) -> NDArray[np.intp]:
    """The deals looked at, whose fingerprint is among the lowest."""
    return np.flatnonzero(fingerprints(auctions) < np.uint64((1 << BITS) // CHECKED_SHARE))


@lru_cache(maxsize=1)
def _words(auctions: Auctions) -> NDArray[np.uint32]:
    """The words of their hands, flags left out; shape (4, deals)."""
    return auctions.words.take(looked_at(auctions), axis=1) & _NO_FLAGS


def _pair(auctions: Auctions) -> NDArray[np.uint32]:
    """Seats 1 and 3 as one word: no length passes 13 and no points 40, so nothing carries."""
    north, _, south, _ = _words(auctions)
    return north + south


def _length(words: NDArray[np.uint32], suit: int) -> NDArray[np.uint32]:
    return (words >> np.uint32(LENGTH_SHIFT[suit])) & np.uint32(15)


def _hand_classes(auctions: Auctions) -> tuple[ArrayLike, ...]:
    shape, hcp = np.divmod(class_of(_words(auctions)), np.int32(N_HCP))
    return np.arange(len(SEATS))[:, np.newaxis], shape, hcp


@lru_cache
def _pair_lengths_number() -> NDArray[np.int16]:
    """The position of a partnership's lengths in ``pair_lengths``, by the word's length bits."""
    lengths, _ = pair_lengths()
    number = np.zeros(1 << LENGTH_BITS, dtype=np.int16)
    number[(lengths << (np.array(LENGTH_SHIFT) - HCP_BITS)).sum(axis=1)] = np.arange(len(lengths))
    return number


def _major_splits(auctions: Auctions) -> tuple[ArrayLike, ...]:
    pair, east = _pair(auctions), _words(auctions)[1]
    return tuple(_length(words, suit) for suit in (HEARTS, SPADES) for words in (pair, east))


_EVERY_EIGHTH_BIT = np.uint64(0x0101010101010101)
_BYTE = 255


@dataclass(frozen=True)
class _CardCount(Count):
    """A table by card and seat, added up bit by bit: far quicker than one cell at a time."""

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of the auctions of some blocks; int64, of :attr:`shape`."""
        cards = auctions.cards.take(looked_at(auctions), axis=1)
        table = np.zeros((len(SEATS), 64), dtype=np.int64)
        for bit in range(8):
            # Every eighth card at once: its sum over as many deals as a byte can count.
            lanes = (cards >> np.uint64(bit)) & _EVERY_EIGHTH_BIT
            sums = np.add.reduceat(lanes, np.arange(0, lanes.shape[1], _BYTE), axis=1)
            by_byte = sums.astype("<u8").view(np.uint8).reshape(len(SEATS), -1, 8)
            table[:, bit::8] = by_byte.sum(axis=1)
        return table[:, : len(CARD_NAMES)].T


CARD_NAMES = tuple(DENOMINATIONS[suit] + rank for suit in SUITS for rank in RANKS)

seats = Axis.of("seat", SEATS)
_shapes = Axis(SUIT_NAMES, tuple(map(tuple, SHAPES.tolist())))
_pair_lengths = Axis(SUIT_NAMES, tuple(map(tuple, pair_lengths()[0].tolist())))


def _lengths(column: str) -> Axis:
    return Axis.of(column, range(SUIT_CARDS + 1))


CARDS_BY_SEAT = _CardCount(
    "cards_by_seat", (Axis.of("card", CARD_NAMES), seats), lambda auctions: ()
)
HAND_CLASSES = Count("hand_classes", (seats, _shapes, Axis.of("hcp", range(N_HCP))), _hand_classes)
PARTNERSHIP_LENGTHS = Count(
    "partnership_lengths",
    (_pair_lengths,),
    lambda a: (_pair_lengths_number()[_pair(a) >> np.uint32(HCP_BITS)],),
)
PARTNERSHIP_HCP = Count(
    "partnership_hcp",
    (Axis.of("hcp", range(MAX_PAIR_HCP + 1)),),
    lambda a: (_pair(a) & np.uint32((1 << HCP_BITS) - 1),),
)
MAJOR_SPLITS = Count(
    "major_splits",
    (
        _lengths("hearts_1_and_3"),
        _lengths("hearts_2"),
        _lengths("spades_1_and_3"),
        _lengths("spades_2"),
    ),
    _major_splits,
)
DEALT_COUNTS = (
    CARDS_BY_SEAT,
    HAND_CLASSES,
    PARTNERSHIP_LENGTHS,
    PARTNERSHIP_HCP,
    MAJOR_SPLITS,
)
"""The tables that check the dealer. Seats 1 and 3 are partners; the other side has the rest."""
