"""The ways to deal one suit: to one hand, to two, or to three.

Everything about a holding that the bidding depends on follows from its few top cards and its length:
HCP, a stopper and the ace, king or queen from the four honours, a good suit from the top five cards. So
a suit is dealt in two steps: every *layout* of the top cards is enumerated, and the small cards are
counted by a multinomial coefficient. Five top cards over three hands and the rest have 4**5 layouts.

*Flags* are the properties of a holding besides length and HCP: 0 for no, 1 for yes, or higher numbers
for properties of which each implies the one before. A *mark* is one number for several flags, which are
its digits, the first flag the highest. To add a flag, add an entry to :data:`FLAGS` and name the flag in
the tuples that use it.

Counts are whole numbers, exact in float64 while they are below 2**53.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, product
from math import factorial, prod
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards import hands
from double_study.cards.hands import HOLDING_HCP, LENGTH, N_HOLDINGS, SUIT_CARDS, BoolArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HONOURS = hands.ACE | hands.KING | hands.QUEEN | hands.JACK
WHOLE_SUIT = N_HOLDINGS - 1
"""All thirteen cards of a suit; any set of its cards is such a number of 13 bits."""
SUIT_HCP = int(HOLDING_HCP[WHOLE_SUIT])

Flags = tuple[str, ...]

PROPERTIES: Mapping[str, tuple[Callable[[int], BoolArray], int]] = {
    "good": (hands.good, HONOURS | hands.TEN),
    "stopper": (lambda good_minimum: hands.STOPPER, HONOURS),
    "honour": (lambda good_minimum: hands.HONOUR, HONOURS),
}
"""Each property by holding, and the top cards that it depends on besides length.

Which holdings have it may depend on the agreement's number of top cards in a good suit. The order is
that of the masks in :func:`double_study.cards.hands.class_words`.
"""
FLAGS: Mapping[str, Flags] = {
    "good": ("good",),
    "stopper": ("stopper",),
    "quality": ("honour", "good"),
}
"""The properties that a flag counts, each of which implies the one before."""

_FACTORIAL = np.array([factorial(n) for n in range(SUIT_CARDS + 1)], dtype=np.float64)


AnyArray = TypeVar("AnyArray", Floats, Ints)


def read_only(array: AnyArray) -> AnyArray:
    """Make an array read-only, because it is cached and so shared; return it."""
    array.flags.writeable = False
    return array


@lru_cache
def marks(flags: Flags, good_minimum: int) -> Ints:
    """Return the mark of every holding; int64 of shape (8192,)."""
    mark = np.zeros(N_HOLDINGS, dtype=np.int64)
    for flag in flags:
        mark *= len(FLAGS[flag]) + 1
        for name in FLAGS[flag]:
            mark += PROPERTIES[name][0](good_minimum)
    return read_only(mark)


def values(flags: Flags) -> tuple[int, ...]:
    return tuple(len(FLAGS[flag]) + 1 for flag in flags)


def n_marks(flags: Flags) -> int:
    return prod(values(flags))


def top_cards(flags: Flags) -> int:
    """Return the cards that determine HCP and, together with length, some flags."""
    top = HONOURS
    for name in chain.from_iterable(FLAGS[flag] for flag in flags):
        top |= PROPERTIES[name][1]
    return top


def small_ways(small: int, *numbers: ArrayLike) -> Floats:
    """Count the ways to deal ``small`` cards so that each hand gets its number and a last hand the rest.

    The numbers are broadcast against each other; if one is negative, the count is 0.
    """
    dealt = np.stack(np.broadcast_arrays(*numbers))
    dealt = np.concatenate([dealt, small - dealt.sum(axis=0, keepdims=True)])
    possible = dealt.min(axis=0) >= 0
    ways = _FACTORIAL[small] / _FACTORIAL[np.where(possible, dealt, 0)].prod(axis=0)
    return np.where(possible, ways, 0.0)


@dataclass(frozen=True, eq=False)
class Classes:
    """Classes of layouts of a suit's top cards over three hands.

    ``held``: top cards of each hand, int64 of shape (classes, 3). ``label``: what else the layouts
    of a class share, (classes,). ``spread``: rows (class, HCP of each hand, layouts), one for each
    way in which the HCP of a class may lie. ``small``: cards of the suit below the top.
    """

    held: Ints
    label: Ints
    spread: Ints
    small: int

    def ways(self, first: int, second: int, longest: int) -> Floats:
        """Count the ways to deal the small cards, given the lengths of the first two hands.

        Returns float64 of shape (longest + 1, classes): by the third hand's length, then class.
        """
        third = np.arange(longest + 1)[:, np.newaxis]
        held = self.held.T
        return small_ways(self.small, first - held[0], second - held[1], third - held[2])


class Layouts:
    """Every way to give the top cards of a suit to some hands, or to none of them.

    The top cards are those on which HCP and some flags depend; ``cards`` of the suit are dealt.
    ``tops``: the top cards of each hand, int64 of shape (hands, (hands + 1)**top cards). ``small``:
    the number of other cards.
    """

    def __init__(self, hands: int, cards: int = WHOLE_SUIT, flags: Flags = ()) -> None:
        top = cards & top_cards(flags)
        self.small = (cards ^ top).bit_count()
        bits = np.array([1 << bit for bit in range(SUIT_CARDS) if top >> bit & 1], dtype=np.int64)
        owner = np.array([*product(range(hands + 1), repeat=len(bits))], dtype=np.int64)
        self.tops = np.array([(owner == hand) @ bits for hand in range(hands)], dtype=np.int64)

    def marks(self, hand: int, flags: Flags, length: Ints | int, good_minimum: int) -> Ints:
        """Return one hand's mark in each layout, by its length; (layouts, lengths).

        A length that the cards do not allow is replaced by the nearest possible one.
        """
        top = self.tops[hand, :, np.newaxis]
        # The lowest cards stand for any small ones, because all have the same marks.
        lowest = (1 << np.clip(length - LENGTH[top], 0, self.small)) - 1
        return marks(flags, good_minimum)[top | lowest]

    def classes(self, some: BoolArray | None = None, label: Ints | None = None) -> Classes:
        """Group some layouts by the hands' numbers of top cards and by a label, both (layouts,)."""
        every = np.zeros_like(self.tops[0])
        here = every == 0 if some is None else some
        tops = self.tops[:, here]
        keys = np.column_stack([(every if label is None else label)[here], *LENGTH[tops]])
        keys, number = np.unique(keys, axis=0, return_inverse=True)
        rows = np.column_stack([number.reshape(-1), *HOLDING_HCP[tops]])
        spread, count = np.unique(rows, axis=0, return_counts=True)
        return Classes(keys[:, 1:], keys[:, 0], np.column_stack([spread, count]), self.small)


