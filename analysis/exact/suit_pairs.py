"""Two suits over three hands, exactly: the suits nobody bid, and the suits bid.

The hands are opener, overcaller and responder. A table here belongs to given lengths of opener and
overcaller in the two suits, and counts the ways by responder's lengths and by *cells*: the points
of all three in the two suits together. All suits of a pack are alike, so a table serves every pair.

The tables are built from the classes of layouts of either suit's top cards (:mod:`suit_ways`): a
sparse matrix says how the points of two classes lie together, and filling in the small cards is
then multiplication by the ways to deal them.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from scipy.sparse import csr_array

from analysis.exact.suit_ways import HANDS, Classes, Floats, Ints, Kinds, Layouts, Pack

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
