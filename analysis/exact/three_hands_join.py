"""The count behind :mod:`analysis.exact.three_hands`: four suits joined over three hands.

Method
------
Y and Z are the suits bid, W and V the unbid. The rules ask for whole shapes and whole points, so
the holdings in W and V and those in Y and Z meet only through sums. For given lengths of opener and
overcaller in W and V, and given points of theirs there, everything about Y and Z except what
responder holds is added up first. Then a matrix product over the points of opener and overcaller in
W and V joins the two pairs of suits. Lengths in W and V for which the rules ask the same of every
holding in Y and Z form one *side*, and are taken together.

Precision
---------
All terms are products and sums of non-negative numbers; nothing is subtracted. A result therefore
has a relative error of at most about 2**-53 for each operation that it has gone through in a row:
sums over classes of layouts (two of some 150 terms a pair of suits), over lengths of opener and of
overcaller (14 or fewer at a time), over points (21, 21, 231) and over joins of the same hand of
responder's (some thousands). That is well below 10,000 in a row, or 1e-12: twelve digits at the very
worst. Rounding errors partly cancel, and the tests, against integers, find fifteen. A count of zero
is exactly zero.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from analysis.exact.responder_filing import Joined, ResponderFiling
from analysis.exact.suit_pairs import SMALL_PRODUCT, BidSuits, Pair, Points, UnbidSuits
from analysis.exact.suit_ways import SUITS, Bools, Floats, Ints, Pack

_BAND = 5
"""Most points of responder's in W and V that one matrix product takes together: fewer waste less on
pairs of points that leave no room, more make fewer products."""


@dataclass(frozen=True, eq=False)
class _Side:
    """Lengths in W and V (``unbid``) for which the rules ask the same of every holding in Y and Z.

    ``asks``: by lengths in Y and Z, what is allowed; bool, points on the last axis.
    """

    unbid: list[Pair]
    asks: dict[Pair, Bools]


@dataclass(frozen=True)
class _Held:
    """What overcaller holds in Y and Z: lengths, Z good, Y stopped (None: either)."""

    lengths: Pair
    good: int
    stopped: int | None

    def asked(self, side: _Side) -> Bools:
        """What a side asks of the points: bool (levels, points)."""
        return side.asks[self.lengths][:, self.good, self.stopped or 0]


_Tables = dict[_Held, dict[Pair, Floats]]
"""Tables of Y and Z, by what overcaller holds and by opener's lengths."""

_Opened = dict[_Held, list[Floats]]
"""By what overcaller holds and by responder's points in Y and Z: (opener's points in W and V,
overcaller's points in Y and Z, column)."""


def _sides(shapes: Ints, allowed: Bools, bid: Pair, unbid: Pair) -> dict[int, list[_Side]]:
    """A hand's rules (shapes first, points last) as sides, by cards in Y and Z together."""
    by_unbid: dict[Pair, dict[Pair, Bools]] = {}
    for shape, asked in zip(shapes.tolist(), allowed, strict=True):
        if asked.any():
            asks = by_unbid.setdefault((shape[unbid[0]], shape[unbid[1]]), {})
            asks[shape[bid[0]], shape[bid[1]]] = asked
    sides: dict[int, dict[object, _Side]] = {}
    for lengths, asks in by_unbid.items():
        cards = int(shapes[0].sum()) - sum(lengths)
        key = tuple(sorted((held, asked.tobytes()) for held, asked in asks.items()))
        sides.setdefault(cards, {}).setdefault(key, _Side([], asks)).unbid.append(lengths)
    return {cards: list(found.values()) for cards, found in sides.items()}


def _alike(asked: Mapping[Pair, Bools]) -> Iterator[tuple[Bools, list[Pair]]]:
    """What is asked, and the keys of which it is asked."""
    keys: dict[bytes, list[Pair]] = {}
    for key, points in asked.items():
        keys.setdefault(points.tobytes(), []).append(key)
    for together in keys.values():
        yield asked[together[0]], together