@lru_cache
def one_hand_ways(flags: Flags = (), good_minimum: int = 2, cards: int = WHOLE_SUIT) -> Ints:
    """Count the holdings of one hand, out of some ``cards`` of the suit.

    Returns int64 of shape (14, 11, marks): by length, HCP and mark.
    """
    held = np.arange(N_HOLDINGS)
    held = held[held & ~cards == 0]
    ways = np.zeros((SUIT_CARDS + 1, SUIT_HCP + 1, n_marks(flags)), dtype=np.int64)
    np.add.at(ways, (LENGTH[held], HOLDING_HCP[held], marks(flags, good_minimum)[held]), 1)
    return read_only(ways)


@lru_cache
def two_hand_ways(flags: Flags = (), good_minimum: int = 2, cards: int = WHOLE_SUIT) -> Floats:
    """Count the ways to give two hands their holdings, out of some ``cards`` of the suit.

    Returns float64 of shape (14, 14, marks, 11, 11): by length in the first and in the second
    hand, by the mark of the second, and by HCP of the first and of the second.
    """
    layouts = Layouts(2, cards, flags)
    first, second = layouts.tops[..., np.newaxis]
    others = np.indices((layouts.small + 1,) * 2).reshape(2, -1)
    lengths = LENGTH[first] + others[0], LENGTH[second] + others[1]
    mark = layouts.marks(1, flags, lengths[1], good_minimum)
    ways = np.zeros((*(SUIT_CARDS + 1,) * 2, n_marks(flags), *(SUIT_HCP + 1,) * 2))
    cell = (*lengths, mark, HOLDING_HCP[first], HOLDING_HCP[second])
    np.add.at(ways, cell, small_ways(layouts.small, *others))
    return read_only(ways)


def two_suits(one: Floats, other: Floats) -> Floats:
    """Convolve two suits over the HCP of two hands, the last two axes; the others broadcast."""
    leading = np.broadcast_shapes(one.shape[:-2], other.shape[:-2])
    joined = np.zeros((*leading, 2 * SUIT_HCP + 1, 2 * SUIT_HCP + 1))
    one, other = _without_zeros(one), _without_zeros(other)
    size, hcp = one.shape[-1], np.arange(other.shape[-1])
    # The second hand's HCP are added by a matrix product, with `one` along the diagonals.
    shifted = np.zeros((*one.shape[:-1], len(hcp), size + len(hcp) - 1))
    for second in range(size):
        shifted[..., hcp, second + hcp] = one[..., second, np.newaxis]
    for first in range(size):
        into = joined[..., first : first + len(hcp), : shifted.shape[-1]]
        into += other @ shifted[..., first, :, :]
    return joined


def _without_zeros(suit: Floats) -> Floats:
    """Leave out the HCP that neither hand can have, because a third hand has some of the honours."""
    most = np.argwhere(suit.any(axis=tuple(range(suit.ndim - 2)))).max(initial=0)
    return suit[..., : most + 1, : most + 1]
