"""Classes of hands: the 560 shapes and 38 point counts.

Most of the bidding depends on a hand's shape and points alone, so 21,280 classes stand for all
635,013,559,600 hands. The sampler uses them to bid by look-up, the tally to file what it saw, the
exact side to count.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from analysis.hands import HCP_BITS, SHAPE_HCP_BITS, class_words

N_HCP = 38
"""Point counts of a hand: 0 to 37."""

SHAPES = np.array(
    [shape for shape in product(range(14), repeat=4) if sum(shape) == 13], dtype=np.int16
)
"""The 560 shapes, lexicographic; shape (560, 4): lengths of clubs, diamonds, hearts, spades."""

N_CLASSES = len(SHAPES) * N_HCP

CLASS_WORDS = class_words(SHAPES.T[:, :, np.newaxis], np.arange(N_HCP)).reshape(-1)
"""The word of each class, no flag set; shape (21280,), uint32: shapes in order, points within."""

_LENGTH_BITS = SHAPE_HCP_BITS - HCP_BITS
_FIRST_CLASS = np.zeros(1 << _LENGTH_BITS, dtype=np.int32)
_FIRST_CLASS[CLASS_WORDS[::N_HCP] >> np.uint32(HCP_BITS)] = np.arange(0, N_CLASSES, N_HCP)


def class_of(words: NDArray[np.uint32]) -> NDArray[np.int32]:
    """The class of each hand, shape number * 38 + HCP; int32, shape of ``words``."""
    lengths = (words >> np.uint32(HCP_BITS)) & np.uint32((1 << _LENGTH_BITS) - 1)
    return _FIRST_CLASS[lengths] + (words & np.uint32((1 << HCP_BITS) - 1)).astype(np.int32)


def shape_of(words: NDArray[np.uint32]) -> NDArray[np.int32]:
    """The number of each hand's shape in :data:`SHAPES`; int32, shape of ``words``."""
    return class_of(words) // np.int32(N_HCP)