class PairJoin:
    """The count for one opening and one suit overcalled; arguments as in ``PairRules``."""

    def __init__(self, pack: Pack, bid: Pair, opens: Bools, overcalls: Mapping[int, Bools]) -> None:
        self._pack = pack
        lower, higher = (suit for suit in range(SUITS) if suit not in bid)
        self._points = points = Points(2 * int(pack.hcp.max()))
        self._sums = np.add.outer(*[np.arange(points.most + 1)] * 2)
        self._unbid, self._bid = UnbidSuits(pack, points), BidSuits(pack, points)
        self._filing = ResponderFiling(pack, points, bid, (lower, higher), len(overcalls))
        over = np.stack([overcalls[level] for level in sorted(overcalls)], axis=1)
        over = np.moveaxis(over, 2, -1)  # shapes, levels, Z good, Y stopped, points
        self._openers, self._overcallers = (
            _sides(pack.shapes, self._padded(allowed), bid, (lower, higher))
            for allowed in (opens, over)
        )

    def _padded(self, allowed: Bools) -> Bools:
        """Points up to what two pairs of suits have: beyond any hand's nothing is held."""
        beyond = 2 * self._points.most + 1 - allowed.shape[-1]
        return np.pad(allowed, [(0, 0)] * (allowed.ndim - 1) + [(0, beyond)])

    def _window(self, asked: Bools) -> Floats:
        """Which points in one pair of suits (rows) go with which in the other; 1.0 and 0.0."""
        return asked[self._sums].astype(np.float64)

    def by_opener(self) -> Iterator[tuple[Pair, Floats]]:
        """Opener's lengths in the lower and higher unbid suit, and the deals in which they occur.

        The deals are by level, and by responder's shape, Z good, Z stopped and HCP; float64.
        """
        for cards, sides in self._openers.items():
            joined = [self._filing.nothing_joined(len(side.unbid)) for side in sides]
            for over_cards, over_sides in self._overcallers.items():
                left = 2 * self._pack.suit_cards - cards - over_cards
                tables = self._bid_tables(sides, over_sides)
                for side, into in zip(sides, joined, strict=True):
                    opened = self._add_openers(side, tables, min(left, self._pack.hand_cards))
                    for over in over_sides:
                        if bid := self._add_overcallers(over, opened):
                            self._join(self._unbid_tables(side.unbid, over.unbid), bid, into)
            for side, into in zip(sides, joined, strict=True):
                for number, lengths in enumerate(side.unbid):
                    yield lengths, self._filing.filed(into, number)

    def _bid_tables(self, sides: list[_Side], over_sides: list[_Side]) -> _Tables:
        openers = {lengths for side in sides for lengths in side.asks}
        tables: _Tables = {}
        for lengths in sorted({lengths for side in over_sides for lengths in side.asks}):
            asks = [side.asks[lengths] for side in over_sides if lengths in side.asks]
            for good in range(2):
                same = all(np.array_equal(ask[:, good, 0], ask[:, good, 1]) for ask in asks)
                for stopped in (None,) if same else (0, 1):
                    if any(ask[:, good, stopped or 0].any() for ask in asks):
                        tables[_Held(lengths, good, stopped)] = {
                            opener: self._bid.table(opener, lengths, good, stopped)
                            for opener in sorted(openers)
                            if max(np.add(opener, lengths)) <= self._pack.suit_cards
                        }
        return tables

    def _add_openers(self, side: _Side, tables: _Tables, left: int) -> _Opened:
        """Add up what opener may hold in Y and Z, for each of opener's points in W and V.

        ``left``: most cards in Y and Z that there are for responder.
        """
        opened: _Opened = {}
        for held, by_opener in tables.items():
            asked = {lengths: side.asks[lengths] for lengths in by_opener if lengths in side.asks}
            sums = [
                (self._window(points), _overlaid([by_opener[lengths] for lengths in together]))
                for points, together in _alike(asked)
            ]
            if sums:
                thirds = range(self._points.most + 1)
                opened[held] = [self._windowed(sums, third, left) for third in thirds]
        return opened

    def _windowed(self, sums: list[tuple[Floats, Floats]], third: int, left: int) -> Floats:
        points = self._points
        part = points.part[third]
        room, pairs = points.most + 1 - third, part.stop - part.start
        y, kind, start = self._filing.columns[third]
        y, kind = y[: start[left + 1]], kind[: start[left + 1]]
        total = np.zeros((room, points.most + 1, len(y)))
        for window, table in sums:
            square = np.zeros((room, room, len(y)))
            place = np.minimum(y, table.shape[1] - 1), np.minimum(kind, table.shape[2] - 1)
            square[points.second[:pairs], points.first[:pairs]] = table[part, *place]
            total += window[:, :room] @ square
        return total.transpose(1, 0, 2)

    def _add_overcallers(self, side: _Side, opened: _Opened) -> dict[int, list[Floats]]:
        """Add up what overcaller may hold in Y and Z, for each of its points in W and V.

        By level (0 the first of those overcalled at), then by responder's points in Y and Z: (pair
        of points of opener and overcaller in W and V, column).
        """
        points = self._points
        added: dict[int, list[Floats]] = {}
        for held, by_third in opened.items():
            if held.lengths not in side.asks:
                continue
            asked = held.asked(side)
            for level in np.flatnonzero(asked.any(axis=1)).tolist():
                if level not in added:
                    added[level] = [
                        np.zeros((len(points.first), counts.shape[2])) for counts in by_third
                    ]
                window = self._window(asked[level])
                for total, counts in zip(added[level], by_third, strict=True):
                    windowed = window[:, : counts.shape[1]] @ counts
                    total += windowed[points.first, points.second]
        return added

    def _unbid_tables(self, openers: list[Pair], overcallers: list[Pair]) -> list[Floats]:
        """Tables of W and V, added up over overcaller's lengths.

        By responder's cards in both: (pair of points of opener and overcaller, responder's points,
        opener's lengths, responder's length in the lower suit).
        """
        points = self._points
        result = [
            np.zeros((len(points.first), points.most + 1, len(openers), cards + 1))
            for cards in range(self._pack.hand_cards + 1)
        ]
        for number, opener in enumerate(openers):
            tables = [
                self._unbid.table(opener, over)
                for over in overcallers
                if max(np.add(opener, over)) <= self._pack.suit_cards
            ]
            if tables:
                grid = _overlaid(tables)
                for cards, table in enumerate(result):
                    lower = np.arange(cards + 1)
                    place = (
                        np.minimum(lower, grid.shape[1] - 1),
                        np.minimum(cards - lower, grid.shape[2] - 1),
                    )
                    table[points.pair, points.third, number] = grid[:, *place]
        return result

    def _join(self, unbid: list[Floats], bid: dict[int, list[Floats]], joined: Joined) -> None:
        """Multiply the two pairs of suits over the points of opener and overcaller in W and V."""
        points = self._points
        for third, (columns, into) in enumerate(zip(self._filing.columns, joined, strict=True)):
            counts = np.hstack([by_third[third] for by_third in bid.values()])
            filled = np.flatnonzero(counts.any(axis=0))
            if not len(filled):
                continue
            number, column = np.divmod(filled, counts.shape[1] // len(bid))
            order = np.argsort(column, kind="stable")
            level, column = np.array(list(bid))[number[order]], column[order]
            # Pairs are in order of their sum: the first that is used leaves most room.
            first = int(counts.any(axis=1).argmax())
            room = points.most + 1 - int(points.first[first] + points.second[first])
            counts = counts[first:].take(filled[order], axis=1)
            bounds = np.searchsorted(column, columns.start)
            for cards, total in enumerate(into):
                here = slice(*bounds[cards : cards + 2])
                if here.start == here.stop:
                    continue
                start, stop = columns.start[cards : cards + 2]
                table = unbid[-1 - cards]
                lengths = table.shape[2] * table.shape[3]
                added = np.empty((here.stop - here.start, room * lengths))
                rows = counts[:, here].T
                step = max(1, min(_BAND, SMALL_PRODUCT // (rows.size * lengths)))
                for low in range(0, room, step):
                    # With so many points of responder's, only the leading pairs have room.
                    pairs = points.part[low].stop - points.part[low].start
                    band = table[first:pairs, low : min(low + step, room)]
                    place = slice(low * lengths, (low + band.shape[1]) * lengths)
                    flat = band.reshape(len(band), -1)
                    np.matmul(rows[:, : len(band)], flat, out=added[:, place])
                filed = level[here] * (stop - start) + column[here] - start
                total[filed, :room] += added.reshape(-1, room, *table.shape[2:])


def _overlaid(tables: list[Floats]) -> Floats:
    """The sum of tables (m, cells, n) as (cells, most of m + 1, most of n + 1).

    The last row and column are zeros, and stand for all lengths beyond.
    """
    rows, cells, columns = np.max([table.shape for table in tables], axis=0)
    total = np.zeros((cells, rows + 1, columns + 1))
    for table in tables:
        total[:, : len(table), : table.shape[2]] += table.transpose(1, 0, 2)
    return total
