"""The suits bid, Y and Z, added up over what opener and overcaller may hold in them.

A holding in Y and Z is allowed if its points together with those in the unbid suits, W and V, are.
So the sums are for each pair of points of opener and overcaller in W and V: the points in Y and Z
become points in W and V by multiplication with a *window*, that says which of the former go with
which of the latter.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from analysis.exact.pair_rules import Asked
from analysis.exact.responder_filing import ResponderFiling
from analysis.exact.suit_pairs import BidSuits, Pair, Points
from analysis.exact.suit_ways import Bools, Floats, Ints, Pack

Summed = dict[int, Floats]
"""By responder's cards in Y and Z: (pair of points of opener and overcaller in W and V, responder's
holding in Y and Z)."""


@dataclass(frozen=True, order=True)
class _Held:
    """What overcaller may hold in Y and Z: Z good, Y stopped (-1: either), lengths."""

    good: int
    stopped: int
    lengths: Pair

    def asked(self, of: Asked) -> Bools | None:
        """What is asked of the points, None if nothing is allowed."""
        if self.lengths in of.points:
            points: Bools = of.points[self.lengths][self.good, max(self.stopped, 0)]
            if points.any():
                return points
        return None


@dataclass(frozen=True, eq=False)
class _Table:
    """The part of a table of :meth:`BidSuits.table` that is for one holding of overcaller's."""

    table: Floats
    start: int
    lengths: int

    def columns(self, cells: slice, y: Ints, kind: Ints) -> Floats:
        """The ways of some cells by columns of responder's holdings; (cells, columns)."""
        kinds, rows = self.table.shape[1:]
        here = (y < self.lengths) & (kind < kinds)
        places = np.where(here, kind * rows + self.start + y, rows - 1)
        return self.table[cells].reshape(-1, kinds * rows).take(places, axis=1)


