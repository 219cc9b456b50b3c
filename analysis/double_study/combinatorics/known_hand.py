"""Partner's hand, exactly, when one hand is known and partner and the next opponent have bid.

Of the 39 cards that a player does not see, partner holds 13, the opponent who bid 13, the fourth
hand the rest. The module counts the ways to deal them, by partner's shape and points, that fit
what those two hands did; the rules come as plain arrays, so any agreement can be counted.

Method
------
Suit by suit the ways are counted by both hands' lengths, points and flags: the top cards are given
out one by one, the small ones by a multinomial coefficient. The suits are joined two by two: those
nobody bid, and the two that were bid. For every pair of shapes that the rules allow, one matrix
product over the opponent's points then joins the two halves.

Precision
---------
Terms are whole and not negative, and nothing is subtracted, so a count in float64 is right to
about twelve digits. A count of zero is exactly zero.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import factorial

import numpy as np
from numpy.typing import NDArray

from double_study.cards import hands
from double_study.cards.bids import SUITS
from double_study.cards.hands import N_HCP, N_HOLDINGS, SHAPES, SUIT_CARDS

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

_TOP = hands.ACE | hands.KING | hands.QUEEN | hands.JACK | hands.TEN
"""The cards that points, good suits and stoppers look at, length apart."""
_SUIT_HCP = 10
_PAIR_HCP = 2 * _SUIT_HCP + 1


@dataclass(frozen=True)
class BothBid:
    """What partner and the opponent bid, as the classes of hands that do so.

    ``opens``: partner's, bool (560 shapes, 38 HCP). ``overcalls``: the opponent's, bool (560, 38,
    2, 2), the last axes the suit ``overcalled`` good and the suit ``opened`` stopped.
    """

    opened: int
    overcalled: int
    opens: Bools
    overcalls: Bools


def unseen_holdings(cards: int) -> list[int]:
    """The cards of each suit that are not in a hand of 52 bits."""
    return [N_HOLDINGS - 1 & ~(cards >> (SUIT_CARDS * suit)) for suit in SUITS]


def shapes_together(cards: int, bids: BothBid) -> tuple[Ints, Ints]:
    """Every shape of partner's with every shape of the opponent's that the rules and the cards allow.

    Returns two arrays of positions in :data:`~double_study.cards.hands.SHAPES`, one entry a pair.
    """
    room = np.array([held.bit_count() for held in unseen_holdings(cards)])
    partners = np.flatnonzero(bids.opens.any(axis=1))
    opponents = np.flatnonzero(bids.overcalls.any(axis=(1, 2, 3)))
    together = SHAPES[partners][:, np.newaxis] + SHAPES[opponents]
    one, other = np.nonzero((together <= room).all(axis=-1))
    return partners[one], opponents[other]


def _suit_ways(unseen: int, good: Bools, stopper: Bools) -> Floats:
    """Ways to deal a suit's unseen cards to partner, opponent and the fourth hand.

    By cards of partner and of the opponent, points of either, and the opponent's two flags;
    (14, 14, 11, 11, 2, 2).
    """
    top = [card for card in (1 << bit for bit in range(SUIT_CARDS)) if card & unseen & _TOP]
    small = (unseen & ~_TOP).bit_count()
    ways = np.zeros((SUIT_CARDS + 1,) * 2 + (_SUIT_HCP + 1,) * 2 + (2, 2))
    for owners in product(range(3), repeat=len(top)):
        first, second = (
            sum(card for card, owner in zip(top, owners, strict=True) if owner == hand)
            for hand in range(2)
        )
        for a, b in product(range(small + 1), repeat=2):
            if a + b <= small:
                # Which small cards they are changes nothing: the lowest stand for all.
                holding = second | ((1 << b) - 1)
                cell = (
                    first.bit_count() + a,
                    second.bit_count() + b,
                    hands.HOLDING_HCP[first],
                    hands.HOLDING_HCP[second],
                    int(good[holding]),
                    int(stopper[holding]),
                )
                ways[cell] += factorial(small) // (
                    factorial(a) * factorial(b) * factorial(small - a - b)
                )
    return ways


def _joined(one: Floats, other: Floats, cards: Ints) -> Floats:
    """Two suits together, for rows of ``cards`` (partner's and the opponent's in either suit).

    ``one`` has no flags, (14, 14, 11, 11); the other's are kept: (rows, 21, 21, flags).
    """
    first = one[cards[:, 0], cards[:, 1]]
    second = other[cards[:, 2], cards[:, 3]]
    joined = np.zeros((len(cards), _PAIR_HCP, _PAIR_HCP, second.shape[-1]))
    for a, b in np.argwhere(one.any(axis=(0, 1))):
        joined[:, a : a + _SUIT_HCP + 1, b : b + _SUIT_HCP + 1] += (
            first[:, a, b, np.newaxis, np.newaxis, np.newaxis] * second
        )
    return joined


def _numbered(rows: Ints) -> tuple[Ints, Ints]:
    """The different rows, and the number of each row among them."""
    different, number = np.unique(rows, axis=0, return_inverse=True)
    return different, number.reshape(-1)


def partner_after(cards: int, bids: BothBid, good_minimum: int = 2) -> Floats:
    """Ways to deal the unseen cards so that partner and the opponent bid as they did.

    Parameters
    ----------
    cards : int
        The known hand, 52 bits.
    bids : BothBid
        What the other two hands may be.
    good_minimum : int
        Top cards of a good suit, as in :func:`double_study.cards.hands.good`.

    Returns
    -------
    float64 of shape (560, 38)
        By partner's shape, in the order of :data:`~double_study.cards.hands.SHAPES`, and HCP.
    """
    unseen = unseen_holdings(cards)
    good = hands.good(good_minimum)
    suit_ways = [_suit_ways(held, good, hands.STOPPER) for held in unseen]
    lower, higher = (suit for suit in SUITS if suit not in (bids.opened, bids.overcalled))

    partners, opponents = shapes_together(cards, bids)
    a, b = SHAPES[partners], SHAPES[opponents]
    allowed, rule = _numbered(bids.overcalls.reshape(len(SHAPES), -1).astype(np.int64))

    def lengths(*suits: int) -> Ints:
        return np.stack([hand[:, suit] for suit in suits for hand in (a, b)], axis=1)

    unbid_rows, unbid = _numbered(lengths(lower, higher))
    plain = [suit_ways[suit].sum(axis=(-2, -1)) for suit in (lower, higher)]
    unbid_ways = _joined(plain[0], plain[1][..., np.newaxis], unbid_rows)[..., 0]
    bid_rows, bid = _numbered(lengths(bids.opened, bids.overcalled))
    in_opened = suit_ways[bids.opened].sum(axis=-2)
    in_overcalled = suit_ways[bids.overcalled].sum(axis=-1)
    bid_ways = np.stack(
        [_joined(in_opened[..., stop], in_overcalled, bid_rows) for stop in (0, 1)], axis=-1
    )
    cases, case = _numbered(np.stack([bid, rule[opponents]], axis=1))
    summed = _over_opponent(bid_ways, cases, allowed.reshape(-1, *bids.overcalls.shape[1:]))

    ways = np.zeros((len(SHAPES), 2 * _PAIR_HCP - 1))
    points = np.add.outer(np.arange(_PAIR_HCP), np.arange(_PAIR_HCP))
    for partner in np.unique(partners):
        here = np.flatnonzero(partners == partner)
        # One small product a pair of shapes: faster here than one large one over several threads.
        together = (unbid_ways[unbid[here]] @ summed[case[here]].swapaxes(1, 2)).sum(axis=0)
        np.add.at(ways[partner], points, together)
    return ways[:, :N_HCP] * bids.opens


def partner_before(cards: int) -> Floats:
    """Ways for partner to hold 13 of the unseen cards, nobody having bid; as :func:`partner_after`."""
    ways = np.zeros((len(SHAPES), N_HCP))
    ways[:, 0] = 1
    for suit, unseen in enumerate(unseen_holdings(cards)):
        held = np.arange(N_HOLDINGS)
        held = held[held & ~unseen == 0]
        in_suit = np.zeros((SUIT_CARDS + 1, _SUIT_HCP + 1))
        np.add.at(in_suit, (hands.LENGTH[held], hands.HOLDING_HCP[held]), 1)
        joined = np.zeros_like(ways)
        for points in range(_SUIT_HCP + 1):
            # No hand has more than 37 points, so what the slice drops is all zero.
            by_shape = in_suit[SHAPES[:, suit], points, np.newaxis]
            joined[:, points:] += ways[:, : N_HCP - points] * by_shape
        ways = joined
    return ways


def _over_opponent(bid_ways: Floats, cases: Ints, allowed: Ints) -> Floats:
    """Sum the two bid suits over what the opponent may have in them.

    ``cases``: rows (lengths in the bid suits, number of a rule in ``allowed``). Returns the ways by
    partner's points in the bid suits and the opponent's points in the others, (cases, 21, 21).
    """
    by_points = np.zeros((len(allowed), 2 * _PAIR_HCP - 1, 2, 2))
    by_points[:, :N_HCP] = allowed
    total = np.add.outer(np.arange(_PAIR_HCP), np.arange(_PAIR_HCP))
    summed = np.empty((len(cases), _PAIR_HCP, _PAIR_HCP))
    for number, rule in enumerate(by_points):
        here = np.flatnonzero(cases[:, 1] == number)
        summed[here] = np.tensordot(bid_ways[cases[here, 0]], rule[total], ((2, 3, 4), (0, 2, 3)))
    return summed
