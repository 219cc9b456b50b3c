"""What the opener holds in a major that nobody has bid, given the responder's length, exactly.

Three chances of the same thing: from the responder's cards alone, which is the figure that players
quote; with the opening taken into account; and with the overcall as well. Given opener's and
overcaller's lengths in the major, what is left of it lies between responder and the fourth hand by
vacant places, so two hands at once are enough. Precision is that of `analysis.exact.overcall`.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import comb, prod

import numpy as np
import pandas as pd

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import SEQUENCE, SEQUENCE_CODE, SEQUENCES
from analysis.bidding.holdings import MAJOR, OPENER_HOLDS, RESPONDER_CARDS, opener_holds
from analysis.cards.bids import MAJORS, NO_BID, SUITS
from analysis.exact.cache import KeptTable, kept
from analysis.exact.one_hand import HAND_CARDS, hand_classes, shapes
from analysis.exact.opening import one_of_a_suit
from analysis.exact.overcall import (
    N_TWO_HANDS,
    Floats,
    SecondHandWays,
    next_hand_calls,
    up_to_overcall,
)
from analysis.exact.responses import PROBABILITY
from analysis.exact.two_hands import chance_of_holding, partner_length
from analysis.vocabulary.dimension import every_cell, typed
from analysis.vocabulary.measure import Share

# The chance of opener's holding given responder's length, knowing more and more.
NAIVE = Share(
    "naive", "by own cards alone", "Exact, by the responder's own cards alone.", form=".2%"
)
AFTER_OPENING = Share(
    "after_opening", "with the opening", "Exact, with the opening known too.", form=".2%"
)
AFTER_OVERCALL = Share(
    "after_overcall",
    "with the overcall",
    "Exact, with both bids known; empty where more than one suit is in question.",
    optional=True,
    form=".2%",
)
_AXES = (SEQUENCE, MAJOR, RESPONDER_CARDS, OPENER_HOLDS)

_KEPT = KeptTable(
    "opener-majors",
    (
        *(column for axis in _AXES for column in axis.columns),
        *(PROBABILITY, NAIVE, AFTER_OPENING, AFTER_OVERCALL),
    ),
    prod(axis.size for axis in _AXES),
)

_LENGTHS = HAND_CARDS + 1
_HELD = opener_holds(np.arange(_LENGTHS))


def opener_majors(agreement: Agreement) -> pd.DataFrame:
    """Opener's holding in each unbid major, by auction and by responder's length.

    One row a cell of the count :data:`~analysis.counting.auction_counts.OPENER_MAJORS`, in its
    order, with its columns, and ``probability`` (per deal, opening in first seat; 0 where the major was bid),
    ``naive``, ``after_opening``, ``after_overcall`` (given responder's length; NaN where that or
    the auction cannot be). Worked out once and kept on disk. Do not change the table in place.
    """
    return typed(_kept(up_to_overcall(agreement)), *SEQUENCE.columns, MAJOR, OPENER_HOLDS)


@lru_cache(maxsize=64)
def _kept(agreement: Agreement) -> pd.DataFrame:
    return kept(_KEPT, agreement, lambda: _table(agreement))


def _table(agreement: Agreement) -> pd.DataFrame:
    joint = _joint(agreement)
    naive = _grouped(np.array([partner_length(own) for own in range(_LENGTHS)], dtype=np.float64))
    opened = _after_opening(agreement)[[suit for suit, _ in SEQUENCES]]
    with np.errstate(invalid="ignore"):
        overcalled = joint / joint.sum(axis=-1, keepdims=True)
        opened /= opened.sum(axis=-1, keepdims=True)
    table = every_cell(_AXES)
    table[PROBABILITY] = joint.ravel()
    table[NAIVE] = np.broadcast_to(naive, joint.shape).ravel()
    table[AFTER_OPENING] = opened.ravel()
    table[AFTER_OVERCALL] = overcalled.ravel()
    return table


def _grouped(by_length: Floats) -> Floats:
    """The last axis, opener's length, put together as 0 to 2, 3, and 4 or more."""
    return np.stack(
        [by_length[..., held == _HELD].sum(axis=-1) for held in range(OPENER_HOLDS.size)], axis=-1
    )


def _after_opening(agreement: Agreement) -> Floats:
    """Opener's holding in each major, and responder's length in it, after each opening.

    Shape (4, 2, 14, 3), on the scale of ways for two hands: whole numbers until the last step.
    """
    responder = np.array(
        [
            [comb(HAND_CARDS - a, r) * comb(26 + a, HAND_CARDS - r) for a in range(_LENGTHS)]
            for r in range(_LENGTHS)
        ],
        dtype=object,
    )
    ways = np.zeros((len(SUITS), len(MAJORS), _LENGTHS, _LENGTHS), dtype=object)
    hands = hand_classes()
    for opening, opens in enumerate(one_of_a_suit(agreement)):
        for position, major in enumerate(MAJORS):
            length = np.zeros(_LENGTHS, dtype=object)
            np.add.at(length, shapes()[:, major], (hands * opens).sum(axis=1).astype(object))
            ways[opening, position] = responder * length
    return _grouped(ways.astype(np.float64))


def _joint(agreement: Agreement) -> Floats:
    """Probabilities by sequence, major, responder's length and opener's holding; (42, 2, 14, 3)."""
    left = np.array(
        [
            [[float(_responder(r, a, b)) for a in range(_LENGTHS)] for r in range(_LENGTHS)]
            for b in range(_LENGTHS)
        ]
    )
    opens, next_hands = one_of_a_suit(agreement), SecondHandWays(agreement.hand.good_suit)
    joint = np.zeros((len(SEQUENCES), len(MAJORS), _LENGTHS, _LENGTHS))
    for opening in SUITS:
        _, bid = next_hand_calls(agreement, opening)
        overcalls = bid != NO_BID
        sequence = SEQUENCE_CODE[opening, bid[overcalls]]
        for position, major in enumerate(MAJORS):
            if major == opening:
                continue
            in_major = shapes()[:, major]
            second = np.broadcast_to(in_major[:, np.newaxis, np.newaxis, np.newaxis], bid.shape)
            others = [suit for suit in SUITS if suit != major]
            for cards in range(_LENGTHS):
                some = opens[opening] & (in_major == cards)[:, np.newaxis]
                ways = next_hands.ways(some, opening, others)[overcalls]
                by_second = np.zeros((len(SEQUENCES), _LENGTHS))
                np.add.at(by_second, (sequence, second[overcalls]), ways)
                joint[:, position, :, cards] += by_second @ left[:, :, cards]
    return _grouped(joint) / N_TWO_HANDS


def _responder(held: int, opener: int, overcaller: int) -> Fraction:
    """Chance of responder's length in a suit, given opener's and overcaller's."""
    rest = HAND_CARDS - opener - overcaller
    return chance_of_holding(held, rest) if rest >= 0 else Fraction(0)
