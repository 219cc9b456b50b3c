"""The suits bid, Y and Z, added up over what opener and overcaller may hold in them.

A holding in Y and Z is allowed if its points together with those in the unbid suits, W and V, are.
So the sums are for each pair of points of opener and overcaller in W and V: the points in Y and Z
become points in W and V by multiplication with a *window*, that says which of the former go with
which of the latter.

Responder's hand while the suits are being joined, and how the joined counts are filed.

Responder's holding in the two suits bid, Y and Z, is a *column*: a length in Y and a kind of holding
in Z. There is a list of columns for each number of points that the holding may have. (Few holdings
have, say, no points; lists of those that do keep the matrices small.)

What the rules ask of opener and overcaller, taken apart for the count over three hands.

Y and Z are the suits bid, W and V the unbid. What is asked of the points of a hand, by its lengths
in Y and Z, is one thing for many lengths in W and V, for several pairs of suits bid and for several
levels. All suits of a pack are alike, so each such thing is counted once.

The count behind :mod:`double_study.combinatorics.three_hands`: four suits joined over three hands.

Method
------
Y and Z are the suits bid, W and V the unbid. The rules ask for whole shapes and whole points, so
the holdings in W and V and those in Y and Z meet only through sums. What is asked of a hand's
points, by its lengths in Y and Z, is one thing for many lengths in W and V, and for many pairs of
suits bid: each such thing is taken once (:mod:`double_study.combinatorics.three_hands`). For one thing asked of opener
and one asked of overcaller, everything about Y and Z except what responder holds is added up first,
for each pair of points of theirs in W and V (:mod:`double_study.combinatorics.three_hands`). A matrix
product over those pairs of points then joins W and V.

What it takes
-------------
The time goes with the number of different things asked: of opener (some 30 in the reference
agreement, all pairs of suits together), of overcaller beside each (some 45, the levels told apart),
and with the lengths in W and V for which each is asked. Rules that tell more lengths apart add to
them, as do openings or overcalls on shorter suits; points that move do not. Responder's rules play
no part. Half a minute of one processor in all, on a machine of 2025, and 0.6 GB a process.
Agreements that differ in openings or overcalls share what they ask alike, if counted together.

Precision
---------
All terms are products and sums of non-negative numbers; nothing is subtracted. A result therefore
has a relative error of at most about 2**-53 for each operation that it has gone through in a row:
sums over classes of layouts (two of some 150 terms a pair of suits), over lengths of opener and of
overcaller (14 or fewer at a time), over points (21, 21, 231) and over joins of the same hand of
responder's (some thousands). That is well below 10,000 in a row, or 1e-12: twelve digits at the very
worst for a class of responder's hands; for the sum over classes see
:func:`double_study.combinatorics.responses.responses`. Rounding errors partly cancel, and the tests, against
integers, find fifteen. A count of zero is exactly zero.

Three hands, exactly: what the responder holds once opener and overcaller have bid.

Opener bids one of a suit Y, the next hand overcalls in Z. For every class of responder's hand
(shape, points, Z good, Z stopped) this module counts the deals in which the auction began so. The
rules come as plain arrays, so any agreement can be counted. The method, and why its floating-point
sums are good to twelve digits and more, stand in :mod:`double_study.combinatorics.three_hands`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property, partial
from itertools import pairwise, product
from typing import NamedTuple

import numpy as np

from double_study.combinatorics.suits import (
    SUITS,
    BidSuits,
    Bools,
    Floats,
    Ints,
    Kinds,
    Pack,
    Pair,
    Points,
    UnbidSuits,
)
from double_study.errors import InputError
from double_study.workers import mapped, pool_of_single_threads

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


Joined = dict[int, Floats]
"""Counts by responder's cards in Y and Z. Each is (points in the unbid suits, length in the lower of
them, holding in Y and Z): see :attr:`ResponderFiling.lower`, :attr:`ResponderFiling.places`.
"""


class Columns(NamedTuple):
    """The columns with some number of points, in order of the cards in Y and Z together.

    ``y``: length in Y. ``kind``: which of the kinds of holding in Z. ``start[n]``: the first column
    of n cards or more, for n up to one more than a hand has.
    """

    y: Ints
    kind: Ints
    start: list[int]


class ResponderFiling:
    """The columns of a pack, ``columns[points]``, and the way back to classes of hands.

    ``lower[cards]``: responder's lengths in the lower unbid suit with so many cards in Y and Z.
    ``places[cards][points]``: where the columns of so many cards and points stand among all those
    of so many cards, a slice.
    """

    def __init__(self, pack: Pack, points: Points) -> None:
        self._pack, self._points = pack, points
        self._kinds = Kinds(pack)
        self._shape_number = np.full((pack.suit_cards + 1,) * SUITS, -1, dtype=np.int64)
        self._shape_number[tuple(pack.shapes.T)] = np.arange(len(pack.shapes))
        self.columns = [self._columns(total) for total in range(points.most + 1)]
        self.lower: list[range] = []
        self.places: list[list[slice]] = []
        for cards in range(pack.hand_cards + 1):
            unbid = pack.hand_cards - cards
            self.lower.append(
                range(max(0, unbid - pack.suit_cards), min(unbid, pack.suit_cards) + 1)
            )
            sizes = [columns.start[cards + 1] - columns.start[cards] for columns in self.columns]
            ends = np.cumsum(sizes).tolist()
            self.places.append(
                [slice(end - size, end) for end, size in zip(ends, sizes, strict=True)]
            )

    def _columns(self, total: int) -> Columns:
        in_y, in_z = self._kinds.points_of_length, self._kinds.points
        most = in_y.shape[1] - 1
        own = np.arange(max(0, total - most), min(total, most) + 1)
        y, kind = np.nonzero((in_y[:, np.newaxis, own] & in_z[:, total - own]).any(axis=-1))
        cards = y + self._kinds.lengths[kind]
        order = np.argsort(cards, kind="stable")
        start = np.searchsorted(cards[order], np.arange(self._pack.hand_cards + 2))
        return Columns(y[order], kind[order], start.tolist())

    def nothing_joined(self) -> Joined:
        """Zeros to add joins to."""
        return {
            cards: np.zeros((self._points.most + 1, len(lower), places[-1].stop))
            for cards, (lower, places) in enumerate(zip(self.lower, self.places, strict=True))
            if lower
        }

    def filed(self, joined: Joined) -> Floats:
        """The counts by responder's shape, Z good, Z stopped and HCP.

        A shape's number is its place in ``pack.shapes`` as the lengths in the lower and the higher
        unbid suit, Y and Z, in this order.
        """
        pack, kinds, most = self._pack, self._kinds, self._points.most
        result = np.zeros((2 * most + 1, len(pack.shapes), 2, 2))
        flat = result.reshape(2 * most + 1, -1)
        for cards, counts in joined.items():
            lower = np.array(self.lower[cards])[:, np.newaxis]
            higher = pack.hand_cards - cards - lower
            for points, (columns, place) in enumerate(
                zip(self.columns, self.places[cards], strict=True)
            ):
                here = slice(*columns.start[cards : cards + 2])
                y, kind = columns.y[here], columns.kind[here]
                shape = self._shape_number[lower, higher, y, kinds.lengths[kind]]
                filed = (4 * shape + 2 * kinds.good[kind] + kinds.stopped[kind]).ravel()
                flat[points : points + most + 1, filed] += counts[..., place].reshape(most + 1, -1)
        return np.moveaxis(result, 0, -1)[..., : pack.max_hcp + 1]


@dataclass(frozen=True, eq=False)
class PairRules:
    """What the rules say of one opening 1Y and the overcalls in one suit Z.

    ``opened``, ``overcalled``: Y and Z, suit indices. ``opens``: hands that open 1Y; bool (shapes,
    max HCP + 1). ``overcalls``: for each level, hands that overcall there; bool (shapes, max HCP + 1,
    2, 2), by Z good and Y stopped. ``cells``: for each level, the cell of responder's hand, 0 or
    more, or -1 for hands to leave out; int (shapes, max HCP + 1, 2, 2), by Z good and Z stopped.
    Opener's lengths are counted by these cells; leave out levels where they are not wanted.
    """

    opened: int
    overcalled: int
    opens: Bools
    overcalls: Mapping[int, Bools]
    cells: Mapping[int, Ints] = field(default_factory=dict)

    @property
    def suits(self) -> tuple[int, int, int, int]:
        """W (the lower), V, Y and Z."""
        lower, higher = (s for s in range(SUITS) if s not in (self.opened, self.overcalled))
        return lower, higher, self.opened, self.overcalled

    def check(self, pack: Pack) -> None:
        """Raise InputError, a line, unless the rules fit the pack and each other."""
        bid = {self.opened, self.overcalled}
        if len(bid) != 2 or not bid <= set(range(SUITS)):
            raise InputError(
                f"opened and overcalled must be two different suits of 0 to 3, not {self.opened} "
                f"and {self.overcalled}"
            )
        if not self.overcalls:
            raise InputError("overcalls must have at least one level")
        if not self.cells.keys() <= self.overcalls.keys():
            raise InputError(
                f"cells may be asked for at the levels overcalled, {sorted(self.overcalls)}, "
                f"not at {sorted(self.cells)}"
            )
        classes = len(pack.shapes), pack.max_hcp + 1
        shapes: list[tuple[str, tuple[int, ...], tuple[int, ...]]]
        shapes = [("opens", self.opens.shape, classes)]
        for name, by_level in (("overcalls", self.overcalls), ("cells", self.cells)):
            shapes += [(name, array.shape, (*classes, 2, 2)) for array in by_level.values()]
        for name, shape, wanted in shapes:
            if shape != wanted:
                raise InputError(f"{name} must have shape {wanted}, not {shape}")


@dataclass(frozen=True, eq=False)
class Asked:
    """What is asked of the points of a hand that has ``cards`` cards in Y and Z.

    ``points``: by lengths in Y and Z, the points allowed; for lengths left out, none. Bool, points
    on the last axis; overcaller's begin with Z good and Y stopped.
    """

    cards: int
    points: dict[Pair, Bools]

    @cached_property
    def key(self) -> tuple[int, frozenset[tuple[Pair, bytes]]]:
        """The same for the same thing asked."""
        return self.cards, frozenset((held, of.tobytes()) for held, of in self.points.items())


Lengths = tuple[Pair, ...]
"""A hand's lengths in W and V for which the same is asked."""
Overcallers = tuple[tuple[Asked, Lengths], ...]


