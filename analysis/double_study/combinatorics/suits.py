"""One suit over three hands, exactly.

The three hands are called the first, second and third; a fourth takes the cards that are left.
What the bidding asks of a suit (points, good, stopped) depends on the holding of its few top cards
and on length. So the ways to deal a suit are a sum over *classes* of layouts of the top cards: how
many of them each hand has fixes the ways to deal the small cards (a multinomial coefficient), and
the class fixes how the suit's points lie.

Every number is a count of ways, held in float64. The factors are whole and below 2**53.

Two suits over three hands, exactly: the suits nobody bid, and the suits bid.

The hands are opener, overcaller and responder. A table here belongs to given lengths of opener and
overcaller in the two suits, and counts the ways by responder's lengths and by *cells*: the points
of all three in the two suits together. All suits of a pack are alike, so a table serves every pair.

The tables are built from the classes of layouts of either suit's top cards (:mod:`suit_ways`): a
sparse matrix says how the points of two classes lie together, and filling in the small cards is
then multiplication by the ways to deal them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, product
from math import factorial

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from double_study.cards import hands
from double_study.errors import InputError

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
    return Pack(suit_cards, hand_cards, hands.HOLDING_HCP[holdings], good, stopper)


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


Pair = tuple[int, int]
"""A hand's lengths in the two suits."""

_BAND_STARTS = 0, 3, 7, 12
"""Where bands of a third hand's points begin: few bands make large matrix products, many waste less
on pairs of points that leave no room."""


class Points:
    """The points of three hands in two suits that have ``most`` points between them.

    ``first``, ``second``: pairs of points of the first two hands, in order of their sum, so that
    the pairs that leave room for a third hand's points are the leading ones; each shape (pairs,).
    ``bands``: runs of the third hand's points, slices. What is filed by bands gives every point of
    a band the pairs that its first point leaves room for, in vain for some.
    """

    def __init__(self, most: int) -> None:
        self.most = most
        pairs = [(a, b) for a in range(most + 1) for b in range(most + 1 - a)]
        self.first, self.second = np.array(sorted(pairs, key=sum), dtype=np.int64).T
        ends = [*(start for start in _BAND_STARTS if start <= most), most + 1]
        self.bands = [slice(*band) for band in pairwise(ends)]

    def pairs(self, third: int) -> int:
        """How many pairs leave room for ``third`` points."""
        room = self.most + 1 - third
        return room * (room + 1) // 2

    def by_third(self) -> tuple[Ints, list[int]]:
        """Cells in order of the third hand's points, then the second's, then the first's.

        Returns the position of each by points of the three hands, -1 where there is no cell, and
        where each number of the third hand's points begins, with the end of all.
        """
        cells = [
            (first, second, third)
            for third in range(self.most + 1)
            for second in range(self.most + 1 - third)
            for first in range(self.most + 1 - third - second)
        ]
        starts = np.cumsum([0, *(self.pairs(third) for third in range(self.most + 1))])
        return self._positions(np.array(cells), np.arange(len(cells))), starts.tolist()

    def by_band(self) -> tuple[Ints, list[int]]:
        """Cells in order of the bands, in each by the third hand's points, then by pairs.

        Returns as :meth:`by_third`: the starts are those of the bands.
        """
        cells, places, starts = [], [], [0]
        for band in self.bands:
            pairs = self.pairs(band.start)
            for third in range(band.start, band.stop):
                room = np.arange(self.pairs(third))
                cells.append(np.column_stack([self.first, self.second])[room])
                cells[-1] = np.column_stack([cells[-1], np.full(len(room), third)])
                places.append(starts[-1] + (third - band.start) * pairs + room)
            starts.append(starts[-1] + (band.stop - band.start) * pairs)
        return self._positions(np.concatenate(cells), np.concatenate(places)), starts

    def _positions(self, cells: Ints, places: Ints) -> Ints:
        positions = np.full((self.most + 1,) * HANDS, -1, dtype=np.int64)
        positions[tuple(cells.T)] = places
        return positions


class _Joined:
    """How the points of one suit and of another lie together, class by class.

    ``cell``: the position of a cell by points of the three hands. Few cells can be reached from a
    pair of classes, hence the sparse matrix.
    """

    def __init__(self, one: Classes, other: Classes, cell: Ints, cells: int) -> None:
        a, b = one.spread[:, np.newaxis], other.spread[np.newaxis]
        reached = cell[tuple(a[..., i] + b[..., i] for i in range(1, HANDS + 1))]
        rows = a[..., 0] * cells + reached
        columns = np.broadcast_to(b[..., 0], rows.shape)
        layouts = (a[..., -1] * b[..., -1]).astype(np.float64)
        self.one, self.other = one, other
        self._shape = len(one.held), cells
        self._matrix = csr_array(
            (layouts.ravel(), (rows.ravel(), columns.ravel())),
            shape=(len(one.held) * cells, len(other.held)),
        )

    def with_other(self, ways: Floats) -> Floats:
        """Fill in the other suit: ``ways`` (n, its classes) to (classes of one suit, cells, n)."""
        return np.asarray(self._matrix @ ways.T).reshape(*self._shape, -1)


