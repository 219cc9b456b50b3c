"""Exact counts of two hands: splits of suits, partners' holdings, the bidding up to the overcall.

Splits of a suit are exact fractions, by vacant places. What two partners hold together is counted in
exact integers.

The bidding
-----------
Y is the suit opened, Z the overcaller's longest other suit. One hand may be of certain classes; the
other hand's classes are counted beside it (:class:`BesideAnother`), and the sampler's own rules sort
them into calls. The other 26 cards lie anywhere.

The suits are joined two by two, Y with Z and the unbid suits W with V, by the HCP of both hands. For
given lengths of either hand in W and V, and of the counted hand in Y and Z, the known hand's
holdings in Y and Z are added up first: their HCP must complete one of its HCP in W and V to a number
that its classes have. A matrix product over those HCP and lengths then joins W and V. For N pairs of
shapes this takes some N × 21**3 multiplications.

All terms are products and sums of non-negative numbers, and nothing is subtracted, so the relative
error is at most 2**-53 for each operation in a row. The sum over the known hand's shapes and HCP and
the counted hand's HCP has fewer than 40,000 terms: eleven correct digits at the very worst. Rounding
errors partly cancel, and the tests, against integers, find fourteen.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from itertools import pairwise, starmap
from math import comb

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import MAJORS, NO_BID, SUITS
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import (
    MAX_PARTNERSHIP_HCP,
    N_HCP,
    PARTNERSHIP_SHAPES,
    SHAPES,
    SUIT_CARDS,
    BoolArray,
    Hands,
)
from double_study.columns import COLUMNS
from double_study.combinatorics import hands as one_hand
from double_study.combinatorics import suits as one_suit
from double_study.combinatorics.suits import Floats, Ints
from double_study.errors import InputError
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall
from double_study.rules.terms import SEQUENCE_CODE, SEQUENCES, opener_holds

PARTNERSHIP_CARDS = 2 * HAND_CARDS
N_PARTNERSHIPS = comb(52, PARTNERSHIP_CARDS)
"""The number of sets of 26 cards that one partnership may hold: 495,918,532,948,104."""

N_TWO_HANDS = one_hand.N_HANDS * comb(52 - HAND_CARDS, HAND_CARDS)


def chance_of_holding(
    held: int, outstanding: int, places: int = HAND_CARDS, other_places: int = HAND_CARDS
) -> Fraction:
    """Return the chance that a hand holds exactly ``held`` of ``outstanding`` cards.

    Of v + w unseen cards, a hand with v vacant places beside hands with w takes any v with equal
    chance, so it holds k of c with the hypergeometric probability C(v, k) C(w, c - k) / C(v + w, c).

    ``places`` and ``other_places`` are the vacant places of that hand, and of the other unseen hands
    together: 13 and 13 for two hands of which nothing is known, 8 and 9 once a suit is known to lie
    5-4 between them, 13 and 26 for a partner when only one's own hand is seen. Raises
    :class:`InputError` if a number is negative or there are more cards than places for them.
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
    """Return the chances of 0 to 13 cards in partner's hand, knowing one's own length in the suit.

    This is the figure that players quote; it ignores the bidding.
    """
    return tuple(
        chance_of_holding(k, SUIT_CARDS - own, HAND_CARDS, PARTNERSHIP_CARDS)
        for k in range(HAND_CARDS + 1)
    )


@cache
def partnership_lengths() -> tuple[Ints, Ints]:
    """Return the combined lengths of a partnership, and the number of its sets of 26 cards for each.

    int64 of shapes (1834, 4), from clubs to spades, and (1834,). The other side holds 13 minus each.
    """
    lengths = PARTNERSHIP_SHAPES.astype(np.int64)
    return lengths, one_hand.suit_length_ways()[lengths].prod(axis=1)


@cache
def partnership_hcp_ways() -> Ints:
    in_suit = one_suit.one_hand_ways()[..., 0]
    # Cards by HCP of the suits joined so far; a suit adds up to 13 cards and 10 HCP.
    ways = np.zeros((PARTNERSHIP_CARDS + 1, MAX_PARTNERSHIP_HCP + 1), dtype=np.int64)
    ways[0, 0] = 1
    for _ in SUITS:
        joined = np.zeros_like(ways)
        for length, hcp in np.argwhere(in_suit):
            joined[length:, hcp:] += (
                ways[: PARTNERSHIP_CARDS + 1 - length, : MAX_PARTNERSHIP_HCP + 1 - hcp]
                * in_suit[length, hcp]
            )
        ways = joined
    return ways[PARTNERSHIP_CARDS]