@dataclass(frozen=True, eq=False)
class Wanted:
    """What is to be counted together: opener's lengths in W and V, and all of overcaller's that may be."""

    openers: Lengths
    overcallers: Overcallers


@dataclass(frozen=True, eq=False)
class Task:
    """One thing asked of opener, and what is to be counted where it is."""

    opener: Asked
    wanted: list[Wanted]

    @property
    def joins(self) -> int:
        """How often two pairs of suits must be joined: what the time goes with."""
        return sum(len(wanted.openers) * len(wanted.overcallers) for wanted in self.wanted)


Use = tuple[int, int]
"""A pair of suits, by its number, and a level."""


def tasks_of(pack: Pack, pairs: Sequence[PairRules]) -> list[tuple[Task, list[list[Use]]]]:
    """Everything that pairs of suits ask for, each thing once; the largest tasks first.

    With each task, what it is used for: a list for each of :attr:`Task.wanted`. Opener's lengths in
    W and V are counted apart where they are to be told apart, by ``cells``.
    """
    openers: dict[object, Asked] = {}
    overcallers: dict[object, Asked] = {}
    uses: dict[Asked, dict[tuple[Lengths, Overcallers], list[Use]]] = {}
    for number, rules in enumerate(pairs):
        opens = _by_unbid(pack, rules, rules.opens, openers)
        for level, allowed in rules.overcalls.items():
            over = _by_unbid(pack, rules, np.moveaxis(allowed, 1, -1), overcallers)
            for opener, lengths in opens.items():
                of_opener = uses.setdefault(opener, {})
                apart = [(one,) for one in lengths] if level in rules.cells else [lengths]
                for together in apart:
                    wanted = together, tuple(over.items())
                    of_opener.setdefault(wanted, []).append((number, level))
    tasks = [
        (Task(opener, [Wanted(*wanted) for wanted in of_opener]), list(of_opener.values()))
        for opener, of_opener in uses.items()
    ]
    return sorted(tasks, key=lambda task: task[0].joins, reverse=True)


