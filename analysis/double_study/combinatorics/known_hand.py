"""Exact counts of partner's hand when one hand is known and partner and the next opponent have bid.

Of the 39 cards that a player does not see, partner holds 13, the opponent who bid 13 and the fourth
hand the rest. Partner's classes are counted beside those of the opponent by the method of
:mod:`double_study.combinatorics.two_hands`, without the known hand's cards in each suit, so a count has
the same relative error. The rules come as plain arrays: any agreement can be counted.
"""

from dataclasses import dataclass

import numpy as np

from double_study.cards.bids import SUITS
from double_study.cards.hands import N_HCP, SHAPES, SUIT_CARDS, BoolArray
from double_study.combinatorics.hands import OVERCALLER_IN_Y, OVERCALLER_IN_Z, hand_classes
from double_study.combinatorics.suits import WHOLE_SUIT, Flags, Floats, Ints, two_hand_ways
from double_study.combinatorics.two_hands import BesideAnother, TwoSuits


@dataclass(frozen=True)
class BothBid:
    """The classes of hands with which partner and the opponent make their bids.

    ``opens``: partner's, bool (560 shapes, 38 HCP). ``overcalls``: the opponent's, bool (560, 38,
    3, 2), as :func:`double_study.combinatorics.hands.overcaller_hands` has them.
    """

    opened: int
    overcalled: int
    opens: BoolArray
    overcalls: BoolArray


def unseen_cards(cards: int) -> list[int]:
    return [WHOLE_SUIT & ~(cards >> (SUIT_CARDS * suit)) for suit in SUITS]


def shapes_together(cards: int, bids: BothBid) -> tuple[Ints, Ints]:
    """Return every pair of partner's and the opponent's shapes that the rules and the cards allow.

    Two arrays of positions in :data:`~double_study.cards.hands.SHAPES`, one entry per pair.
    """
    room = np.array([unseen.bit_count() for unseen in unseen_cards(cards)])
    partners = np.flatnonzero(bids.opens.any(axis=1))
    opponents = np.flatnonzero(bids.overcalls.reshape(len(SHAPES), -1).any(axis=1))
    together = SHAPES[partners][:, np.newaxis] + SHAPES[opponents]
    one, other = np.nonzero((together <= room).all(axis=-1))
    return partners[one], opponents[other]


def partner_after(cards: int, bids: BothBid, good_minimum: int = 2) -> Floats:
    """Count the ways to deal the unseen cards so that partner and the opponent bid as they did.

    ``cards`` is the known hand, 52 bits; ``bids`` says which hands the other two may hold. Returns
    float64 of shape (560, 38): by partner's shape, in the order of
    :data:`~double_study.cards.hands.SHAPES`, and HCP.
    """
    unseen = unseen_cards(cards)

    def by_opponent(suit: int, flags: Flags = ()) -> Floats:
        """Return the ways to deal a suit; the opponent's length, mark and HCP come before partner's."""
        ways = two_hand_ways(flags, good_minimum, unseen[suit])
        return ways.transpose(1, 0, 2, 4, 3)[:, :, :, np.newaxis]

    unbid = [suit for suit in SUITS if suit not in (bids.opened, bids.overcalled)]
    in_z = by_opponent(bids.overcalled, OVERCALLER_IN_Z)
    beside = BesideAnother(
        TwoSuits(in_z, by_opponent(bids.opened, OVERCALLER_IN_Y)),
        TwoSuits(*map(by_opponent, unbid)),
    )
    partners = np.unique(shapes_together(cards, bids)[0])
    ways = np.zeros((len(SHAPES), N_HCP))
    if len(partners):
        overcalls = bids.overcalls.reshape(len(SHAPES), N_HCP, -1)
        suits = (bids.overcalled, bids.opened, *unbid)
        ways[partners] = beside.ways(suits, overcalls, partners)[..., 0]
    return ways * bids.opens


def partner_before(cards: int) -> Floats:
    """Count the ways for partner to hold 13 of the unseen cards, whatever the bidding.

    Returns float64 of shape (560, 38), as :func:`partner_after`.
    """
    return hand_classes(cards=tuple(unseen_cards(cards))).astype(np.float64)
