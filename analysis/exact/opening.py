"""The opening, exactly: the sampler's own rules, applied to every class of hands.

An opening depends on a hand's shape and points and on whether its longest suit is good. Counts are
exact integers, numbers of the `one_hand.N_HANDS` hands.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.opening import OPENING, OpeningSituation
from analysis.cards.bids import SUITS
from analysis.cards.hands import BoolArray, Hands
from analysis.exact.one_hand import MAX_HCP, Ints, class_hands, hand_classes, shapes

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