class UnbidSuits:
    """The two suits that nobody has bid; cells are by bands, as in :meth:`Points.by_band`."""

    def __init__(self, pack: Pack, points: Points) -> None:
        self._most = pack.suit_cards
        classes = Layouts(pack, pack.top()).classes()
        cell, self.starts = points.by_band()
        self._joined = _Joined(classes, classes, cell, self.starts[-1])
        self._filled: dict[Pair, Floats] = {}

    def table(self, opener: Pair, overcallers: Sequence[Pair]) -> Floats:
        """Ways by responder's length in the higher and in the lower suit, and cell.

        Added up over overcaller's lengths. Responder's lengths go as far as any of these leave.
        """
        lower, higher = (
            max(self._most + 1 - opener[suit] - min(over[suit] for over in overcallers), 0)
            for suit in range(2)
        )
        total = np.zeros((higher, lower, self.starts[-1]))
        for over in overcallers:
            if max(np.add(opener, over)) <= self._most:
                ways = self._joined.one.ways(opener[0], over[0])
                table = np.matmul(ways, self._filled_in(opener[1], over[1]))
                total[: table.shape[0], : table.shape[1]] += table
        return total

    def _filled_in(self, opener: int, over: int) -> Floats:
        """The higher suit filled in: (responder's length, classes of the lower suit, cells)."""
        key = opener, over
        if key not in self._filled:
            filled = self._joined.with_other(self._joined.other.ways(*key))
            self._filled[key] = np.ascontiguousarray(np.moveaxis(filled, -1, 0))
        return self._filled[key]


class BidSuits:
    """Opener's suit Y and overcaller's suit Z; cells are as in :meth:`Points.by_third`."""

    def __init__(self, pack: Pack, points: Points) -> None:
        self._most, self._kinds = pack.suit_cards, Kinds(pack)
        self._cell, self.starts = points.by_third()
        self._y = Layouts(pack, pack.top())
        self._y_flagged = Layouts(pack, pack.top(pack.stopper))
        self._z = Layouts(pack, pack.top(pack.good, pack.stopper))
        self._y_stopper = pack.by_length(pack.stopper, self._y_flagged.top)
        self._z_good = pack.by_length(pack.good, self._z.top)
        # The rows of flags by length, Z good and then Z stopped, that responder's top cards may give.
        flags = np.hstack([self._z_good, pack.by_length(pack.stopper, self._z.top)])
        rows, row = np.unique(flags, axis=0, return_inverse=True)
        self._flag_rows = rows.reshape(len(rows), 2, -1)
        self._flag_row = row.reshape(-1)[self._z.masks[2]]
        self._joins: dict[tuple[bytes, bytes], _Joined] = {}

    def table(
        self,
        openers: Sequence[Pair],
        y_overcallers: Sequence[int],
        z_overcaller: int,
        good: int,
        stopped: int | None,
    ) -> tuple[Floats, Ints]:
        """Ways by cell, kind of holding of responder's in Z (those short enough), and *row*.

        Added up over opener's lengths. Overcaller's Z is good (1) or not (0), and overcaller stops
        Y (1), does not (0), or either (None); a stopper hangs on the length in Y, so there is then
        one such length. The rows are, for each of overcaller's lengths in Y, responder's: returned
        is where they begin. The last row is for all the rest, and zero.
        """
        y_least, z_least = (min(lengths[suit] for lengths in openers) for suit in range(2))
        counts = [max(self._most + 1 - y_least - over, 0) for over in y_overcallers]
        starts = np.cumsum([0, *counts])
        joined = self._join(y_overcallers[0], z_overcaller, good, stopped)
        z_most = max(self._most - z_least - z_overcaller, 0)
        kinds = int(np.searchsorted(self._kinds.lengths, z_most, side="right"))
        classes = len(joined.one.held)
        filled = np.zeros((len(openers), classes, self.starts[-1], kinds))
        ways = np.zeros((len(openers), classes, starts[-1] + 1))
        for number, (y, z) in enumerate(openers):
            if z + z_overcaller > self._most:
                continue
            by_kind = self._by_kind(joined.other, z, z_overcaller)
            filled[number, ..., : len(by_kind)] = joined.with_other(by_kind)
            for over, start in zip(y_overcallers, starts.tolist(), strict=False):
                if y + over <= self._most:
                    of_y = joined.one.ways(y, over)
                    ways[number, :, start : start + len(of_y)] = of_y.T
        rows = starts[-1] + 1
        table = filled.reshape(len(openers) * classes, -1).T @ ways.reshape(-1, rows)
        return table.reshape(self.starts[-1], kinds, rows), starts

    def _join(self, y_over: int, z_over: int, good: int, stopped: int | None) -> _Joined:
        is_good = self._z_good[self._z.masks[1], z_over] == good
        layouts, stops = self._y, None
        if stopped is not None:
            layouts = self._y_flagged
            stops = self._y_stopper[layouts.masks[1], y_over] == stopped
        key = b"" if stops is None else stops.tobytes(), is_good.tobytes()
        if key not in self._joins:
            z = self._z.classes(is_good, self._flag_row)
            self._joins[key] = _Joined(layouts.classes(stops), z, self._cell, self.starts[-1])
        return self._joins[key]

    def _by_kind(self, classes: Classes, opener: int, overcaller: int) -> Floats:
        """Ways to fill in Z by kind of holding of responder's; (kinds short enough, classes)."""
        ways = classes.ways(opener, overcaller)
        kinds = self._kinds
        length = kinds.lengths[kinds.lengths < len(ways)]
        good, stopped = self._flag_rows[classes.labels].transpose(1, 2, 0)
        right = good[length] == kinds.good[: len(length), np.newaxis]
        right &= stopped[length] == kinds.stopped[: len(length), np.newaxis]
        return np.where(right, ways[length], 0.0)