def _by_unbid(
    pack: Pack, rules: PairRules, allowed: Bools, same: dict[object, Asked]
) -> dict[Asked, tuple[Pair, ...]]:
    """A hand's rules (shapes first, points last): each thing asked, with the lengths in W and V.

    ``same`` holds the things asked before by their keys, and takes in the new.
    """
    beyond = 4 * int(pack.hcp.max()) + 1 - allowed.shape[-1]
    allowed = np.pad(allowed, [(0, 0)] * (allowed.ndim - 1) + [(0, beyond)])
    points: dict[Pair, dict[Pair, Bools]] = {}
    for shape, of_shape in zip(pack.shapes[:, rules.suits].tolist(), allowed, strict=True):
        if of_shape.any():
            points.setdefault((shape[0], shape[1]), {})[shape[2], shape[3]] = of_shape
    found: dict[Asked, tuple[Pair, ...]] = {}
    for lengths, of_lengths in points.items():
        asked = Asked(pack.hand_cards - sum(lengths), of_lengths)
        asked = same.setdefault(asked.key, asked)
        found[asked] = (*found.get(asked, ()), lengths)
    return found


_Lengths = tuple[Pair, Lengths]
"""Opener's in W and V, and those of overcaller's that are taken together."""

_Unbid = dict[int, tuple[range, list[Floats]]]
"""W and V by responder's cards in Y and Z: responder's lengths in the lower suit, and by bands
(points and length of responder's, pair of points of opener and overcaller)."""


