"""Fingerprints of deals: by them deals are picked to be looked at, and a deal that came twice is found.

A fingerprint is a number that mixes all the cards of a deal. To the cards it is as good as random,
so which deals it picks says nothing of what is in them; and it does not depend on where a deal lies,
so the counts of parts add up to those of the whole, and a deal that comes twice is picked twice.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.auction import Auctions

Fingerprints = NDArray[np.uint64]

BITS = 64
KEPT_SHARE = 1 << 13
"""One deal in so many has its fingerprint kept: about six a block of 50,000, 49 bytes."""


@lru_cache(maxsize=1)
def fingerprints(auctions: Auctions) -> Fingerprints:
    """The fingerprint of every deal; shape (deals,)."""
    return fingerprint(auctions.cards)


def kept_fingerprints(auctions: Auctions) -> Fingerprints:
    """The fingerprints that a tally keeps: those of one deal in :data:`KEPT_SHARE`."""
    every = fingerprints(auctions)
    # KEPT_SHARE is a power of two: as a mask it costs a tenth of a remainder.
    return every[every & np.uint64(KEPT_SHARE - 1) == 0]


def fingerprint(cards: NDArray[np.uint64]) -> Fingerprints:
    """A 64-bit number that mixes all bits of a deal; uint64, shape (deals,).

    Different deals have the same number with chance 2**-64, as if it were drawn at random.
    """
    mixed = cards[0].copy()
    for hand in cards[1:3]:
        # Multiplication by an odd number and a shift to the right lose nothing and mix upwards and
        # downwards; the fourth hand follows from the other three.
        mixed *= np.uint64(0x9E3779B97F4A7C15)
        mixed ^= mixed >> np.uint64(29)
        mixed += hand
    mixed *= np.uint64(0xD1342543DE82EF95)
    mixed ^= mixed >> np.uint64(32)
    mixed *= np.uint64(0x9E3779B97F4A7C15)
    return mixed ^ (mixed >> np.uint64(29))
