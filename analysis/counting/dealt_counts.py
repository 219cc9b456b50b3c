"""What was dealt, counted so that the deals themselves can be compared with exact values.

These counts look at few of the deals, enough to find a fault of the dealer at little cost to the
run. Deals are picked by their fingerprint.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.bidding.auction import Auctions
from analysis.cards.bids import DENOMINATIONS, HEARTS, RANKS, SPADES, SUIT_SYMBOLS, SUITS
from analysis.cards.hand_classes import (
    HCP,
    LENGTHS,
    MAX_PARTNERSHIP_HCP,
    N_HCP,
    PARTNERSHIP_SHAPES,
    SHAPE,
    class_of,
)
from analysis.cards.hands import (
    HCP_BITS,
    LENGTH_BITS,
    LENGTH_SHIFT,
    SHAPE_HCP_BITS,
    SUIT_CARDS,
)
from analysis.counting.blocks import Blocks
from analysis.counting.fingerprints import BITS, fingerprints
from analysis.counting.tally import Count, Counts
from analysis.vocabulary.dimension import Combinations, Dimension, Numbers

CHECKED_SHARE = 8
"""One deal in so many is looked at for its cards, hands and splits."""


_NO_FLAGS = np.uint32((1 << SHAPE_HCP_BITS) - 1)


@lru_cache(maxsize=1)
def looked_at(auctions: Auctions) -> NDArray[np.intp]:
    """The deals looked at, whose fingerprint is among the lowest."""
    return np.flatnonzero(fingerprints(auctions) < np.uint64((1 << BITS) // CHECKED_SHARE))


@lru_cache(maxsize=1)
def _words(auctions: Auctions) -> NDArray[np.uint32]:
    """The words of their hands, flags left out; shape (4, deals)."""
    return auctions.words.take(looked_at(auctions), axis=1) & _NO_FLAGS


def _partners(auctions: Auctions) -> NDArray[np.uint32]:
    """Seats 1 and 3 as one word: no length passes 13 and no points 40, so nothing carries."""
    north, _, south, _ = _words(auctions)
    return north + south


def _length(words: NDArray[np.uint32], suit: int) -> NDArray[np.uint32]:
    return (words >> np.uint32(LENGTH_SHIFT[suit])) & np.uint32(15)


def _hand_classes(auctions: Auctions) -> tuple[ArrayLike, ...]:
    shape, hcp = np.divmod(class_of(_words(auctions)), np.int32(N_HCP))
    return np.array(EACH_SEAT.names)[:, np.newaxis], shape, hcp


@lru_cache
def _partnership_shape_codes() -> NDArray[np.int16]:
    """The position of a partnership's lengths in PARTNERSHIP_SHAPES, by the word's length bits."""
    codes = np.zeros(1 << LENGTH_BITS, dtype=np.int16)
    bits = (PARTNERSHIP_SHAPES.astype(np.int64) << (np.array(LENGTH_SHIFT) - HCP_BITS)).sum(axis=1)
    codes[bits] = np.arange(len(bits))
    return codes


def _major_splits(auctions: Auctions) -> tuple[ArrayLike, ...]:
    words = _partners(auctions), _words(auctions)[1]
    return tuple(_length(word, suit) for suit in (HEARTS, SPADES) for word in words)


_EVERY_EIGHTH_BIT = np.uint64(0x0101010101010101)
_BYTE = 255


@dataclass(frozen=True)
class _CardCount(Count):
    """A table by card and seat, added up bit by bit: far quicker than one cell at a time."""

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of the auctions of some blocks; int64, of :attr:`shape`."""
        cards = auctions.cards.take(looked_at(auctions), axis=1)
        table = np.zeros((EACH_SEAT.size, 64), dtype=np.int64)
        for bit in range(8):
            # Every eighth card at once: its sum over as many deals as a byte can count.
            lanes = (cards >> np.uint64(bit)) & _EVERY_EIGHTH_BIT
            sums = np.add.reduceat(lanes, np.arange(0, lanes.shape[1], _BYTE), axis=1)
            by_byte = sums.astype("<u8").view(np.uint8).reshape(EACH_SEAT.size, -1, 8)
            table[:, bit::8] = by_byte.sum(axis=1)
        return table[:, : CARD.size].T


EVERY_SEAT = Numbers("seat", "seat", "The opener's seat, 0 where all passed.", range(5), "seat")
EACH_SEAT = Numbers("seat", "seat", "A seat, clockwise from the dealer, who is 1.", range(1, 5))
CARD = Dimension(
    "card",
    "card",
    "A card, suit and rank.",
    {DENOMINATIONS[suit] + rank: SUIT_SYMBOLS[suit] + rank for suit in SUITS for rank in RANKS},
)
PARTNERSHIP_SHAPE = Combinations(LENGTHS, PARTNERSHIP_SHAPES.tolist())
PARTNERS_HCP = Numbers(
    "hcp", "HCP", "High-card points of two partners.", range(MAX_PARTNERSHIP_HCP + 1), "points"
)


def _cards(column: str, what: str) -> Numbers:
    return Numbers(column, column.replace("_", " "), what, range(SUIT_CARDS + 1), "cards")


CARDS_BY_SEAT = _CardCount("cards_by_seat", (CARD, EACH_SEAT), lambda auctions: ())
HAND_CLASSES = Count("hand_classes", (EACH_SEAT, SHAPE, HCP), _hand_classes)
PARTNERSHIP_LENGTHS = Count(
    "partnership_lengths",
    (PARTNERSHIP_SHAPE,),
    lambda a: (_partnership_shape_codes()[_partners(a) >> np.uint32(HCP_BITS)],),
)
PARTNERSHIP_HCP = Count(
    "partnership_hcp",
    (PARTNERS_HCP,),
    lambda a: (_partners(a) & np.uint32((1 << HCP_BITS) - 1),),
)
MAJOR_SPLITS = Count(
    "major_splits",
    (
        _cards("hearts_1_and_3", "Hearts of seats 1 and 3."),
        _cards("hearts_2", "Hearts of seat 2."),
        _cards("spades_1_and_3", "Spades of seats 1 and 3."),
        _cards("spades_2", "Spades of seat 2."),
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
