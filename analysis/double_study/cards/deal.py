"""Random deals, block by block.

A block is a pure function of (seed, block number): its generator is ``SFC64`` seeded with
``SeedSequence(seed, spawn_key=(block,))``, and only the generator's raw 64-bit output is used, so
any block can be dealt again alone, in any order and by any worker.

How a deal is made
------------------
The pack is halved, and each half is halved again. To halve a set of 2k cards, toss a coin for each
card but the lowest. If k of them fall heads, these k are the half; if k - 1 do, they and the lowest
card are; if any other number do, toss all coins again. The coins are the bits of one output of the
generator, at the places of the cards: 4.5 tosses for a pack on average, 3.2 for half of one. The
packs of a block are halved first, by the first tosses that come out even; then coins are tossed for
all halves at once, and again for those that did not come out even, until none is left.

Why every deal is equally likely
--------------------------------
Each half of k cards comes from exactly one fall of the coins: heads for its cards, tails for the
others, the lowest card left out. All falls are equally likely, so each of the C(2k, k) halves is,
too, and tossing again does not favour any. The tosses of the three halvings are independent, so all
C(52, 26) C(26, 13)^2 = 52!/(13!)^4 deals are equally likely, exactly, up to the generator.
"""

import numpy as np
from numpy.typing import NDArray

BIT_GENERATOR = np.random.SFC64
"""The named bit generator; a citation names it, so it does not change."""

BLOCK_DEALS = 50_000

CARDS = 52
HAND_CARDS = 13
FULL_PACK = np.uint64((1 << CARDS) - 1)

Sets = NDArray[np.uint64]

_LOWEST = np.uint64(1)


_TOSSES = 1 << 14
"""Packs tossed for at a time, few enough to stay in the processor's cache."""


def deal_block(seed: int, block: int) -> NDArray[np.uint64]:
    """Return the deals of one block.

    Returns an array of shape (4 seats, :data:`BLOCK_DEALS`), uint64: each hand as 52 bits, four
    13-bit holdings side by side, clubs in the lowest 13 bits, bit 12 of a holding its ace. Seats go
    clockwise from the dealer.
    """
    stream = BIT_GENERATOR(np.random.SeedSequence(seed, spawn_key=(block,)))
    halves = np.empty((2, BLOCK_DEALS), dtype=np.uint64)
    halves[0] = halve_packs(stream, BLOCK_DEALS)
    np.bitwise_xor(halves[0], FULL_PACK, out=halves[1])
    hands = np.empty((4, BLOCK_DEALS), dtype=np.uint64)
    hands[0::2] = halve(stream, halves.reshape(-1), HAND_CARDS).reshape(halves.shape)
    np.bitwise_xor(halves, hands[0::2], out=hands[1::2])
    return hands


def halve_packs(stream: np.random.BitGenerator, packs: int) -> Sets:
    """Split each pack uniformly at random and return one half; uint64, shape (packs,)."""
    coins, cards = FULL_PACK & ~_LOWEST, CARDS // 2
    halves, done = np.empty(packs, dtype=np.uint64), 0
    while done < packs:
        heads = stream.random_raw(_TOSSES)
        heads &= coins
        even = heads.take(np.flatnonzero(~_uneven(heads, cards)))[: packs - done]
        halves[done : done + len(even)] = even
        done += len(even)
    return _with_lowest(halves, _LOWEST, cards)


def halve(stream: np.random.BitGenerator, sets: Sets, cards: int) -> Sets:
    """Return half of each set, all halves equally likely.

    ``sets`` are sets of 2 x ``cards`` cards as bits, uint64 of shape (n,), and so are the halves.
    """
    coins = sets & (sets - _LOWEST)
    lowest = sets ^ coins
    halves = coins & stream.random_raw(len(sets))
    waiting = np.flatnonzero(_uneven(halves, cards))
    coins = coins.take(waiting)
    while len(waiting):
        heads = coins & stream.random_raw(len(waiting))
        halves[waiting] = heads
        again = np.flatnonzero(_uneven(heads, cards))
        waiting, coins = waiting.take(again), coins.take(again)
    return _with_lowest(halves, lowest, cards)


def _uneven(heads: Sets, cards: int) -> NDArray[np.bool_]:
    """Return which tosses to repeat: the heads are neither as many as the cards wanted nor one fewer."""
    # In unsigned arithmetic a negative difference becomes a very large number.
    return np.uint8(cards) - np.bitwise_count(heads) > 1


def _with_lowest(halves: Sets, lowest: Sets | np.uint64, cards: int) -> Sets:
    """Add the lowest card to the halves that are one card short."""
    return halves + lowest * (np.bitwise_count(halves) < cards)
