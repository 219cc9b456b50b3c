"""Four hands, exactly: how many tables of suit lengths a deal may have.

The table of a deal has a row for each seat and a column for each suit; every row and every column
adds up to 13. Counts are exact integers.
"""

from itertools import permutations
from math import factorial

import numpy as np
from double_study.cards.bids import SUITS
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import SHAPES
from double_study.combinatorics.suits import Ints
from numpy.typing import NDArray

SEATS = 4


def length_tables() -> int:
    """Return the tables of suit lengths that a deal may have: four hands by four suits, all sums 13."""
    rows = _key(SHAPES)
    return _tables_of_pairs((rows[:, np.newaxis] + rows).ravel())


def length_tables_up_to_symmetry() -> int:
    """Return the tables, where a turn of the seats or an exchange of suits makes no new one.

    Seats turn together (4 ways), suits may be renamed (24 ways). By Burnside's lemma the number
    of different tables is the mean, over these 96 changes, of the tables that a change leaves as
    they were.
    """
    changes = [(suits, turn) for suits in permutations(SUITS) for turn in range(SEATS)]
    unchanged = sum(_unchanged(np.array(suits), turn) for suits, turn in changes)
    return unchanged // (SEATS * factorial(len(SUITS)))


def _unchanged(suits: Ints, turn: int) -> int:
    """Return the tables that stay the same when seats turn by `turn` and suits are renamed by `suits`."""
    rows = SHAPES
    renamed = rows[:, suits]
    twice = renamed[:, suits]
    if turn == 0:
        # Each row by itself must stay as it was.
        same = _key(rows[(rows == renamed).all(axis=1)])
        return _tables_of_pairs((same[:, np.newaxis] + same).ravel())
    if turn == 2:
        # Opposite rows are each other's renaming, so renaming twice must give the row back.
        return _tables_of_pairs(_key((rows + renamed)[(rows == twice).all(axis=1)]))
    # One row gives all the others by renaming, and four times over must give it back.
    comes_back = (rows == twice[:, suits][:, suits]).all(axis=1)
    sums = rows + renamed + twice + twice[:, suits]
    return int(np.sum(comes_back & (sums == HAND_CARDS).all(axis=1)))


def _key(lengths: NDArray[np.integer]) -> Ints:
    """Return four lengths or sums of lengths below 32, packed into one integer that adds like them."""
    key: Ints = (lengths << (5 * np.arange(len(SUITS)))).sum(axis=-1)
    return key


def _tables_of_pairs(half_sums: Ints) -> int:
    """Return the ways to pick two halves of a table whose column sums add up to 13 in every suit.

    `half_sums` holds the packed column sums of every half, once for each half that has them.
    """
    sums, ways = np.unique(half_sums, return_counts=True)
    full = _key(np.full(len(SUITS), HAND_CARDS))
    # A half with a sum above 13 leaves a negative rest, whose key is that of no half: the rest's
    # four parts add up to 26, and borrowing would make them add up to more.
    place = np.minimum(np.searchsorted(sums, full - sums), len(sums) - 1)
    return int(np.sum(ways * ways[place] * (sums[place] == full - sums)))