def counts(pack: Pack, task: Task) -> list[Floats]:
    """The deals by responder's hand, for each of ``task.wanted``; :meth:`ResponderFiling.filed`."""
    return _Join(pack).counts(task)


class _Join:
    def __init__(self, pack: Pack) -> None:
        self._pack = pack
        self._points = points = Points(2 * int(pack.hcp.max()))
        self._unbid, self._bid = UnbidSuits(pack, points), BidSuits(pack, points)
        self._filing = ResponderFiling(pack, points)

    def counts(self, task: Task) -> list[Floats]:
        joined = [self._filing.nothing_joined() for _ in task.wanted]
        # What to join, and where to add it. All suits are alike, so what is joined for some lengths
        # in W and V serves the same lengths in V and W: the smaller stands for both.
        joins: dict[Asked, dict[_Lengths, list[tuple[Joined, bool]]]] = {}
        for wanted, into in zip(task.wanted, joined, strict=True):
            for opener, (over, overs) in product(wanted.openers, wanted.overcallers):
                plain: _Lengths = opener, tuple(sorted(overs))
                swapped: _Lengths = opener[::-1], tuple(sorted((v, w) for w, v in overs))
                of_over = joins.setdefault(over, {})
                of_over.setdefault(min(plain, swapped), []).append((into, swapped < plain))
        summed = BidSuitsSummed(
            self._pack, self._points, self._bid, self._filing, task.opener, joins
        )
        for cards in sorted({over.cards for over in joins}):
            unbid = cache(self._unbid_parts)
            for over, sums in summed.over([over for over in joins if over.cards == cards]).items():
                for lengths, users in joins[over].items():
                    self._join(unbid(*lengths), sums, users)
        return [self._filing.filed(one) for one in joined]

    def _unbid_parts(self, opener: Pair, overcallers: Lengths) -> _Unbid:
        """W and V, added up over overcaller's lengths, as the join wants them."""
        points = self._points
        table = self._unbid.table(opener, overcallers)
        higher, lower = (lengths - 1 for lengths in table.shape[:2])
        parts: _Unbid = {}
        for cards in range(self._pack.hand_cards + 1):
            rest = self._pack.hand_cards - cards
            own = range(max(0, rest - higher), min(rest, lower) + 1)
            if own:
                here = table[rest - np.array(own), own]
                bands = zip(points.bands, pairwise(self._unbid.starts), strict=True)
                parts[cards] = (
                    own,
                    [
                        here[:, slice(*cells)]
                        .reshape(len(own), band.stop - band.start, -1)
                        .swapaxes(0, 1)
                        .reshape((band.stop - band.start) * len(own), -1)
                        for band, cells in bands
                    ],
                )
        return parts

    def _join(self, unbid: _Unbid, bid: Summed, users: list[tuple[Joined, bool]]) -> None:
        """Multiply the two pairs of suits over the points of opener and overcaller in W and V.

        Responder's lengths in W and V are swapped for those users that say so.
        """
        for cards, counts in bid.items():
            if cards not in unbid or not counts.shape[1]:
                continue
            own, bands = unbid[cards]
            rest, least = self._pack.hand_cards - cards, self._filing.lower[cards].start
            plain = slice(own.start - least, own.stop - least)
            swapped = slice(rest - own.stop + 1 - least, rest - own.start + 1 - least)
            for band, table in zip(self._points.bands, bands, strict=True):
                product = (table @ counts[: table.shape[1]]).reshape(-1, len(own), counts.shape[1])
                for into, swap in users:
                    if swap:
                        into[cards][band, swapped] += product[:, ::-1]
                    else:
                        into[cards][band, plain] += product


