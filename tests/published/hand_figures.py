"""What printed tables give and no page of the study does, from the pieces of its exact side.

Probabilities are exact `Fraction`s, counts exact integers, as in the modules they are made of.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import comb

import numpy as np
from double_study.cards import hands
from double_study.cards.bids import RANKS, SUITS
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import SHAPES
from double_study.combinatorics.hands import N_HANDS, shape_ways
from double_study.combinatorics.suits import Ints
from double_study.combinatorics.two_hands import (
    N_PARTNERSHIPS,
    PARTNERSHIP_CARDS,
    chance_of_holding,
    partner_length,
    partnership_lengths,
)
from double_study.errors import InputError
from numpy.typing import NDArray


def total_by(lengths: NDArray[np.integer], ways: Ints) -> Ints:
    """Return the ways added up by a length of 0 to 13; int64 of shape (14,)."""
    totals = np.zeros(HAND_CARDS + 1, dtype=np.int64)
    np.add.at(totals, lengths, ways)
    return totals


def chance(ways: int | np.integer) -> Fraction:
    """Return the probability of a case that `ways` of the `N_HANDS` hands belong to."""
    return Fraction(int(ways), N_HANDS)


def patterns() -> dict[tuple[int, ...], int]:
    """Return the hands of each of the 39 patterns: lengths from longest to shortest, any suits."""
    ways: dict[tuple[int, ...], int] = {}
    for shape, number in zip(SHAPES.tolist(), shape_ways().tolist(), strict=True):
        pattern = tuple(sorted(shape, reverse=True))
        ways[pattern] = ways.get(pattern, 0) + number
    return ways


def longest_suit_ways() -> Ints:
    """Return the hands by the length of their longest suit, 0 to 13 (none below 4); int64 of shape (14,)."""
    return total_by(SHAPES.max(axis=1), shape_ways())


def no_card_above(rank: str) -> int:
    """Return the hands without a card above `rank`, one of `cards.RANKS`: '9' gives the Yarboroughs."""
    return comb(len(SUITS) * (RANKS.index(rank) + 1), HAND_CARDS)


def aces(number: int) -> int:
    """Return the hands with exactly `number` aces."""
    return comb(len(SUITS), number) * comb(52 - len(SUITS), HAND_CARDS - number)


def honours_in_some_suit(number: int) -> int:
    """Return the hands with exactly `number` of the five honours A K Q J T in at least one suit."""
    top = hands.ACE | hands.KING | hands.QUEEN | hands.JACK | hands.TEN
    held = np.bitwise_count(np.arange(hands.N_HOLDINGS) & top)
    without = np.bincount(hands.LENGTH[held != number], minlength=HAND_CARDS + 1)
    return N_HANDS - int(join_suits([without] * len(SUITS))[HAND_CARDS])


def join_suits(ways: Iterable[Ints]) -> Ints:
    """Return the ways to hold n cards over several suits, from the ways by length in each."""
    joined = np.ones(1, dtype=np.int64)
    for suit_ways in ways:
        joined = np.convolve(joined, suit_ways)
    return joined


def split(outstanding: int, longer: int) -> Fraction:
    """Return the chance that the cards outstanding in a suit split longer - rest, either way round."""
    one_way = chance_of_holding(longer, outstanding)
    return one_way if 2 * longer == outstanding else 2 * one_way


def one_layout(outstanding: int, held: int) -> Fraction:
    """Return the chance that one hand holds `held` named cards of those outstanding, the other the rest.

    Raises InputError if `held` is negative or more than are outstanding.
    """
    if not 0 <= held <= outstanding:
        raise InputError(f"{held} cannot be held of {outstanding} cards outstanding")
    return chance_of_holding(held, outstanding) / comb(outstanding, held)


def combined_length() -> tuple[Fraction, ...]:
    """Return the chances that a partnership holds 0 to 13 cards of a named suit."""
    return tuple(
        chance_of_holding(k, HAND_CARDS, PARTNERSHIP_CARDS, PARTNERSHIP_CARDS) for k in range(14)
    )


def combined_length_opposite(ways: Ints) -> tuple[Fraction, ...]:
    """Return the chances of 0 to 13 cards of a suit in two hands, something being known of the first.

    Parameters
    ----------
    ways : int64 of shape (14,)
        Hands that the first may hold, by its length in the suit.

    Raises
    ------
    InputError
        If there is no such hand.
    """
    total = int(ways.sum())
    if total == 0:
        raise InputError("no hand is left that the first hand may hold")
    chances = [Fraction(0)] * (HAND_CARDS + 1)
    for own, number in enumerate(ways.tolist()):
        for k, partner in enumerate(partner_length(own)[: HAND_CARDS + 1 - own]):
            chances[own + k] += Fraction(number, total) * partner
    return tuple(chances)


def longest_fit_ways() -> Ints:
    """Return the sets of 26 cards by the most that they have of one suit; int64 (14,), none below 7."""
    lengths, ways = partnership_lengths()
    return total_by(lengths.max(axis=1), ways)


def longest_fits_ways() -> Ints:
    """Return the sets of 26 cards by longest fit of one side and of the other; int64 (14, 14)."""
    lengths, ways = partnership_lengths()
    table = np.zeros((HAND_CARDS + 1, HAND_CARDS + 1), dtype=np.int64)
    np.add.at(table, (lengths.max(axis=1), HAND_CARDS - lengths.min(axis=1)), ways)
    return table


def fit(suits: Sequence[int] = SUITS, cards: int = 8) -> Fraction:
    """Return the chance that one side has a fit of at least `cards` in at least one of `suits`."""
    lengths, ways = partnership_lengths()
    ours = (lengths[:, list(suits)] >= cards).any(axis=1)
    return Fraction(int(ways[ours].sum()), N_PARTNERSHIPS)


def fit_both_sides(suits: Sequence[int] = SUITS, cards: int = 8) -> Fraction:
    """Return the chance that each side has a fit of at least `cards` in at least one of `suits`."""
    lengths, ways = partnership_lengths()
    ours = (lengths[:, list(suits)] >= cards).any(axis=1)
    theirs = (HAND_CARDS - lengths[:, list(suits)] >= cards).any(axis=1)
    return Fraction(int(ways[ours & theirs].sum()), N_PARTNERSHIPS)