class TwoSuits:
    """Two suits over a known hand and a counted one, joined once for each length of the latter.

    ``one``, ``other``: the suits by the known and the counted hand's length, marks of the known and
    of the counted hand, and HCP of the known and of the counted hand; (14, 14, marks, marks, 11, 11).
    """

    def __init__(self, one: Floats, other: Floats) -> None:
        self._one, self._other = one, other
        self.marks = one.shape[3] * other.shape[3]
        self._joined: dict[tuple[int, int], Floats] = {}
        self._row = np.full((SUIT_CARDS + 1, SUIT_CARDS + 1), -1)
        lengths = np.argwhere(np.add.outer(*[np.arange(SUIT_CARDS + 1)] * 2) <= HAND_CARDS)
        self._lengths = lengths
        self._row[tuple(lengths.T)] = np.arange(len(lengths))

    def ways(self, known: Ints, counted: tuple[int, int]) -> Floats:
        """Return the ways by the known hand's two lengths, one row for each pair that a hand can hold.

        Returns float64 of shape (rows, marks of the known hand, 21, marks of the counted hand, 21).
        """
        if counted not in self._joined:
            one = self._one[self._lengths[:, 0], counted[0]]
            other = self._other[self._lengths[:, 1], counted[1]]
            here = one.any(axis=(1, 2, 3, 4)) & other.any(axis=(1, 2, 3, 4))
            marks = [a * b for a, b in zip(one.shape[1:3], other.shape[1:3], strict=True)]
            joined = np.zeros((len(here), *marks, *(2 * one_suit.SUIT_HCP + 1,) * 2))
            joined[here] = one_suit.two_suits(
                one[here][:, :, np.newaxis, :, np.newaxis],
                other[here][:, np.newaxis, :, np.newaxis],
            ).reshape(-1, *joined.shape[1:])
            self._joined[counted] = np.ascontiguousarray(joined.transpose(0, 1, 3, 2, 4))
        return self._joined[counted][self._row[tuple(known.T)]]


class BesideAnother:
    """Count the classes of one hand beside a known hand that may be of certain classes.

    ``bid``: Z and Y; ``unbid``: W and V, without marks. Tables of two suits are cached while the
    object lives, some 150 MB at most.
    """

    def __init__(self, bid: TwoSuits, unbid: TwoSuits) -> None:
        self._bid, self._unbid = bid, unbid

    def ways(self, suits: Sequence[int], allowed: BoolArray, shapes: NDArray[np.integer]) -> Floats:
        """Count the deals of two hands by the class of one, for some of its ``shapes``, by number.

        ``suits`` are Z, Y, W and V. ``allowed`` are the known hand's classes, bool of shape (560, 38,
        marks): its marks in Z and in Y are one axis, those in Y the faster. Returns float64 of shape
        (shapes, 38, marks): by shape, HCP and marks of the counted hand.
        """
        some = np.flatnonzero(allowed.any(axis=(1, 2)))
        known = SHAPES[some][:, suits].astype(np.int64)
        order = np.lexsort(known.T)
        some, known = some[order], known[order]
        # Runs of the same lengths in W and V.
        starts = np.flatnonzero(np.diff(known[:, 2:], axis=0, prepend=-1).any(axis=1))
        # Which HCP in Z and Y, by marks (columns), complete which in W and V (rows).
        size = 2 * one_suit.SUIT_HCP + 1
        by_hcp = np.zeros((len(some), allowed.shape[2], 2 * size - 1))
        by_hcp[..., :N_HCP] = allowed[some].swapaxes(1, 2)
        windows = by_hcp[..., np.add.outer(np.arange(size), np.arange(size))]
        windows = np.ascontiguousarray(np.moveaxis(windows, 2, 0)).reshape(size, -1)
        ends = np.append(starts, len(some)) * allowed.shape[2] * size

        marks = self._bid.marks
        counted = SHAPES[shapes][:, suits]
        result = np.zeros((len(shapes), marks, 2 * size - 1))
        summed = np.empty((len(starts), size, marks * size))
        for z, y in np.unique(counted[:, :2], axis=0).tolist():
            here = np.flatnonzero((counted[:, :2] == (z, y)).all(axis=1))
            bid = self._bid.ways(known[:, :2], (z, y)).reshape(-1, marks * size)
            for into, run in zip(summed, starmap(slice, pairwise(ends)), strict=True):
                np.matmul(windows[:, run], bid[run], out=into)
            unbid = [
                self._unbid.ways(known[starts, 2:], (w, v))[:, 0, :, 0]
                for w, v in counted[here, 2:].tolist()
            ]
            joined = np.tensordot(summed, np.stack(unbid, axis=2), axes=([0, 1], [0, 1]))
            joined = joined.reshape(marks, size, len(here), size)
            for hcp in range(size):
                result[here, :, hcp : hcp + size] += joined[:, hcp].swapaxes(0, 1)
        return result[..., :N_HCP].swapaxes(1, 2)


