"""One hand, exactly: its shape, its points, and the flags that the bidding asks for.

Every count here is a number of hands out of `N_HANDS`, an exact integer (Python int or int64: no
count passes 635,013,559,600, far inside both int64 and the whole numbers of float64). Suits are
indexed clubs, diamonds, hearts, spades. What a holding is worth comes from the tables of
`double_study.cards.hands`, so a good suit or a stopper means here what it means to the sampler.

The opening, exactly: the sampler's own rules, applied to every class of hands.

An opening depends on a hand's shape and points and on whether its longest suit is good. Counts are
exact integers, numbers of the `one_hand.N_HANDS` hands.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import product
from math import comb

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards import hands
from double_study.cards.bids import SUITS
from double_study.cards.hands import BoolArray, Hands
from double_study.errors import InputError
from double_study.rules.opening import OPENING, OpeningSituation

Ints = NDArray[np.int64]

HAND_CARDS = 13
N_HANDS = comb(52, HAND_CARDS)
"""Hands that one player may hold: 635,013,559,600."""

MAX_HCP = 37
"""The most points in thirteen cards: four aces, kings and queens, and one jack."""

SUIT_HCP = 10
"""The points of one suit."""


def chance(ways: int | np.integer) -> Fraction:
    """The probability of a case that `ways` of the `N_HANDS` hands belong to."""
    return Fraction(int(ways), N_HANDS)


@cache
def shapes() -> Ints:
    """The 560 ways to divide thirteen cards over the suits; int64 of shape (560, 4).

    Lengths of clubs, diamonds, hearts, spades, in lexicographic order. Every array "by shape"
    in this package has its first axis in this order.
    """
    lengths = product(range(HAND_CARDS + 1), repeat=len(SUITS))
    return _frozen(np.array([shape for shape in lengths if sum(shape) == HAND_CARDS]))


@cache
def shape_ways() -> Ints:
    """Hands of each shape; int64 of shape (560,)."""
    return _frozen(suit_length_ways()[shapes()].prod(axis=1))


@cache
def suit_length_ways() -> Ints:
    """Holdings of each length 0 to 13 in one suit; int64 of shape (14,)."""
    return _frozen(np.bincount(hands.LENGTH))


@cache
def patterns() -> dict[tuple[int, ...], int]:
    """Hands of each of the 39 patterns: lengths from longest to shortest, any suits."""
    ways: dict[tuple[int, ...], int] = {}
    for shape, number in zip(shapes().tolist(), shape_ways().tolist(), strict=True):
        pattern = tuple(sorted(shape, reverse=True))
        ways[pattern] = ways.get(pattern, 0) + number
    return ways


@cache
def one_suit_ways(good_minimum: int = 2) -> Ints:
    """Holdings in one suit by length, points, good suit and stopper; int64 (14, 11, 2, 2).

    The last two axes are 0 for no and 1 for yes. `good_minimum` is the agreement's number of top
    cards in a good suit.
    """
    ways = np.zeros((HAND_CARDS + 1, SUIT_HCP + 1, 2, 2), dtype=np.int64)
    flags = hands.good(good_minimum).astype(np.int64), hands.STOPPER.astype(np.int64)
    np.add.at(ways, (hands.LENGTH, hands.HOLDING_HCP, *flags), 1)
    return _frozen(ways)


@cache
def hand_classes(flagged: tuple[int, ...] = (), good_minimum: int = 2) -> Ints:
    """Hands by shape, points and the flags of some suits.

    Parameters
    ----------
    flagged : tuple of suit indices, each once
        Suits whose good-suit and stopper flags the classes tell apart.
    good_minimum : int
        As in `one_suit_ways`.

    Returns
    -------
    int64 of shape (560, 38, 2, 2, 2, 2, ...)
        By shape, by HCP 0 to 37, and for each flagged suit in the order given by good (no, yes)
        and by stopper (no, yes). Sums to `N_HANDS`.

    Raises
    ------
    InputError
        If a suit is not 0 to 3 or stands twice.
    """
    if not set(flagged) <= set(SUITS) or len(set(flagged)) != len(flagged):
        raise InputError(f"flagged suits must be different ones of 0 to 3, not {flagged}")
    ways = np.zeros((len(shapes()), MAX_HCP + 1), dtype=np.int64)
    ways[:, 0] = 1
    by_points = one_suit_ways(good_minimum).sum(axis=(2, 3))
    for suit in (*(s for s in SUITS if s not in flagged), *flagged):
        if suit in flagged:
            earlier = (1,) * (ways.ndim - 2)
            suit_ways = one_suit_ways(good_minimum)[shapes()[:, suit]]
            suit_ways = suit_ways.reshape(len(ways), SUIT_HCP + 1, *earlier, 2, 2)
            ways = ways[..., np.newaxis, np.newaxis]
        else:
            suit_ways = by_points[shapes()[:, suit]]
        flags = np.broadcast_shapes(ways.shape[2:], suit_ways.shape[2:])
        joined = np.zeros((*ways.shape[:2], *flags), dtype=np.int64)
        for points in range(SUIT_HCP + 1):
            # No hand has more than 37 points, so what the slice drops is all zero.
            rest = ways[:, : MAX_HCP + 1 - points]
            joined[:, points:] += rest * suit_ways[:, points : points + 1]
        ways = joined
    return _frozen(ways)


def class_hands(flagged: tuple[int, ...] = ()) -> hands.Hands:
    """The classes of `hand_classes` as the rules see them, in an array of the same shape.

    The flags of suits that are not in `flagged` read as no: ask a rule only about suits that are.
    """
    axes = (1,) * (2 * len(flagged))
    lengths = shapes().T.reshape(len(SUITS), -1, 1, *axes)
    points = np.arange(MAX_HCP + 1).reshape(1, -1, *axes)
    flag_values = np.indices((2,) * (2 * len(flagged)))
    masks = np.zeros((2, *flag_values.shape[1:]), dtype=np.int64)
    for axis, values in enumerate(flag_values):
        masks[axis % 2] |= values << flagged[axis // 2]
    return hands.Hands(hands.class_words(lengths, points, masks[0], masks[1]))


def hcp_ways() -> Ints:
    """Hands of 0 to 37 HCP; int64 of shape (38,)."""
    return hand_classes().sum(axis=0)


def _frozen(array: NDArray[np.integer]) -> Ints:
    # Cached arrays are shared: writing into one would change the next caller's numbers.
    frozen = array.astype(np.int64)
    frozen.flags.writeable = False
    return frozen


BIDS = 35
"""Bids from 1♣ to 7NT."""

FIRST_SEAT = 1


def opening_bids(agreement: Agreement, seat: int = FIRST_SEAT) -> NDArray[np.int8]:
    """The code of the opening of every class of hands, `cards.NO_BID` for a pass.

    Returns int8 of shape (560, 38, 2): by shape, by HCP, and by whether the longest suit is good.
    """
    bids = np.zeros((len(shapes()), MAX_HCP + 1, 2), dtype=np.int8)
    for suit, here in _by_longest_suit():
        # Without the last axis, the stopper: no opening asks for one.
        hands = Hands(class_hands((suit,)).words[here][..., 0])
        situation = OpeningSituation(hands, agreement, seat)
        bids[here] = OPENING.decide(situation).bid
    return bids


def opening_ways(agreement: Agreement, seat: int = FIRST_SEAT) -> Ints:
    """Hands that open with each bid in a seat that is the first to speak or has only seen passes.

    Returns int64 of shape (36,): hands that pass, then hands that open 1♣ ... 7NT (the bid's code
    plus one). Sums to `one_hand.N_HANDS`.
    """
    bids = opening_bids(agreement, seat).astype(np.int64)
    ways = np.zeros(BIDS + 1, dtype=np.int64)
    for suit, here in _by_longest_suit():
        hands = hand_classes((suit,), agreement.hand.good_suit).sum(axis=-1)
        np.add.at(ways, bids[here] + 1, hands[here])
    return ways


def one_of_a_suit(agreement: Agreement) -> BoolArray:
    """Classes of hands that open one of each suit in first seat; bool of shape (4, 560, 38).

    The rules ask for a good suit only of weaker openings, so the flag plays no part here.
    """
    bids = opening_bids(agreement)[..., 0]
    return np.stack([bids == suit for suit in SUITS])


def _by_longest_suit() -> Iterator[tuple[int, NDArray[np.intp]]]:
    """Each suit with the shapes whose longest suit it is."""
    longest = class_hands().longest(*SUITS)[:, 0]
    for suit in SUITS:
        yield suit, np.flatnonzero(longest == suit)