class BidSuitsSummed:
    """The sums for one thing asked of opener."""

    def __init__(
        self,
        pack: Pack,
        points: Points,
        suits: BidSuits,
        filing: ResponderFiling,
        opener: Asked,
        overcallers: Collection[Asked],
    ) -> None:
        self._pack, self._points, self._suits, self._filing = pack, points, suits, filing
        self._cards = opener.cards
        openers: dict[bytes, list[Pair]] = {}
        for lengths, allowed in opener.points.items():
            openers.setdefault(allowed.tobytes(), []).append(lengths)
        self._openers = list(openers.values())
        windows = [self._window(opener.points[together[0]]) for together in self._openers]
        # By how many points opener may have in Y and Z: all windows side by side.
        self._opener_windows = [
            np.hstack([window[:, :room] for window in windows]) for room in range(points.most + 2)
        ]
        self._tables = self._all_tables(overcallers)

    def _window(self, allowed: Bools) -> Floats:
        """Which points in W and V (rows) go with which in Y and Z; 1.0 and 0.0."""
        points = np.arange(self._points.most + 1)
        return allowed[np.add.outer(points, points)].astype(np.float64)

    def _all_tables(self, overcallers: Collection[Asked]) -> dict[_Held, list[_Table]]:
        """By what overcaller may hold, a table for each of opener's windows."""
        asked: dict[Pair, list[Bools]] = {}
        for over in overcallers:
            for lengths, allowed in over.points.items():
                asked.setdefault(lengths, []).append(allowed)
        # What one table serves: lengths in Y, where a stopper does not matter.
        together: dict[tuple[int, int, int, int], list[int]] = {}
        for (y, z), of in asked.items():
            for good in range(2):
                either = all(np.array_equal(points[good, 0], points[good, 1]) for points in of)
                for stopped in (-1,) if either else (0, 1):
                    if any(points[good, max(stopped, 0)].any() for points in of):
                        key = z, good, stopped, -1 if either else y
                        together.setdefault(key, []).append(y)
        tables: dict[_Held, list[_Table]] = {}
        for (z, good, stopped, _), in_y in together.items():
            for openers in self._openers:
                table, starts = self._suits.table(
                    openers, in_y, z, good, None if stopped < 0 else stopped
                )
                for y, start, stop in zip(in_y, starts, starts[1:], strict=False):
                    held = _Held(good, stopped, (y, z))
                    tables.setdefault(held, []).append(_Table(table, start, stop - start))
        return tables

    def over(self, overcallers: Sequence[Asked]) -> dict[Asked, Summed]:
        """The sums for each of some things asked of overcaller, all with as many cards in Y and Z."""
        points, hand, two_suits = self._points, self._pack.hand_cards, 2 * self._pack.suit_cards
        both = self._cards + overcallers[0].cards
        held = sorted(
            one for one in self._tables if any(one.asked(of) is not None for of in overcallers)
        )
        windows = [self._runs(held, of) for of in overcallers]
        # Responder's cards in Y and Z: no more than are left there, and the rest are left in W and V.
        fewest, most = max(0, 3 * hand - two_suits - both), min(hand, two_suits - both)
        places = self._filing.places
        summed = [
            {
                cards: np.zeros((len(points.first), places[cards][-1].stop))
                for cards in range(fewest, most + 1)
            }
            for _ in overcallers
        ]
        for third, columns in enumerate(self._filing.columns):
            start = columns.start[fewest]
            here = slice(start, columns.start[most + 1])
            if here.start == here.stop:
                continue
            counts = self._opened(held, third, columns.y[here], columns.kind[here])
            for runs, into in zip(windows, summed, strict=True):
                total = self._overcalled(runs, counts)
                for cards, of_cards in into.items():
                    first, last = columns.start[cards] - start, columns.start[cards + 1] - start
                    of_cards[:, places[cards][third]] = total[
                        points.second, points.first, first:last
                    ]
        return dict(zip(overcallers, summed, strict=True))

    def _opened(self, held: Sequence[_Held], third: int, y: Ints, kind: Ints) -> Floats:
        """The sums over opener's holdings, for one number of responder's points in Y and Z.

        By what overcaller holds, its points in Y and Z, opener's in W and V, and responder's column.
        """
        room, starts = self._points.most + 1 - third, self._suits.starts
        part = slice(*starts[third : third + 2])
        windows = len(self._openers)
        # Overcaller's points, windows, opener's points.
        rows = np.repeat(np.arange(room), np.arange(room, 0, -1))
        own = np.arange(len(rows)) - np.searchsorted(rows, rows)
        begin = windows * np.searchsorted(rows, rows)
        counts = np.empty((len(held), windows * len(rows), len(y)))
        for into, one in zip(counts, held, strict=True):
            for number, table in enumerate(self._tables[one]):
                into[begin + number * (room - rows) + own] = table.columns(part, y, kind)
        opened = np.empty((len(held), room, self._points.most + 1, len(y)))
        stop = 0
        for over in range(room):
            start, stop = stop, stop + windows * (room - over)
            window = self._opener_windows[room - over]
            np.matmul(window, counts[:, start:stop], out=opened[:, over])
        return opened

    def _runs(self, held: Sequence[_Held], of: Asked) -> list[tuple[slice, Floats]]:
        """Overcaller's windows for what is asked, run by run of neighbours among ``held``."""
        asked = [(number, one.asked(of)) for number, one in enumerate(held)]
        runs: list[tuple[slice, list[Floats]]] = []
        for number, allowed in asked:
            if allowed is not None:
                if runs and runs[-1][0].stop == number:
                    before, windows = runs.pop()
                    runs.append((slice(before.start, number + 1), windows))
                else:
                    runs.append((slice(number, number + 1), []))
                runs[-1][1].append(self._window(allowed))
        return [(run, np.stack(windows, axis=1)) for run, windows in runs]

    def _overcalled(self, runs: Sequence[tuple[slice, Floats]], opened: Floats) -> Floats:
        """The sums over overcaller's holdings: (its points in W and V, opener's, column)."""
        size, room = self._points.most + 1, opened.shape[1]
        total = np.zeros((size, size * opened.shape[3]))
        for run, windows in runs:
            counts = opened[run]
            window = windows[:, :, :room].reshape(size, -1)
            total += window @ counts.reshape(-1, total.shape[1])
        return total.reshape(size, size, -1)
