"""Random deals, block by block.

A block is a pure function of (seed, block number): its generator is ``SFC64`` seeded with
``SeedSequence(seed, spawn_key=(block,))``, and only the generator's raw 64-bit output is used, so
any block can be dealt again alone, in any order and by any worker.

How a deal is made
------------------
Each of the 52 cards gets an independent, uniform 16-bit key: four keys from one 64-bit output, the
lowest bits first. The 13 cards with the lowest keys go to the dealer (seat 1), the next 13 to seat
2, and so on. Only three numbers of the sorted keys are needed: the keys of ranks 14, 27 and 40 are
the thresholds below which a card goes to seat 1, to seat 1 or 2, to seat 1, 2 or 3. (A deal takes
16 outputs, so that its row of keys becomes a row of 64 bits; the keys beyond the 52nd are not
used.)

Why every deal is equally likely
--------------------------------
The keys are independent and alike, so exchanging any two cards' keys leaves their joint
distribution as it was. Two cards with the same key do no harm as long as both go to the same hand.
A deal where equal keys straddle two hands (ranks 13 and 14, 26 and 27, or 39 and 40; about one
deal in 400) has no rightful owner for them: a hand is short of 13 cards, and the deal is thrown
away and dealt again with fresh keys, after the rest of the block. Whether it is thrown away
depends on the set of key values alone, not on which card has which, and so does the split of the
sorted keys into four hands. What is left is therefore still unchanged by exchanging cards: all
52!/(13!)^4 ways to hand out the cards are equally likely, exactly, up to the generator.
"""

from __future__ import annotations

import sys

import numpy as np
from numpy.typing import NDArray

BIT_GENERATOR = np.random.SFC64
"""The named bit generator; a citation names it, so it does not change."""

BLOCK_DEALS = 50_000
"""Deals in a block."""

CARDS = 52
HAND_CARDS = 13
FULL_PACK = np.uint64((1 << CARDS) - 1)

# Few enough for keys, sorted keys and masks to stay close to the processor, enough to hide the
# cost of a NumPy call; it divides a block.
_CHUNK = 5000
_ROW_KEYS = 64
_KEYS_OF_AN_OUTPUT = 4


def deal_block(seed: int, block: int, out: NDArray[np.uint64] | None = None) -> NDArray[np.uint64]:
    """The deals of one block.

    Returns an array of shape (4 seats, :data:`BLOCK_DEALS`), uint64: each hand as 52 bits, four
    13-bit holdings side by side, clubs in the lowest 13 bits, bit 12 of a holding its ace. Seats go
    clockwise from the dealer. ``out`` is such an array to deal into, for those who deal many.
    """
    stream = BIT_GENERATOR(np.random.SeedSequence(seed, spawn_key=(block,)))
    hands = np.empty((4, BLOCK_DEALS), dtype=np.uint64) if out is None else out
    for start in range(0, BLOCK_DEALS, _CHUNK):
        _split(_keys(stream, _CHUNK), hands[:, start : start + _CHUNK])
    short = np.flatnonzero(_short(hands))
    while len(short):
        again = np.empty((4, len(short)), dtype=np.uint64)
        _split(_keys(stream, len(short)), again)
        hands[:, short] = again
        short = short[_short(again)]
    return hands


def _keys(stream: np.random.BitGenerator, deals: int) -> NDArray[np.uint16]:
    """The keys of some deals, shape (deals, 64), of which the first 52 count."""
    raw = stream.random_raw(deals * _ROW_KEYS // _KEYS_OF_AN_OUTPUT)
    if sys.byteorder == "big":
        raw = raw.byteswap()
    return raw.view("<u2").reshape(deals, _ROW_KEYS)


def _split(keys: NDArray[np.uint16], hands: NDArray[np.uint64]) -> None:
    """Hand out the cards by their keys, into ``hands`` of shape (4, deals)."""
    # NumPy sorts 32-bit numbers with vector instructions on more processors than 16-bit ones.
    in_order = keys[:, :CARDS].astype(np.uint32)
    in_order.sort(axis=1)
    below = np.empty(keys.shape, dtype=np.bool_)
    for seat in (1, 2, 3):
        threshold = in_order[:, HAND_CARDS * seat, np.newaxis].astype(np.uint16)
        np.less(keys, threshold, out=below)
        bits = np.packbits(below.reshape(-1), bitorder="little").view("<u8")
        np.bitwise_and(bits, FULL_PACK, out=hands[seat - 1])
    # So far each seat has the cards of those before it as well.
    np.bitwise_xor(hands[2], FULL_PACK, out=hands[3])
    hands[2] ^= hands[1]
    hands[1] ^= hands[0]


def _short(hands: NDArray[np.uint64]) -> NDArray[np.bool_]:
    """Deals where a hand is short of cards, since equal keys straddle it and the next."""
    return (
        (np.bitwise_count(hands[0]) < HAND_CARDS)
        | (np.bitwise_count(hands[1]) != HAND_CARDS)
        | (np.bitwise_count(hands[2]) != HAND_CARDS)
    )