class OvercallerWays:
    """Counts of the overcaller's classes behind a given opener, whichever suits Y and Z are.

    ``good_minimum`` is the agreement's number of top cards in a good suit.
    """

    def __init__(self, good_minimum: int) -> None:
        y, z, unbid = (
            one_suit.two_hand_ways(flags, good_minimum)[:, :, np.newaxis]
            for flags in (one_hand.OVERCALLER_IN_Y, one_hand.OVERCALLER_IN_Z, ())
        )
        self._beside = BesideAnother(TwoSuits(z, y), TwoSuits(unbid, unbid))

    def ways(self, opens: BoolArray, opening: int, overcalled: Sequence[int] = SUITS) -> Floats:
        """Count deals of two hands by the class of the second.

        ``opens``: classes of the first, bool by shape and HCP; ``opening``: Y. Only shapes of the
        second whose Z is one of ``overcalled`` are counted; others stay 0. Returns float64 of shape
        (560, 38, 3, 2), of the :data:`N_TWO_HANDS`, by the classes of :func:`next_hand_calls`.
        """
        flags = one_suit.values(one_hand.OVERCALLER_IN_Z + one_hand.OVERCALLER_IN_Y)
        total = np.zeros((*opens.shape, *flags))
        for suit in (s for s in overcalled if s != opening):
            here = np.flatnonzero(_overcall_suit(opening) == suit)
            unbid = [s for s in SUITS if s not in (opening, suit)]
            ways = self._beside.ways((suit, opening, *unbid), opens[..., np.newaxis], here)
            total[here] = ways.reshape(len(here), N_HCP, *flags)
        return total


def _overcall_suit(opening: int) -> NDArray[np.int8]:
    """Return Z of each shape, the longest suit other than the one opened; shape (560,)."""
    return one_hand.class_hands().longest_but(opening)[:, 0]


def next_hand_calls(
    agreement: Agreement, opening: int
) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
    """Return the call of every class of hands over an opening of one of a suit.

    The code of the call in the column ``action``, and that of an overcall in a suit or ``NO_BID``;
    int8 of shape (560, 38, 3, 2): by shape, HCP, whether Z has the ace, king or queen (1) or is good
    (2), and whether Y is stopped.
    """
    of_suit = []
    for suit in (s for s in SUITS if s != opening):
        here = np.flatnonzero(_overcall_suit(opening) == suit)
        hands = Hands(one_hand.overcaller_hands(opening, suit).words[here])
        decided = OVERCALL.decide(OvercallSituation(hands, agreement, opening))
        of_suit.append((here, decided.name, suit_overcall(decided)))
    shapes, actions, bids = (np.concatenate(parts) for parts in zip(*of_suit, strict=True))
    order = np.argsort(shapes)
    return actions[order], bids[order]


@dataclass(frozen=True, eq=False)
class Funnel:
    """Probabilities, per deal, for an opening of one of a suit in first seat.

    ``actions``: by opening suit and by the next hand's call, float64 of shape (4, actions);
    ``sequences``: of each of :data:`~double_study.rules.terms.SEQUENCES`.
    """

    actions: Floats
    sequences: Floats


