"""Two hands, exactly: how a suit splits, and what a partnership holds together.

Probabilities are exact `Fraction`s; counts are exact integers, numbers of the
495,918,532,948,104 ways to hold 26 cards (`N_PARTNERSHIPS`, far inside int64).

Vacant places
-------------
A hand whose known cards leave it v places, beside other hands with w places between them, takes
any v of the v + w unseen cards with equal chance. Of c of them it holds k with the hypergeometric
probability C(v, k) C(w, c - k) / C(v + w, c). Every function on splits below is that one line.

The funnel as far as the overcall, exactly: two hands at once, for an opening in first seat.

The opener is a class of hands (shape and points), the next hand a class of hands with two flags:
whether Z, its longest suit other than the one opened, is good, and whether it stops the suit opened,
Y. The other 26 cards are free. For every class of the next hand the module counts the ways in which
an opener sits before it; the sampler's own rules then sort those classes into calls.

Method
------
A suit's ways to give two hands fixed lengths and points, with the flags of the second, are a small
table of integers. Suits are joined two by two, Y with Z and the two unbid suits with each other.
The rule for opener asks for whole points, so it is added up over the unbid suits first, and a matrix
product over opener's shapes and points in Y and Z does the rest.

Precision
---------
Joined tables are whole numbers below 2**53, exact in float64. What follows are sums of products of
non-negative numbers, nothing is subtracted, so the relative error is at most (operations in a
row) * 2**-53. A sum over the opener's shapes, his points and the next hand's points has fewer than
40,000 terms: eleven correct digits at the very worst. Rounding errors partly cancel, and the tests,
against integers, find fourteen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, lru_cache
from math import comb

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards import hands
from double_study.cards.bids import NO_BID, SUITS
from double_study.cards.hands import MAX_PARTNERSHIP_HCP, PARTNERSHIP_SHAPES, BoolArray, Hands
from double_study.columns import COLUMNS
from double_study.combinatorics.hands import (
    HAND_CARDS,
    MAX_HCP,
    N_HANDS,
    SUIT_HCP,
    Ints,
    class_hands,
    one_of_a_suit,
    one_suit_ways,
    shapes,
    suit_length_ways,
)
from double_study.errors import InputError
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall
from double_study.rules.terms import SEQUENCE_CODE, SEQUENCES

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


Floats = NDArray[np.float64]

N_TWO_HANDS = N_HANDS * comb(52 - HAND_CARDS, HAND_CARDS)
"""Ways to deal the first two hands."""

_PAIR_HCP = 2 * SUIT_HCP
_SMALL_CARDS = 9
"""Cards of a suit below the jack."""


@lru_cache
def suit_ways(good_minimum: int = 2) -> Ints:
    """Ways to give two hands their cards of one suit; int64 of shape (14, 14, 11, 11, 2, 2).

    By length in the first hand and in the second, by points in the first and in the second, and by
    whether the second hand's holding is good (no, yes) and a stopper (no, yes).
    """
    honours = sum(hands.HONOUR_POINTS)
    holding = np.arange(hands.N_HOLDINGS)
    good, stopper = (f.astype(np.int64) for f in (hands.good(good_minimum), hands.STOPPER))
    ways = np.zeros((14, 14, SUIT_HCP + 1, SUIT_HCP + 1, 2, 2), dtype=np.int64)
    small = _SMALL_CARDS - np.bitwise_count(holding & ~honours).astype(np.int64)
    for first in np.unique(holding & honours):
        # The second hand may have any holding without these honours; of the small cards that it
        # leaves, the first takes any.
        second = np.flatnonzero(holding & first == 0)
        for others in range(_SMALL_CARDS + 1):
            length = int(first).bit_count() + others
            key = hands.LENGTH[second], hands.HOLDING_HCP[second], good[second], stopper[second]
            left = np.array([comb(int(n), others) for n in range(_SMALL_CARDS + 1)])
            np.add.at(ways[length, :, hands.HOLDING_HCP[first]], key, left[small[second]])
    ways.flags.writeable = False
    return ways


class SecondHandWays:
    """Counts of the next hand's classes before which a given opener sits.

    ``good_minimum`` is the agreement's number of top cards in a good suit. Tables of two suits are
    kept while the object lives, some 150 MB at most.
    """

    def __init__(self, good_minimum: int) -> None:
        ways = suit_ways(good_minimum).astype(np.float64)
        self._by_points = ways.sum(axis=(4, 5))
        self._by_good = np.moveaxis(ways.sum(axis=5), 4, 2)[:, :, :, np.newaxis]
        self._by_stopper = np.moveaxis(ways.sum(axis=4), 4, 2)[:, :, np.newaxis]
        self._bid: dict[tuple[int, int], Floats] = {}
        self._unbid: dict[tuple[int, int], Floats] = {}

    def ways(self, opens: BoolArray, opening: int, overcalled: Sequence[int] = SUITS) -> Floats:
        """Deals of two hands by the class of the second, the first being one of some classes.

        Parameters
        ----------
        opens : bool of shape (560, 38)
            Classes of the first hand to count, by shape and HCP.
        opening : int
            Y, whose stopper the second hand's classes tell apart.
        overcalled : sequence of suits
            Only shapes of the second hand whose Z is one of these are counted, the rest stay 0.

        Returns
        -------
        float64 of shape (560, 38, 2, 2)
            Of the `N_TWO_HANDS`, by shape, HCP, whether Z is good and whether Y is stopped.
        """
        some = opens.any(axis=1)
        first = shapes()[some]
        points = np.pad(opens[some], [(0, 0), (0, 2 * _PAIR_HCP - MAX_HCP)])
        bid_and_unbid = np.add.outer(*[np.arange(_PAIR_HCP + 1)] * 2)
        allowed = points[:, np.newaxis, bid_and_unbid].astype(np.float64)
        total = np.zeros((len(shapes()), 2, 2, 2 * _PAIR_HCP + 1))
        for suit in (s for s in overcalled if s != opening):
            lower, higher = (s for s in SUITS if s not in (opening, suit))
            here = np.flatnonzero(_overcall_suit(opening) == suit)
            lengths = shapes()[here][:, [opening, suit]]
            for y, z in np.unique(lengths, axis=0).tolist():
                rows = here[(lengths == (y, z)).all(axis=1)]
                bid = self._bid_suits(y, z)[first[:, opening], first[:, suit]]
                unbid = np.stack(
                    [
                        self._unbid_suits(w, v)[first[:, lower], first[:, higher]]
                        for w, v in shapes()[rows][:, [lower, higher]].tolist()
                    ],
                    axis=1,
                )
                # Axes: first hand, [flags or second hand,] points of the first and of the second.
                joined = np.tensordot(bid, allowed @ unbid, axes=([0, 3], [0, 2]))
                for held in range(_PAIR_HCP + 1):
                    total[rows, :, :, held : held + _PAIR_HCP + 1] += np.moveaxis(
                        joined[:, :, held], 2, 0
                    )
        return np.moveaxis(total[..., : MAX_HCP + 1], -1, 1)

    def _bid_suits(self, y: int, z: int) -> Floats:
        """Y and Z, by the first hand's lengths, flags and points; the second has y and z cards."""
        if (y, z) not in self._bid:
            self._bid[y, z] = _joined(
                self._by_stopper[:, np.newaxis, y], self._by_good[np.newaxis, :, z]
            )
        return self._bid[y, z]

    def _unbid_suits(self, lower: int, higher: int) -> Floats:
        """The unbid suits, by the first hand's lengths and the points of both hands."""
        if (lower, higher) not in self._unbid:
            self._unbid[lower, higher] = _joined(
                self._by_points[:, np.newaxis, lower], self._by_points[np.newaxis, :, higher]
            )
        return self._unbid[lower, higher]


