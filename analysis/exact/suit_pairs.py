"""Two suits over three hands, exactly: the suits nobody bid, and the suits bid.

The hands are opener, overcaller and responder. A table here belongs to fixed lengths of opener and
overcaller in the two suits, and counts the ways by responder's lengths and by the points of all
three in the two suits together: the cells of :class:`Points`.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_array

from analysis.exact.suit_ways import HANDS, Classes, Floats, Kinds, Layouts, Pack

Pair = tuple[int, int]
"""A hand's lengths in the two suits."""

SMALL_PRODUCT = 1 << 18
"""Multiplications in one matrix product. Libraries for linear algebra take a product of this size in
one thread; larger ones would set the threads of several workers against each other."""


class Points:
    """The points of three hands in two suits that have ``most`` points between them.

    The cells are the triples of points that add up to at most ``most``. They are ordered by the
    third hand's points, then by the sum of the first two: so the pairs that leave room for the
    third hand's points are the leading ones of ``first``, ``second``.

    ``first``, ``second``: points of the first two hands, each shape (pairs,).
    ``part[p]``: the slice of cells in which the third hand has p points.
    ``pair``, ``third``: position in ``first``, and third hand's points, of every cell.
    ``cell``: the position of the cell, by points of the three hands.
    """

    def __init__(self, most: int) -> None:
        self.most = most
        pairs = [(a, b) for a in range(most + 1) for b in range(most + 1 - a)]
        self.first, self.second = np.array(sorted(pairs, key=sum), dtype=np.int64).T
        sizes = [(most + 1 - p) * (most + 2 - p) // 2 for p in range(most + 1)]
        ends = np.cumsum(sizes).tolist()
        self.cells = ends[-1]
        self.part = [slice(end - size, end) for end, size in zip(ends, sizes, strict=True)]
        self.pair = np.concatenate([np.arange(size) for size in sizes])
        self.third = np.repeat(np.arange(most + 1), sizes)
        self.cell = np.zeros((most + 1,) * HANDS, dtype=np.int64)
        self.cell[self.first[self.pair], self.second[self.pair], self.third] = np.arange(self.cells)


class _Joined:
    """How the points of one suit and of another lie together, class by class.

    Few of the triples of points can be reached from a pair of classes, hence the sparse matrix.
    """

    def __init__(self, one: Classes, other: Classes, points: Points) -> None:
        a, b = one.spread[:, np.newaxis], other.spread[np.newaxis]
        cells = points.cell[tuple(a[..., i] + b[..., i] for i in range(1, HANDS + 1))]
        rows = a[..., 0] * points.cells + cells
        columns = np.broadcast_to(b[..., 0], rows.shape)
        layouts = (a[..., -1] * b[..., -1]).astype(np.float64)
        self.one, self.other, self._cells = one, other, points.cells
        self._matrix = csr_array(
            (layouts.ravel(), (rows.ravel(), columns.ravel())),
            shape=(len(one.held) * points.cells, len(other.held)),
        )

    def with_other(self, ways: Floats) -> Floats:
        """Fill in the other suit: ``ways`` (n, its classes) to (classes of one suit, cells * n)."""
        return np.asarray(self._matrix @ ways.T).reshape(len(self.one.held), -1)

    def with_both(self, ways: Floats, filled: Floats) -> Floats:
        """Fill in the one suit too: ``ways`` (m, its classes) to (m, cells, n)."""
        result = np.empty((len(ways), filled.shape[1]))
        step = max(1, SMALL_PRODUCT // ways.size)
        for start in range(0, filled.shape[1], step):
            part = slice(start, start + step)
            np.matmul(ways, filled[:, part], out=result[:, part])
        return result.reshape(len(ways), self._cells, -1)


class UnbidSuits:
    """The two suits that nobody has bid."""

    def __init__(self, pack: Pack, points: Points) -> None:
        classes = Layouts(pack, pack.top()).classes()
        self._joined = _Joined(classes, classes, points)
        self._filled: dict[Pair, Floats] = {}

    def table(self, opener: Pair, overcaller: Pair) -> Floats:
        """Ways by responder's length in the lower suit, cell, and length in the higher suit."""
        joined = self._joined
        lower, higher = zip(opener, overcaller, strict=True)
        if higher not in self._filled:
            self._filled[higher] = joined.with_other(joined.other.ways(*higher))
        return joined.with_both(joined.one.ways(*lower), self._filled[higher])


class BidSuits:
    """Opener's suit Y and overcaller's suit Z."""

    def __init__(self, pack: Pack, points: Points) -> None:
        self._points, self._kinds = points, Kinds(pack)
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
        self._filled: dict[tuple[Pair, int], Floats] = {}

    def table(self, opener: Pair, overcaller: Pair, good: int, stopped: int | None) -> Floats:
        """Ways by responder's length in Y, cell, and kind of holding in Z (those short enough).

        Overcaller's Z is good (1) or not (0), and overcaller stops Y (1), does not (0), or either
        (None).
        """
        (y, y_over), z = (opener[0], overcaller[0]), (opener[1], overcaller[1])
        joined = self._join(y_over, z[1], good, stopped)
        # With the stopper told apart it hangs on overcaller's length in Y: not worth the memory.
        filled = self._filled.get((z, good)) if stopped is None else None
        if filled is None:
            filled = joined.with_other(self._by_kind(joined.other, *z))
            if stopped is None:
                self._filled[z, good] = filled
        return joined.with_both(joined.one.ways(y, y_over), filled)

    def _join(self, y_over: int, z_over: int, good: int, stopped: int | None) -> _Joined:
        is_good = self._z_good[self._z.masks[1], z_over] == good
        layouts, stops = self._y, None
        if stopped is not None:
            layouts = self._y_flagged
            stops = self._y_stopper[layouts.masks[1], y_over] == stopped
        key = b"" if stops is None else stops.tobytes(), is_good.tobytes()
        if key not in self._joins:
            z = self._z.classes(is_good, self._flag_row)
            self._joins[key] = _Joined(layouts.classes(stops), z, self._points)
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