@lru_cache(maxsize=64)
def funnel(agreement: Agreement) -> Funnel:
    opens, next_hands = one_hand.one_of_a_suit(agreement), OvercallerWays(agreement.hand.good_suit)
    actions, sequences = np.zeros((len(SUITS), COLUMNS["action"].size)), np.zeros(len(SEQUENCES))
    for opening in SUITS:
        ways = next_hands.ways(opens[opening], opening)
        action, bid = next_hand_calls(agreement, opening)
        np.add.at(actions[opening], action, ways)
        here = bid != NO_BID
        np.add.at(sequences, SEQUENCE_CODE[opening, bid[here]], ways[here])
    return Funnel(actions / N_TWO_HANDS, sequences / N_TWO_HANDS)


_LENGTHS = SUIT_CARDS + 1
_HELD = opener_holds(np.arange(_LENGTHS))


def opener_major_chances(agreement: Agreement) -> dict[str, Floats]:
    """Return the opener's holding in each major, by auction and by the responder's length.

    Given the opener's and the overcaller's length in a major, the rest of it lies between responder
    and the fourth hand by vacant places, so the count of two hands is enough.

    Returns arrays of shape (42 sequences, 2 majors, 14 lengths of the responder, holdings):
    ``probability``, 0 if the major was bid, and the chances given the responder's length,
    ``naive`` (from the responder's cards alone), ``after_opening`` and ``after_overcall``.
    """
    joint = _joint(agreement)
    unseen = np.array([partner_length(own) for own in range(_LENGTHS)], dtype=np.float64)
    opened = np.zeros((len(SUITS), len(MAJORS), _LENGTHS, _LENGTHS))
    for opening, opens in enumerate(one_hand.one_of_a_suit(agreement)):
        hands = (one_hand.hand_classes() * opens).sum(axis=1)
        for position, major in enumerate(MAJORS):
            of_opener = np.bincount(SHAPES[:, major], hands, _LENGTHS)
            opened[opening, position] = unseen.T * of_opener
    after_opening = _grouped(opened)[[suit for suit, _ in SEQUENCES]]
    with np.errstate(invalid="ignore"):
        return {
            "probability": joint,
            "naive": np.broadcast_to(_grouped(unseen), joint.shape),
            "after_opening": after_opening / after_opening.sum(axis=-1, keepdims=True),
            "after_overcall": joint / joint.sum(axis=-1, keepdims=True),
        }


def _grouped(by_length: Floats) -> Floats:
    """Group the last axis, the opener's length, into 0 to 2, 3, and 4 or more."""
    holdings = range(COLUMNS["opener_holds"].size)
    return np.stack([by_length[..., held == _HELD].sum(axis=-1) for held in holdings], axis=-1)


def _joint(agreement: Agreement) -> Floats:
    # By the overcaller's, the responder's and the opener's length.
    left = np.zeros((_LENGTHS,) * 3)
    for over, held, opener in np.ndindex(left.shape):
        if opener + over <= SUIT_CARDS:
            left[over, held, opener] = chance_of_holding(held, SUIT_CARDS - opener - over)
    opens, next_hands = one_hand.one_of_a_suit(agreement), OvercallerWays(agreement.hand.good_suit)
    joint = np.zeros((len(SEQUENCES), len(MAJORS), _LENGTHS, _LENGTHS))
    for opening in SUITS:
        _, bid = next_hand_calls(agreement, opening)
        shape, *_ = overcalls = np.nonzero(bid != NO_BID)
        sequence = SEQUENCE_CODE[opening, bid[overcalls]]
        for position, major in enumerate(MAJORS):
            if major == opening:
                continue
            in_major = SHAPES[:, major]
            others = [suit for suit in SUITS if suit != major]
            for cards in range(_LENGTHS):
                some = opens[opening] & (in_major == cards)[:, np.newaxis]
                ways = next_hands.ways(some, opening, others)[overcalls]
                by_second = np.zeros((len(SEQUENCES), _LENGTHS))
                np.add.at(by_second, (sequence, in_major[shape]), ways)
                joint[:, position, :, cards] += by_second @ left[:, :, cards]
    return _grouped(joint) / N_TWO_HANDS
