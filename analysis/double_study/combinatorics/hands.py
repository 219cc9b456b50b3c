"""Exact counts of one hand, by shape, HCP and flags, and of its opening.

A *class* of hands is a shape, a number of HCP and the flags of some suits. The sampler's own rules
are applied to whole classes, so one count serves every rule. The value of a holding comes from the
tables of :mod:`double_study.cards.hands`, so a good suit is the same here as for the sampler.

Every count is an exact integer, out of the 635,013,559,600 hands (:data:`N_HANDS`). The suits
are joined one by one, which takes 4 × 11 additions of arrays of 560 × 38 numbers.
"""

from collections.abc import Iterator
from functools import cache
from math import comb

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import SUITS
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import LENGTH, N_HCP, SHAPES, BoolArray, Hands, class_words
from double_study.combinatorics import suits as one_suit
from double_study.combinatorics.suits import Flags, Ints
from double_study.rules.opening import OPENING, OpeningSituation

N_HANDS = comb(52, HAND_CARDS)
"""Hands that one player may hold: 635,013,559,600."""

BIDS = 35

FIRST_SEAT = 1

OVERCALLER_IN_Z: Flags = ("quality",)
OVERCALLER_IN_Y: Flags = ("stopper",)
"""What the overcaller's rules ask of its own suit Z, and of the suit opened, Y."""
RESPONDER_IN_Z: Flags = ("good", "stopper")
"""What the responder's rules ask of the overcaller's suit."""

SuitFlag = tuple[int, str]
"""A suit, and one of :data:`~double_study.combinatorics.suits.FLAGS`."""


@cache
def suit_length_ways() -> Ints:
    return one_suit.read_only(np.bincount(LENGTH).astype(np.int64))


@cache
def hand_classes(
    *flags: SuitFlag,
    good_minimum: int = 2,
    cards: tuple[int, ...] = (one_suit.WHOLE_SUIT,) * len(SUITS),
) -> Ints:
    """Count the hands of every class, out of some ``cards`` of each suit.

    Returns int64 of shape (560, 38, ...): by shape, HCP, and each flag in the order given, an axis
    with its values. From the whole pack they sum to :data:`N_HANDS`. ``good_minimum`` is the
    agreement's number of top cards in a good suit.
    """
    ways = np.zeros((len(SHAPES), N_HCP, 1), dtype=np.int64)
    ways[:, 0] = 1
    for suit in SUITS:
        names = tuple(name for of, name in flags if of == suit)
        in_suit = one_suit.one_hand_ways(names, good_minimum, cards[suit])[SHAPES[:, suit]]
        joined = np.zeros((*ways.shape, in_suit.shape[-1]), dtype=np.int64)
        for hcp in range(one_suit.SUIT_HCP + 1):
            # No hand has more than 37 HCP, so the slice drops only zeros.
            rest = ways[:, : N_HCP - hcp, :, np.newaxis]
            joined[:, hcp:] += rest * in_suit[:, hcp, np.newaxis, np.newaxis]
        ways = joined.reshape(len(SHAPES), N_HCP, -1)
    # The flags are now in the order of their suits.
    order = sorted(range(len(flags)), key=lambda place: flags[place][0])
    ways = ways.reshape(
        len(SHAPES), N_HCP, *one_suit.values(tuple(flags[place][1] for place in order))
    )
    return one_suit.read_only(
        np.moveaxis(ways, range(2, ways.ndim), [2 + place for place in order])
    )


def class_hands(*flags: SuitFlag) -> Hands:
    """Return the classes of :func:`hand_classes` as the rules see them, in the same shape.

    Other properties are false, so apply only rules that do not use them.
    """
    axes = (1,) * len(flags)
    masks: dict[str, NDArray[np.integer] | int] = dict.fromkeys(one_suit.PROPERTIES, 0)
    of_flags = np.indices(one_suit.values(tuple(flag for _, flag in flags)))
    for (suit, flag), value in zip(flags, of_flags, strict=True):
        for fewer, name in enumerate(one_suit.FLAGS[flag]):
            masks[name] = masks[name] + ((value > fewer) << suit)
    lengths = SHAPES.T.reshape(len(SUITS), -1, 1, *axes)
    return Hands(class_words(lengths, np.arange(N_HCP).reshape(-1, *axes), *masks.values()))


def overcaller_hands(opened: int, overcalled: int) -> Hands:
    """Return the classes that the overcaller's rules distinguish, with the flags of Z before those of Y."""
    in_z = [(overcalled, name) for name in OVERCALLER_IN_Z]
    return class_hands(*in_z, *((opened, name) for name in OVERCALLER_IN_Y))


def responder_hands(overcalled: int) -> Hands:
    return class_hands(*((overcalled, name) for name in RESPONDER_IN_Z))


def hcp_ways() -> Ints:
    return hand_classes().sum(axis=0)


def opening_bids(agreement: Agreement, seat: int = FIRST_SEAT) -> NDArray[np.int8]:
    """Return the code of every class's opening, ``NO_BID`` for a pass.

    Returns int8 of shape (560, 38, 2): by shape, HCP, and whether the longest suit is good.
    """
    bids = np.zeros((len(SHAPES), N_HCP, 2), dtype=np.int8)
    for suit, here in _by_longest_suit():
        hands = Hands(class_hands((suit, "good")).words[here])
        bids[here] = OPENING.decide(OpeningSituation(hands, agreement, seat)).bid
    return bids


def opening_ways(agreement: Agreement, seat: int = FIRST_SEAT) -> Ints:
    """Count the hands that open with each bid in a seat, if every seat before it has passed.

    Returns int64 of shape (36,): hands that pass, then hands that open 1♣ ... 7NT (the bid's code
    plus one). Sums to :data:`N_HANDS`.
    """
    bids = opening_bids(agreement, seat).astype(np.int64)
    ways = np.zeros(BIDS + 1, dtype=np.int64)
    for suit, here in _by_longest_suit():
        hands = hand_classes((suit, "good"), good_minimum=agreement.hand.good_suit)
        np.add.at(ways, bids[here] + 1, hands[here])
    return ways


def one_of_a_suit(agreement: Agreement) -> BoolArray:
    """Return which classes open one of each suit in first seat; bool of shape (4, 560, 38).

    The rules require a good suit only for weaker openings.
    """
    bids = opening_bids(agreement)[..., 0]
    return np.stack([bids == suit for suit in SUITS])


def _by_longest_suit() -> Iterator[tuple[int, NDArray[np.intp]]]:
    """Yield each suit with the shapes whose longest suit it is."""
    longest = class_hands().longest(*SUITS)[:, 0]
    for suit in SUITS:
        yield suit, np.flatnonzero(longest == suit)
