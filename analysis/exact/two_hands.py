"""Two hands, exactly: how a suit splits, and what a partnership holds together.

Probabilities are exact `Fraction`s; counts are exact integers, numbers of the
495,918,532,948,104 ways to hold 26 cards (`N_PARTNERSHIPS`, far inside int64).

Vacant places
-------------
A hand whose known cards leave it v places, beside other hands with w places between them, takes
any v of the v + w unseen cards with equal chance. Of c of them it holds k with the hypergeometric
probability C(v, k) C(w, c - k) / C(v + w, c). Every function on splits below is that one line.
"""

from fractions import Fraction
from functools import cache
from math import comb

import numpy as np

from analysis.cards.bids import SUITS
from analysis.cards.hand_classes import MAX_PARTNERSHIP_HCP, PARTNERSHIP_SHAPES
from analysis.errors import InputError
from analysis.exact.one_hand import (
    HAND_CARDS,
    Ints,
    one_suit_ways,
    suit_length_ways,
)

PARTNERSHIP_CARDS = 2 * HAND_CARDS
N_PARTNERSHIPS = comb(52, PARTNERSHIP_CARDS)
"""Sets of 26 cards that one partnership may hold."""


def chance_of_holding(
    held: int, outstanding: int, places: int = HAND_CARDS, other_places: int = HAND_CARDS
) -> Fraction:
    """Chance that a hand holds exactly `held` of some `outstanding` cards, by vacant places.

    Parameters
    ----------
    held, outstanding : int
        Cards in the hand in question, and unseen cards of the kind in question.
    places, other_places : int
        Vacant places of that hand, and of the other unseen hands together: 13 and 13 for two
        hands of which nothing is known, 8 and 9 once a suit is known to lie 5-4 between them,
        13 and 26 for a partner when only one's own hand is seen.

    Raises
    ------
    InputError
        If a number is negative or there are more cards than places for them.
    """
    if min(outstanding, places, other_places) < 0 or outstanding > places + other_places:
        raise InputError(
            f"{outstanding} cards cannot lie in {places} and {other_places} vacant places"
        )
    if not 0 <= held <= outstanding:
        return Fraction(0)
    ways = comb(places, held) * comb(other_places, outstanding - held)
    return Fraction(ways, comb(places + other_places, outstanding))


def partner_length(own: int) -> tuple[Fraction, ...]:
    """Chances of 0 to 13 cards in partner's hand, knowing one's own length in the suit only.

    This is the figure that players quote. It leaves out what the bidding has shown.
    """
    return tuple(
        chance_of_holding(k, HAND_CARDS - own, HAND_CARDS, PARTNERSHIP_CARDS)
        for k in range(HAND_CARDS + 1)
    )


@cache
def partnership_lengths() -> tuple[Ints, Ints]:
    """Every way to divide a partnership's 26 cards over the suits.

    Returns
    -------
    lengths : int64 of shape (1834, 4)
        Combined clubs, diamonds, hearts, spades. The other side holds 13 minus each.
    ways : int64 of shape (1834,)
        Sets of 26 cards with these lengths.
    """
    lengths = PARTNERSHIP_SHAPES.astype(np.int64)
    return lengths, suit_length_ways()[lengths].prod(axis=1)


@cache
def partnership_hcp_ways() -> Ints:
    """Sets of 26 cards with 0 to 40 HCP between them; int64 of shape (41,)."""
    suit_ways = one_suit_ways().sum(axis=(2, 3))
    # Cards by points of the suits joined so far; a suit adds up to 13 cards and 10 points.
    ways = np.zeros((PARTNERSHIP_CARDS + 1, MAX_PARTNERSHIP_HCP + 1), dtype=np.int64)
    ways[0, 0] = 1
    for _ in SUITS:
        joined = np.zeros_like(ways)
        for length, points in np.argwhere(suit_ways):
            joined[length:, points:] += (
                ways[: PARTNERSHIP_CARDS + 1 - length, : MAX_PARTNERSHIP_HCP + 1 - points]
                * suit_ways[length, points]
            )
        ways = joined
    return ways[PARTNERSHIP_CARDS]