@dataclass(frozen=True, eq=False)
class ResponderWays:
    """Deals (of all that the pack has) by what responder holds.

    ``ways[level]``: by shape, HCP, Z good and Z stopped; float64 (shapes, max HCP + 1, 2, 2).
    ``fits[level]``: by responder's cell and by opener's lengths in the lower and in the higher unbid
    suit; float64 (cells, suit_cards + 1, suit_cards + 1); for the levels that ``cells`` has.
    """

    ways: dict[int, Floats]
    fits: dict[int, Floats]


def responder_ways_of_pairs(
    pack: Pack,
    pairs: Sequence[PairRules],
    workers: int = 1,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> list[ResponderWays]:
    """Count pairs of an opening and a suit overcalled, each at all its levels.

    They share what they have in common, so all together take far less than one after the other.
    ``progress`` is called with the parts done and their number after each.

    Raises InputError if a pair's suits are not two different ones of 0 to 3, there is no level, an
    array has the wrong shape for the pack, or ``cells`` has a level that ``overcalls`` has not.
    """
    for rules in pairs:
        rules.check(pack)
    tasks = tasks_of(pack, pairs)
    found = [_Found(pack, rules) for rules in pairs]
    for done, counted in enumerate(_in_order(pack, [task for task, _ in tasks], workers)):
        task, uses = tasks[done]
        for wanted, deals, of_wanted in zip(task.wanted, counted, uses, strict=True):
            for pair, level in of_wanted:
                found[pair].add(level, wanted.openers, deals)
        progress(done + 1, len(tasks))
    return [one.result() for one in found]


def _in_order(pack: Pack, tasks: Sequence[Task], workers: int) -> Iterator[list[Floats]]:
    """The counts of each task: in order, so that sums are the same to the last bit every time."""
    with pool_of_single_threads(min(workers, len(tasks))) as executor:
        waiting: dict[int, list[Floats]] = {}
        following = 0
        numbered = mapped(partial(_numbered, pack), enumerate(tasks), executor, workers)
        for (number, _), counted in numbered:
            waiting[number] = counted
            while following in waiting:
                yield waiting.pop(following)
                following += 1


def _numbered(pack: Pack, task: tuple[int, Task]) -> list[Floats]:
    return counts(pack, task[1])


class _Found:
    """What is counted of one pair; shapes in the order of :meth:`ResponderFiling.filed`."""

    def __init__(self, pack: Pack, rules: PairRules) -> None:
        number = {tuple(shape): i for i, shape in enumerate(pack.shapes.tolist())}
        by_role = pack.shapes[:, rules.suits].tolist()
        self._place = np.array([number[tuple(shape)] for shape in by_role])
        classes = len(pack.shapes), 2, 2, pack.max_hcp + 1
        self._ways = {level: np.zeros(classes) for level in sorted(rules.overcalls)}
        self._cells, self._fits = {}, {}
        lengths = pack.suit_cards + 1, pack.suit_cards + 1
        for level, cells in rules.cells.items():
            of_class = np.empty(classes, dtype=np.int64)
            of_class[self._place] = np.moveaxis(cells, 1, -1) + 1
            self._cells[level] = of_class.ravel()
            self._fits[level] = np.zeros((int(of_class.max()), *lengths))

    def add(self, level: int, openers: Lengths, counts: Floats) -> None:
        """Add deals by responder's hand, for some of opener's lengths in the unbid suits.

        Where there are cells, it is one of them.
        """
        self._ways[level] += counts
        if level in self._cells:
            fits, (opener,) = self._fits[level], openers
            filed = np.bincount(self._cells[level], counts.ravel(), len(fits) + 1)
            fits[:, *opener] += filed[1:]

    def result(self) -> ResponderWays:
        ways = {level: np.moveaxis(of[self._place], -1, 1) for level, of in self._ways.items()}
        return ResponderWays(ways, self._fits)