def _joined(one: Floats, other: Floats) -> Floats:
    """Two suits together; the last two axes of each are the points of the two hands in it."""
    leading = np.broadcast_shapes(one.shape[:-2], other.shape[:-2])
    joined = np.zeros((*leading, _PAIR_HCP + 1, _PAIR_HCP + 1))
    for p in range(SUIT_HCP + 1):
        for q in range(SUIT_HCP + 1 - p):
            joined[..., p : p + SUIT_HCP + 1, q : q + SUIT_HCP + 1] += (
                one[..., p, q, np.newaxis, np.newaxis] * other
            )
    return joined


def _overcall_suit(opening: int) -> NDArray[np.int8]:
    """Z of each shape, the longest suit other than the one opened; shape (560,)."""
    return class_hands().longest_but(opening)[:, 0]


def next_hand_calls(
    agreement: Agreement, opening: int
) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
    """What every class of hands does over an opening of one of a suit.

    Returns
    -------
    action, bid : int8 of shape (560, 38, 2, 2)
        By shape, HCP, whether Z is good and whether Y is stopped: the code of the
        call in ``ACTION``, and the code of an overcall in a suit or `cards.NO_BID`.
    """
    action = np.zeros((len(shapes()), MAX_HCP + 1, 2, 2), dtype=np.int8)
    bid = np.zeros_like(action)
    for suit in (s for s in SUITS if s != opening):
        here = np.flatnonzero(_overcall_suit(opening) == suit)
        # Y stopped and Z good are the flags that the rules ask for; the other two read as no.
        words = class_hands((opening, suit)).words[here][:, :, 0, :, :, 0].swapaxes(2, 3)
        situation = OvercallSituation(Hands(words), agreement, opening)
        decided = OVERCALL.decide(situation)
        action[here] = decided.name
        bid[here] = suit_overcall(decided)
    return action, bid


@dataclass(frozen=True, eq=False)
class Funnel:
    """Probabilities, per deal, for an opening of one of a suit in first seat.

    ``actions``: by opening suit and by the next hand's call, float64 (4, ``ACTION.size``);
    ``sequences``: of each of :data:`~double_study.rules.terms.SEQUENCES`.
    """

    actions: Floats
    sequences: Floats


def up_to_overcall(agreement: Agreement) -> Agreement:
    """The agreement with all that comes after the overcall as in the reference.

    Agreements that differ only there have the same funnel, which is then worked out once.
    """
    return replace(
        REFERENCE, hand=agreement.hand, opening=agreement.opening, overcall=agreement.overcall
    )


@lru_cache(maxsize=64)
def funnel(agreement: Agreement) -> Funnel:
    """The next hand's calls, and the overcalls one by one, under an agreement."""
    opens, next_hands = one_of_a_suit(agreement), SecondHandWays(agreement.hand.good_suit)
    actions, sequences = np.zeros((len(SUITS), COLUMNS["action"].size)), np.zeros(len(SEQUENCES))
    for opening in SUITS:
        ways = next_hands.ways(opens[opening], opening)
        action, bid = next_hand_calls(agreement, opening)
        np.add.at(actions[opening], action, ways)
        here = bid != NO_BID
        np.add.at(sequences, SEQUENCE_CODE[opening, bid[here]], ways[here])
    return Funnel(actions / N_TWO_HANDS, sequences / N_TWO_HANDS)
