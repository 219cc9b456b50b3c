"""Classes of hands: the 560 shapes and 38 point counts.

Most of the bidding depends on a hand's shape and points alone, so 21,280 classes stand for all
635,013,559,600 hands. The sampler uses them to bid by look-up, the tally to file what it saw, the
exact side to count.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from analysis.cards.bids import SUIT_NAMES
from analysis.cards.hands import LENGTH_SHIFT, Scalar, class_words
from analysis.vocabulary.dimension import Combinations, Numbers

N_HCP = 38
"""Point counts of a hand: 0 to 37."""

SHAPES = np.array(
    [shape for shape in product(range(14), repeat=4) if sum(shape) == 13], dtype=np.int16
)
"""The 560 shapes, lexicographic; shape (560, 4): lengths of clubs, diamonds, hearts, spades."""

PARTNERSHIP_SHAPES = np.array(
    [shape for shape in product(range(14), repeat=4) if sum(shape) == 26], dtype=np.int16
)
"""The 1834 ways to divide two partners' 26 cards over the suits, lexicographic; shape (1834, 4)."""

MAX_PARTNERSHIP_HCP = 40
"""The most points that two hands hold: all there are."""

HCP = Numbers("hcp", "HCP", "High-card points of a hand.", range(N_HCP), "points")
LENGTHS = tuple(Numbers(name, name, f"Cards in {name}.", range(14), "cards") for name in SUIT_NAMES)
SHAPE = Combinations(LENGTHS, SHAPES.tolist())

N_CLASSES = len(SHAPES) * N_HCP

CLASS_WORDS = class_words(SHAPES.T[:, :, np.newaxis], np.arange(N_HCP)).reshape(-1)
"""The word of each class, no flag set; shape (21280,), uint32: shapes in order, points within."""

_OF_CLASS = np.uint32((1 << LENGTH_SHIFT[3]) - 1)
"""The bits of a word that settle its class: points and three lengths, which leave one fourth."""


def by_word(of_class: NDArray[Scalar]) -> NDArray[Scalar]:
    """What is said of each class, shape (21280,), as a table for :func:`look_up`."""
    table = np.zeros(int(_OF_CLASS) + 1, dtype=of_class.dtype)
    table[CLASS_WORDS & _OF_CLASS] = of_class
    return table


def look_up(table: NDArray[Scalar], words: NDArray[np.uint32]) -> NDArray[Scalar]:
    """What a table made by :func:`by_word` says of each hand; shape of ``words``."""
    return table.take(words & _OF_CLASS)


_CLASS = by_word(np.arange(N_CLASSES, dtype=np.int32))


def class_of(words: NDArray[np.uint32]) -> NDArray[np.int32]:
    """The class of each hand, shape number * 38 + HCP; int32, shape of ``words``."""
    return look_up(_CLASS, words)


def shape_of(words: NDArray[np.uint32]) -> NDArray[np.int32]:
    """The number of each hand's shape in :data:`SHAPES`; int32, shape of ``words``."""
    return class_of(words) // np.int32(N_HCP)
