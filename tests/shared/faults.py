"""Faults to plant in dealer and rules, each in a share of the places where it could show.

A fault is a module, a name in it, and the object that replaces the one of that name. The docstring of
what plants it is what page 06 says of it.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from types import ModuleType
from typing import Any, NamedTuple

import numpy as np
from double_study.agreements.settings import OpeningSettings
from double_study.cards import deal as dealing
from double_study.cards.bids import CLUBS, SPADES
from double_study.cards.deal import BLOCK_DEALS, FULL_PACK, HAND_CARDS, Sets, deal_block
from double_study.cards.hands import ACE, SUIT_CARDS
from double_study.counting import run as study
from double_study.rules import auction
from double_study.rules.opening import opening_lookup
from numpy.typing import NDArray

ACE_OF_SPADES = np.uint64(ACE << SPADES * SUIT_CARDS)
TWO_OF_CLUBS = np.uint64(1 << CLUBS * SUIT_CARDS)
LAST_BLOCK = 7
STUCK = np.uint64(1) << np.uint64(17)
"""A bit of the generator: the coin of the six of diamonds."""


class Fault(NamedTuple):
    """In ``module``, ``name`` is ``instead``: the arguments of ``monkeypatch.setattr``."""

    module: ModuleType
    name: str
    instead: Any


def dealt(fault: Callable[[Sets, int, int], Sets]) -> Fault:
    """Make the study deal ``fault(cards, seed, block)``, where ``cards`` are the right deals."""

    def faulty(seed: int, block: int) -> Sets:
        return fault(deal_block(seed, block), seed, block)

    return Fault(study, "deal_block", faulty)


def in_a_share(fault: Callable[[Sets, int, int, float], Sets]) -> Callable[[float], Fault]:
    """Return what plants a fault of the dealer in a share of the places."""

    @wraps(fault)
    def plant(share: float) -> Fault:
        return dealt(lambda cards, seed, block: fault(cards, seed, block, share))

    return plant


def _chosen(share: float, seed: int, block: int, number: int = BLOCK_DEALS) -> NDArray[np.bool_]:
    return np.random.Generator(np.random.PCG64([seed, block])).random(number) < share


@in_a_share
def heavy_card(cards: Sets, seed: int, block: int, share: float) -> Sets:
    """Seat 1 gets the ace of spades for its two of clubs, in this share of the deals that allow it."""
    chosen = _chosen(share, seed, block)
    chosen &= (cards[0] & ACE_OF_SPADES == 0) & (cards[0] & TWO_OF_CLUBS != 0)
    one_of_them = ((cards & ACE_OF_SPADES) != 0) ^ ((cards & TWO_OF_CLUBS) != 0)
    swapped = cards ^ np.where(one_of_them, ACE_OF_SPADES | TWO_OF_CLUBS, np.uint64(0))
    return np.where(chosen, swapped, cards)


@in_a_share
def repeated_block(cards: Sets, seed: int, block: int, share: float) -> Sets:
    """This share of one block of 50,000 deals repeats another block."""
    if block == LAST_BLOCK:
        again = round(share * BLOCK_DEALS)
        cards[:, :again] = deal_block(seed, 3)[:, :again]
    return cards


@in_a_share
def turned_blocks(cards: Sets, seed: int, block: int, share: float) -> Sets:
    """This share of the odd blocks repeat the block before, turned by one seat."""
    if block % 2 and _chosen(share, seed, block, 1)[0]:
        return np.roll(deal_block(seed, block - 1), 1, axis=0)
    return cards


@in_a_share
def shared_halving(cards: Sets, seed: int, block: int, share: float) -> Sets:
    """In this share of the pairs of deals, both have the same first halving."""
    stream = np.random.SFC64(np.random.SeedSequence(seed, spawn_key=(block, 1)))
    first = (cards[0] | cards[2])[0::2]
    halves = np.stack([first, FULL_PACK ^ first])
    again = np.stack([dealing.halve(stream, half, HAND_CARDS) for half in halves])
    chosen = np.arange(1, BLOCK_DEALS, 2)[_chosen(share, seed, block, len(first))]
    cards[:, chosen] = np.concatenate([again, halves ^ again])[:, chosen // 2]
    return cards


def stuck_bit(share: float) -> Fault:
    """One bit of the generator is stuck, in this share of its outputs."""

    class Stuck:
        def __init__(self, seed: np.random.SeedSequence) -> None:
            self._right = np.random.SFC64(seed)
            self._when = np.random.Generator(np.random.PCG64(seed))

        def random_raw(self, number: int) -> Sets:
            stuck = self._when.random(number) < share
            return self._right.random_raw(number) | np.where(stuck, STUCK, np.uint64(0))

    return Fault(dealing, "BIT_GENERATOR", Stuck)


def high_threshold(share: float, seat: int) -> Fault:
    """Seat {seat} opens only on 13 points, not on 12 as agreed, in this share of the deals."""

    class Faulty:
        def __init__(self, settings: OpeningSettings) -> None:
            self._right = opening_lookup(settings)
            self._wrong = opening_lookup(replace(settings, suit=13))

        def bids(self, words: NDArray[np.uint32], of: int) -> NDArray[np.int8]:
            right = self._right.bids(words, of)
            if of != seat:
                return right
            return np.where(_chosen(share, of, 0, len(words)), self._wrong.bids(words, of), right)

    return Fault(auction, "opening_lookup", Faulty)
