"""Random deals, block by block.

A block is a pure function of (seed, block number): its generator is ``SFC64`` seeded with
``SeedSequence(seed, spawn_key=(block,))``, and only the generator's raw 64-bit output is used, so
any block can be dealt again alone, in any order and by any worker.

How a deal is made
------------------
Each of the 52 cards gets an independent, uniform 32-bit key: two keys from one 64-bit output, the
low half first. The 13 cards with the lowest keys go to the dealer (seat 1), the next 13 to seat 2,
and so on. Only three numbers of the sorted keys are needed: the keys of ranks 14, 27 and 40 are
the thresholds below which a card goes to seat 1, to seat 1 or 2, to seat 1, 2 or 3.

Why every deal is equally likely
--------------------------------
The keys are independent and alike, so exchanging any two cards' keys leaves their joint
distribution as it was. Two cards with the same key do no harm as long as both go to the same hand.
A deal where equal keys straddle two hands (ranks 13 and 14, 26 and 27, or 39 and 40) has no
rightful owner for them: it is thrown away and dealt again with fresh keys. Whether it is thrown
away depends on the set of key values alone, not on which card has which, and so does the split of
the sorted keys into four hands. What is left is therefore still unchanged by exchanging cards:
all 52!/(13!)^4 ways to hand out the cards are equally likely, exactly, up to the generator.
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

# Keys, sorted keys and masks of this many deals stay in a processor's cache; it divides a block
# and is even, since two deals are packed into 13 bytes.
_CHUNK = 5000
_PAIR_BYTES = 2 * CARDS // 8


def deal_block(seed: int, block: int) -> NDArray[np.uint64]:
    """The deals of one block.

    Returns an array of shape (4 seats, :data:`BLOCK_DEALS`), uint64: each hand as 52 bits, four
    13-bit holdings side by side, clubs in the lowest 13 bits, bit 12 of a holding its ace. Seats go
    clockwise from the dealer.
    """
    stream = BIT_GENERATOR(np.random.SeedSequence(seed, spawn_key=(block,)))
    hands = np.empty((4, BLOCK_DEALS), dtype=np.uint64)
    for start in range(0, BLOCK_DEALS, _CHUNK):
        hands[:, start : start + _CHUNK] = hands_from_keys(stream)
    return hands


def hands_from_keys(stream: np.random.BitGenerator) -> NDArray[np.uint64]:
    """Deal one chunk from ``stream``; shape (4, chunk), as in :func:`deal_block`."""
    keys = _keys(stream, _CHUNK)
    in_order = np.sort(keys, axis=1)
    while (straddled := _straddled(in_order)).any():
        keys[straddled] = _keys(stream, int(straddled.sum()))
        in_order[straddled] = np.sort(keys[straddled], axis=1)

    below = np.empty((5, _CHUNK), dtype=np.uint64)
    below[0], below[4] = 0, FULL_PACK
    for seat in (1, 2, 3):
        threshold = in_order[:, HAND_CARDS * seat, np.newaxis]
        below[seat] = _packed(keys < threshold)
    return below[1:] ^ below[:-1]


def _keys(stream: np.random.BitGenerator, deals: int) -> NDArray[np.uint32]:
    raw = stream.random_raw(deals * CARDS // 2)
    if sys.byteorder == "big":
        raw = raw.byteswap()
    return raw.view("<u4").reshape(deals, CARDS)


def _straddled(in_order: NDArray[np.uint32]) -> NDArray[np.bool_]:
    """Deals where two cards of one key would go to two hands."""
    bad = np.zeros(len(in_order), dtype=np.bool_)
    for last in (12, 25, 38):
        bad |= in_order[:, last] == in_order[:, last + 1]
    return bad


def _packed(held: NDArray[np.bool_]) -> NDArray[np.uint64]:
    """Rows of 52 booleans as 52-bit integers, the first column the lowest bit.

    Packing the whole array in one go is ten times faster than packing row by row. Two rows then
    fill 13 bytes: the first starts at byte 0, the second 4 bits into byte 6, so that its last 8
    bytes hold it above 12 bits of its neighbour.
    """
    packed = np.packbits(held.reshape(-1), bitorder="little")
    rows = np.empty(len(held), dtype=np.uint64)
    for odd, first_byte in enumerate((0, _PAIR_BYTES - 8)):
        rows[odd::2] = np.ndarray(
            len(held) // 2,
            dtype="<u8",
            buffer=packed.data,
            offset=first_byte,
            strides=(_PAIR_BYTES,),
        )
    rows[0::2] &= FULL_PACK
    rows[1::2] >>= np.uint64(12)
    return rows
