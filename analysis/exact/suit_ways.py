"""One suit over three hands, exactly.

The three hands are called the first, second and third; a fourth takes the cards that are left.
What the bidding asks of a suit (points, good, stopped) depends on the holding of its few top cards
and on length. So the ways to deal a suit are a sum over *classes* of layouts of the top cards: how
many of them each hand has fixes the ways to deal the small cards (a multinomial coefficient), and
the class fixes how the suit's points lie.

Every number is a count of ways, held in float64. The factors are whole and below 2**53.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import factorial

import numpy as np
from numpy.typing import NDArray

from analysis.cards import hands
from analysis.errors import InputError

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

HANDS = 3
SUITS = 4


@dataclass(frozen=True, eq=False)
class Pack:
    """A pack of four equal suits, the size of a hand, and what a holding is worth.

    ``hcp``, ``good`` and ``stopper`` have an entry for each holding of a suit, shape
    (2**suit_cards,), the highest bit the highest card. The first three hands have
    ``hand_cards`` each, the fourth the rest.

    Raises InputError if the hands do not fit the pack or a table has the wrong length.
    """

    suit_cards: int
    hand_cards: int
    hcp: Ints
    good: Bools
    stopper: Bools

    def __post_init__(self) -> None:
        if not 0 < HANDS * self.hand_cards <= SUITS * self.suit_cards:
            raise InputError(
                f"three hands of {self.hand_cards} cards do not come from a pack of "
                f"{SUITS * self.suit_cards}"
            )
        sizes = {len(self.hcp), len(self.good), len(self.stopper)}
        if sizes != {1 << self.suit_cards}:
            raise InputError(f"a table of holdings has {1 << self.suit_cards} entries, not {sizes}")

    @cached_property
    def shapes(self) -> Ints:
        """The shapes of a hand, lexicographic; (shapes, 4): clubs, diamonds, hearts, spades."""
        lengths = product(range(min(self.hand_cards, self.suit_cards) + 1), repeat=SUITS)
        return np.array([s for s in lengths if sum(s) == self.hand_cards], dtype=np.int64)

    @cached_property
    def max_hcp(self) -> int:
        """The most points that a hand may have: 37 in the full pack."""
        most = np.zeros(self.suit_cards + 1, dtype=np.int64)
        np.maximum.at(most, np.bitwise_count(np.arange(1 << self.suit_cards)), self.hcp)
        return int(most[self.shapes].sum(axis=1).max())

    def top(self, *flags: Bools) -> int:
        """How many top cards settle the points and, together with length, ``flags``."""
        holdings = np.arange(1 << self.suit_cards)
        for cards in range(self.suit_cards):
            small = self.suit_cards - cards
            held = holdings >> small
            length = np.bitwise_count(holdings)
            if np.array_equal(self.hcp[held << small], self.hcp) and all(
                np.array_equal(self.by_length(flag, cards)[held, length], flag) for flag in flags
            ):
                return cards
        return self.suit_cards

    def by_length(self, table: Bools, top: int) -> Bools:
        """A table of holdings by (top cards held, length); (2**top, suit_cards + 1).

        Lengths that those top cards cannot have count as the nearest that they can.
        """
        small = self.suit_cards - top
        held = np.arange(1 << top)[:, np.newaxis]
        others = np.arange(self.suit_cards + 1) - np.bitwise_count(held)
        holdings = np.asarray((held << small) | ((1 << np.clip(others, 0, small)) - 1))
        return table[holdings]


def pack_of(good_minimum: int = 2, suit_cards: int = 13, hand_cards: int = 13) -> Pack:
    """The pack of 52, or the top ``suit_cards`` of each suit; good suits as in the agreement."""
    holdings = np.arange(1 << suit_cards) << (hands.SUIT_CARDS - suit_cards)
    good, stopper = hands.good(good_minimum)[holdings], np.asarray(hands.STOPPER)[holdings]
    return Pack(suit_cards, hand_cards, hands.HCP[holdings], good, stopper)


class Kinds:
    """The kinds of holding that rules tell apart in a suit, in order of length.

    ``lengths``, ``good``, ``stopped``: int64, each shape (kinds,). ``points``: whether a kind may
    have so many points, bool (kinds, points of a suit + 1). ``points_of_length``: the same of
    lengths, bool (suit_cards + 1, points of a suit + 1).
    """

    def __init__(self, pack: Pack) -> None:
        holdings = np.arange(1 << pack.suit_cards)
        length = np.bitwise_count(holdings).astype(np.int64)
        marks = np.column_stack([length, pack.good, pack.stopper])
        kinds, kind = np.unique(marks, axis=0, return_inverse=True)
        self.lengths, self.good, self.stopped = kinds.T
        self.points = np.zeros((len(kinds), pack.hcp.max() + 1), dtype=np.bool_)
        self.points[kind.reshape(-1), pack.hcp] = True
        self.points_of_length = np.zeros((pack.suit_cards + 1, pack.hcp.max() + 1), dtype=np.bool_)
        self.points_of_length[length, pack.hcp] = True


@dataclass(frozen=True, eq=False)
class Classes:
    """Classes of layouts of a suit's top cards over the hands.

    ``held``: top cards of the three hands, (classes, 3). ``labels``: what else marks the class,
    (classes,). ``spread``: one row (class, points of the three hands, layouts) for each way that
    the points of a class may lie. ``small``: cards below the top, of ``cards`` in the suit.
    """

    held: Ints
    labels: Ints
    spread: Ints
    small: int
    cards: int

    def ways(self, first: int, second: int) -> Floats:
        """Ways to deal the small cards, by length of the third hand: 0, 1, ... as many as may be.

        ``first``, ``second``: cards of the first two hands in the suit. Shape (lengths, classes).
        """
        third = np.arange(self.cards - first - second + 1)[:, np.newaxis]
        rest = np.stack(np.broadcast_arrays(first, second, third), axis=-1) - self.held
        rest = np.concatenate([rest, self.small - rest.sum(axis=-1, keepdims=True)], axis=-1)
        fits = rest.min(axis=-1) >= 0
        factorials = np.array([factorial(n) for n in range(self.cards + 1)], dtype=np.float64)
        below = factorials[np.where(fits[..., np.newaxis], rest, 0)].prod(axis=-1)
        return np.where(fits, factorials[self.small] / below, 0.0)


class Layouts:
    """Every way to give the ``top`` top cards of a suit to the four hands.

    ``masks``: top cards held by each of the first three hands, (3, 4**top).
    """

    def __init__(self, pack: Pack, top: int) -> None:
        self.top = top
        self._cards, self._small = pack.suit_cards, pack.suit_cards - top
        owner = np.array(list(product(range(HANDS + 1), repeat=top)), dtype=np.int64)
        bits = 1 << np.arange(top)
        self.masks = np.array([(owner == hand) @ bits for hand in range(HANDS)], dtype=np.int64)
        self._points = pack.hcp[self.masks << self._small]

    def classes(self, keep: Bools | None = None, label: Ints | None = None) -> Classes:
        """Layouts told apart by each hand's number of top cards and by ``label``.

        Only those to ``keep``, if given. Both have shape (4**top,).
        """
        kept = np.arange(self.masks.shape[1]) if keep is None else np.flatnonzero(keep)
        held = np.bitwise_count(self.masks[:, kept]).astype(np.int64)
        labels = np.zeros_like(kept) if label is None else label[kept]
        keys, of = np.unique(np.column_stack([labels, *held]), axis=0, return_inverse=True)
        rows = np.column_stack([of.reshape(-1), *self._points[:, kept]])
        spread, layouts = np.unique(rows, axis=0, return_counts=True)
        spread = np.column_stack([spread, layouts])
        return Classes(keys[:, 1:], keys[:, 0], spread, self._small, self._cards)
