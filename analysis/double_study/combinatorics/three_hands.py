"""Exact counts of the responder's hand after the opener and the overcaller have bid.

The opener bids one of a suit Y, the next hand overcalls in Z; W and V are the unbid suits. For every
class of the responder's hand (shape, HCP, flags in Z) this module counts the deals in which the auction
began in this way. The rules come as plain arrays, so any agreement can be counted.

Method
------
The rules depend on whole shapes and total HCP, so the holdings in W and V interact with those in Y and
Z only through sums of lengths and of HCP.

1. The suits are joined two by two (:class:`UnbidSuits`, :class:`BidSuits`). The classes of layouts of
   either suit's top cards (:class:`~double_study.combinatorics.suits.Classes`) are joined by a sparse
   matrix, which says how the HCP of three hands in two suits, a *cell*, come about; a multiplication
   by the ways to deal the small cards then gives the ways by length.
2. Everything about Y and Z except the responder's holding is added up (:class:`BidSuitsSummed`), for
   each pair of HCP of opener and overcaller in W and V. HCP in Y and Z become HCP in W and V through
   a *window*, the matrix of which of the former the rules allow with which of the latter.
3. A matrix product over those pairs of HCP joins W and V (:class:`ThreeHands`).

All suits of a pack are alike. The condition of the rules on a hand's HCP, by its lengths in Y and Z, is
the same for many lengths in W and V, for several pairs of suits bid and for several levels. Each such
:class:`Demand` is counted once (:func:`tasks_of`), and the result is added wherever it applies.

Cost
----
The time is proportional to the number of different demands, some 30 on the opener under the
reference agreement and some 50 on the overcaller for each of those, and to the lengths in W and V
for which each is made. Rules that distinguish more lengths add demands, as do openings or overcalls
on shorter suits; limits of HCP that move do not, and the responder's rules play no part. In all this
takes half a minute on one processor of 2025, and 0.6 GB in each process. Agreements counted together
share the demands that they have in common.

Precision
---------
All terms are products and sums of non-negative numbers; nothing is subtracted. So the relative error
is at most about 2**-53 for each operation in a row: sums over classes of layouts (two of some 150
terms), over lengths of opener and of overcaller (14 or fewer at a time), over HCP (21, 21, 231) and
over joins for the same hand of the responder (some thousands). That is well below 10,000 operations,
or 1e-12: twelve digits at the very worst for one class of hands. Rounding errors partly cancel, and
the tests, against integers, find fifteen. A count of zero is exactly zero.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property, lru_cache, partial
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from double_study.cards.hands import HOLDING_HCP, SUIT_CARDS, BoolArray
from double_study.combinatorics import suits as one_suit
from double_study.combinatorics.hands import OVERCALLER_IN_Y, OVERCALLER_IN_Z, RESPONDER_IN_Z
from double_study.combinatorics.suits import Classes, Floats, Ints
from double_study.workers import pool_of_single_threads, run_tasks

HANDS = 3
N_SUITS = 4
_OVERCALLER_MARKS = one_suit.n_marks(OVERCALLER_IN_Z), one_suit.n_marks(OVERCALLER_IN_Y)

Lengths = tuple[int, int]
"""A hand's lengths in Y and Z, or in W and V."""


@dataclass(frozen=True)
class Pack:
    """A pack of the highest ``suit_cards`` of each suit, from which three hands get ``hand_cards``.

    The fourth hand gets the rest. ``hand_cards`` is at most ``suit_cards``. ``good_minimum``: number
    of top cards in a good suit.
    """

    good_minimum: int = 2
    suit_cards: int = SUIT_CARDS
    hand_cards: int = SUIT_CARDS

    @cached_property
    def cards(self) -> int:
        return one_suit.WHOLE_SUIT ^ (one_suit.WHOLE_SUIT >> self.suit_cards)

    @cached_property
    def shapes(self) -> Ints:
        """The shapes of a hand, lexicographic; int64 of shape (shapes, 4)."""
        lengths = product(range(self.hand_cards + 1), repeat=N_SUITS)
        return np.array([shape for shape in lengths if sum(shape) == self.hand_cards])

    @cached_property
    def most_hcp(self) -> int:
        highest = np.array(
            [one_suit.WHOLE_SUIT ^ (one_suit.WHOLE_SUIT >> n) for n in range(self.suit_cards + 1)]
        )
        return int(HOLDING_HCP[highest][self.shapes].sum(axis=1).max())

    @cached_property
    def pair_hcp(self) -> int:
        return 2 * int(HOLDING_HCP[self.cards])

    @property
    def responder_classes(self) -> tuple[int, int, int]:
        """The number of shapes, of HCP and of marks in Z."""
        return len(self.shapes), self.most_hcp + 1, one_suit.n_marks(RESPONDER_IN_Z)


@dataclass(frozen=True, eq=False)
class PairRules:
    """The rules for one opening 1Y and the overcalls in one suit Z, as arrays.

    ``opened``, ``overcalled``: Y and Z, suit indices. ``opens``: hands that open 1Y; bool (shapes,
    HCP). ``overcalls``: for each level, hands that overcall there; bool (shapes, HCP, ...), with
    the flags of :func:`~double_study.combinatorics.hands.overcaller_hands`. ``groups``: for each
    level, the group of the responder's hand, 0 or more, or -1 for hands to leave out; integers
    (shapes, HCP, ...), with the flags of
    :func:`~double_study.combinatorics.hands.responder_hands`. The opener's lengths in W and V are
    counted for each group; levels for which they are not wanted are left out.
    """

    opened: int
    overcalled: int
    opens: BoolArray
    overcalls: Mapping[int, BoolArray]
    groups: Mapping[int, NDArray[np.integer]] = field(default_factory=dict)

    @property
    def suits(self) -> tuple[int, int, int, int]:
        lower, higher = (s for s in range(N_SUITS) if s not in (self.opened, self.overcalled))
        return lower, higher, self.opened, self.overcalled


@dataclass(frozen=True, eq=False)
class ResponderWays:
    """Numbers of deals by the responder's holding.

    ``ways[level]``: by shape, HCP and flags in Z, float64. ``fits[level]``: by group of the
    responder's hand and by opener's lengths in W and V, float64 (groups, suit_cards + 1,
    suit_cards + 1); for the levels that have ``groups``.
    """

    ways: dict[int, Floats]
    fits: dict[int, Floats]


def responder_ways(
    pack: Pack,
    pairs: Sequence[PairRules],
    workers: int = 1,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> list[ResponderWays]:
    """Count pairs of an opening and a suit overcalled, each at all its levels.

    The pairs share their common parts, so counting all together takes far less time than one after
    the other. ``workers`` is the number of processes, of one thread each; 1 means this process.
    ``progress`` is called with the number of parts done and of all parts. The result is the same to
    the last bit for any number of workers, because the parts are added in order.
    """
    tasks = tasks_of(pack, pairs)
    totals = [_Total(pack, rules) for rules in pairs]
    for done, counted in enumerate(_in_order(pack, tasks, workers)):
        for wanted, deals in zip(tasks[done].wanted, counted, strict=True):
            for pair, level in wanted.uses:
                totals[pair].add(level, wanted.openers, deals)
        progress(done + 1, len(tasks))
    return [total.result() for total in totals]


def _in_order(pack: Pack, tasks: Sequence[Task], workers: int) -> Iterator[list[Floats]]:
    waiting: dict[int, list[Floats]] = {}
    following = 0
    work = partial(_numbered_counts, pack)
    with pool_of_single_threads(min(workers, len(tasks))) as executor:
        for (number, _), counted in run_tasks(work, enumerate(tasks), executor, workers):
            waiting[number] = counted
            while following in waiting:
                yield waiting.pop(following)
                following += 1


def _numbered_counts(pack: Pack, task: tuple[int, Task]) -> list[Floats]:
    return three_hands(pack).counts(task[1])


class _Total:
    """The running counts of one pair; shapes in the order of :meth:`ResponderHoldings.by_class`."""

    def __init__(self, pack: Pack, rules: PairRules) -> None:
        by_role = pack.shapes[:, rules.suits]
        self._place = _shape_numbers(pack)[tuple(by_role.T)]
        self._ways = {level: np.zeros(pack.responder_classes) for level in sorted(rules.overcalls)}
        self._groups: dict[int, Ints] = {}
        self._fits: dict[int, Floats] = {}
        for level, groups in rules.groups.items():
            of_class = np.empty(pack.responder_classes, dtype=np.int64)
            of_class[self._place] = groups.reshape(pack.responder_classes)
            self._groups[level] = of_class.ravel() + 1
            self._fits[level] = np.zeros((int(groups.max()) + 1, *(pack.suit_cards + 1,) * 2))

    def add(self, level: int, openers: Sequence[Lengths], deals: Floats) -> None:
        """Add deals by the responder's class, for some of the opener's lengths in W and V.

        With groups, there is one pair of lengths.
        """
        self._ways[level] += deals
        if level in self._groups:
            fits, (opener,) = self._fits[level], openers
            by_group = np.bincount(self._groups[level], deals.ravel(), len(fits) + 1)
            fits[:, *opener] += by_group[1:]

    def result(self) -> ResponderWays:
        ways = {level: of[self._place] for level, of in self._ways.items()}
        flags = one_suit.values(RESPONDER_IN_Z)
        by_flags = {level: of.reshape(*of.shape[:2], *flags) for level, of in ways.items()}
        return ResponderWays(by_flags, self._fits)


def _shape_numbers(pack: Pack) -> Ints:
    """Return the position of each shape in ``pack.shapes``, by its four lengths."""
    numbers = np.full((pack.suit_cards + 1,) * N_SUITS, -1, dtype=np.int64)
    numbers[tuple(pack.shapes.T)] = np.arange(len(pack.shapes))
    return numbers


# The demands of the rules, each counted once.


@dataclass(frozen=True, eq=False)
class Demand:
    """The rules' condition on the HCP of a hand with ``cards`` cards in Y and Z.

    ``hcp``: by lengths in Y and Z, the HCP allowed, bool with HCP on the last axis; the overcaller's
    begin with its marks in Z and Y. Lengths that are not listed are not allowed.
    """

    cards: int
    hcp: dict[Lengths, BoolArray]


@dataclass(frozen=True, eq=False)
class Wanted:
    """Deals to count together, and the pairs of suits (by number) and levels to add them to.

    ``openers``: the opener's lengths in W and V. ``overcallers``: all of the overcaller's, by their
    demand.
    """

    openers: tuple[Lengths, ...]
    overcallers: dict[Demand, tuple[Lengths, ...]]
    uses: list[tuple[int, int]] = field(default_factory=list)


@dataclass(frozen=True, eq=False)
class Task:
    """One demand on the opener, and the counts to make under it."""

    opener: Demand
    wanted: list[Wanted]

    @property
    def joins(self) -> int:
        return sum(len(wanted.openers) * len(wanted.overcallers) for wanted in self.wanted)


def tasks_of(pack: Pack, pairs: Sequence[PairRules]) -> list[Task]:
    """Return the tasks that all pairs of suits need, each once, the largest first.

    For levels that have groups, the opener's lengths in W and V are counted separately.
    """
    openers: dict[object, Demand] = {}
    overcallers: dict[object, Demand] = {}
    by_opener: dict[Demand, dict[object, Wanted]] = {}
    for number, rules in enumerate(pairs):
        opens = _demands(pack, rules, rules.opens, openers)
        for level, allowed in rules.overcalls.items():
            by_mark = allowed.reshape(*rules.opens.shape, *_OVERCALLER_MARKS)
            over = _demands(pack, rules, np.moveaxis(by_mark, 1, -1), overcallers)
            for opener, lengths in opens.items():
                of_opener = by_opener.setdefault(opener, {})
                apart = [(one,) for one in lengths] if level in rules.groups else [lengths]
                for together in apart:
                    wanted = of_opener.setdefault(
                        (together, tuple(over.items())), Wanted(together, over)
                    )
                    wanted.uses.append((number, level))
    tasks = [Task(opener, [*wanted.values()]) for opener, wanted in by_opener.items()]
    return sorted(tasks, key=lambda task: task.joins, reverse=True)


def _demands(
    pack: Pack, rules: PairRules, allowed: BoolArray, known: dict[object, Demand]
) -> dict[Demand, tuple[Lengths, ...]]:
    """Return each demand of a hand's rules, with the lengths in W and V where it is made.

    ``allowed``: shapes first, HCP last. ``known`` has the demands met before, and gets the new ones.
    """
    beyond = 2 * pack.pair_hcp + 1 - allowed.shape[-1]
    allowed = np.pad(allowed, [(0, 0)] * (allowed.ndim - 1) + [(0, beyond)])
    hcp: dict[Lengths, dict[Lengths, BoolArray]] = {}
    for shape, of_shape in zip(pack.shapes[:, rules.suits].tolist(), allowed, strict=True):
        if of_shape.any():
            hcp.setdefault((shape[0], shape[1]), {})[shape[2], shape[3]] = of_shape
    demands: dict[Demand, tuple[Lengths, ...]] = {}
    for unbid, of_bid in hcp.items():
        cards = pack.hand_cards - sum(unbid)
        key = cards, frozenset((bid, of.tobytes()) for bid, of in of_bid.items())
        demand = known.setdefault(key, Demand(cards, of_bid))
        demands[demand] = (*demands.get(demand, ()), unbid)
    return demands


# Two suits joined over three hands.

_BAND_STARTS = 0, 3, 7, 12
"""Where bands of the responder's HCP begin: few bands make large matrix products, many waste less on
pairs of HCP that leave no room."""


class Cells:
    """The HCP of three hands in two suits that have ``most`` HCP between them.

    ``first``, ``second``: pairs of HCP of opener and overcaller in order of their sum, so that the
    pairs that leave room for the responder's HCP are the leading ones; each of shape (pairs,).
    ``bands``: ranges of the responder's HCP, slices.
    """

    def __init__(self, most: int) -> None:
        self.most = most
        pairs = np.argwhere(np.add.outer(*[np.arange(most + 1)] * 2) <= most)
        self.first, self.second = pairs[np.argsort(pairs.sum(axis=1), kind="stable")].T
        ends = [*(start for start in _BAND_STARTS if start <= most), most + 1]
        self.bands = [slice(*band) for band in pairwise(ends)]

    def pairs(self, third: int) -> int:
        return (self.most + 1 - third) * (self.most + 2 - third) // 2

    def by_third(self) -> tuple[Ints, list[int]]:
        """Order cells by the HCP of the third hand, then of the second, then of the first.

        Returns the position of each by HCP of the three hands, and where each number of the third
        hand's begins, with the end of all.
        """
        hcp = np.arange(self.most + 1)
        cells = np.argwhere(np.add.outer(hcp, np.add.outer(hcp, hcp)) <= self.most)
        position = np.full((self.most + 1,) * HANDS, -1, dtype=np.int64)
        position[tuple(cells.T[::-1])] = np.arange(len(cells))
        return position, np.searchsorted(cells[:, 0], np.arange(self.most + 2)).tolist()

    def by_band(self) -> tuple[Ints, list[int]]:
        """Order cells by band, then by the third hand's HCP, then by pair.

        Returns the same as :meth:`by_third`, with the starts of the bands. Every number of HCP in a
        band has the pairs that the lowest leaves room for; some of them are never reached.
        """
        position = np.full((self.most + 1,) * HANDS, -1, dtype=np.int64)
        starts = [0]
        for band in self.bands:
            pairs = self.pairs(band.start)
            for third in range(band.start, band.stop):
                here = slice(self.pairs(third))
                place = starts[-1] + (third - band.start) * pairs
                position[self.first[here], self.second[here], third] = place + np.arange(here.stop)
            starts.append(starts[-1] + (band.stop - band.start) * pairs)
        return position, starts


class _Joined:
    """The joint HCP of two suits, for each pair of classes of layouts.

    The matrix is sparse because a pair of classes reaches only a few cells.
    """

    def __init__(self, one: Classes, other: Classes, cell: Ints, cells: int) -> None:
        a, b = one.spread[:, np.newaxis], other.spread[np.newaxis]
        reached = cell[tuple(a[..., hand] + b[..., hand] for hand in range(1, HANDS + 1))]
        rows = a[..., 0] * cells + reached
        columns = np.broadcast_to(b[..., 0], rows.shape)
        count = (a[..., -1] * b[..., -1]).astype(np.float64)
        self.one, self.other = one, other
        self._shape = len(one.held), cells
        self._matrix = csr_array(
            (count.ravel(), (rows.ravel(), columns.ravel())),
            shape=(len(one.held) * cells, len(other.held)),
        )

    def with_other(self, ways: Floats) -> Floats:
        """Multiply by the ways of the other suit, (n, its classes): (classes of one suit, cells, n)."""
        return np.asarray(self._matrix @ ways.T).reshape(*self._shape, -1)


_Unbids = tuple[Lengths, tuple[Lengths, ...]]
"""The opener's lengths in W and V, and all of the overcaller's."""
_Unbid = dict[int, tuple[range, list[Floats]]]
"""W and V by responder's cards in Y and Z: the responder's lengths in W, and by bands (HCP and length
of the responder, pair of HCP of opener and overcaller)."""


class UnbidSuits:
    """W and V; cells are by bands, as in :meth:`Cells.by_band`."""

    def __init__(self, pack: Pack, cells: Cells) -> None:
        self._pack, self._cells = pack, cells
        classes = one_suit.Layouts(HANDS, pack.cards).classes()
        cell, self._starts = cells.by_band()
        self._joined = _Joined(classes, classes, cell, self._starts[-1])
        self._with_higher = cache(self._higher_filled_in)

    def ways(self, opener: Lengths, overcallers: Sequence[Lengths]) -> _Unbid:
        """Count the ways, added up over the overcaller's lengths."""
        left = self._pack.suit_cards - np.add(opener, overcallers)
        # The responder can be as long as the shortest of the overcaller's lengths allows.
        lower, higher = np.maximum(left.max(axis=0), -1).tolist()
        total = np.zeros((higher + 1, lower + 1, self._starts[-1]))
        for over, rest in zip(overcallers, left.tolist(), strict=True):
            if min(rest) >= 0:
                ways = self._joined.one.ways(opener[0], over[0], rest[0])
                filled = self._with_higher(opener[1], over[1])
                total[: len(filled), : len(ways)] += ways @ filled
        result: _Unbid = {}
        for cards in range(self._pack.hand_cards + 1):
            rest = self._pack.hand_cards - cards
            if own := range(max(0, rest - higher), min(rest, lower) + 1):
                here = total[rest - np.array(own), own]
                bands = []
                for band, place in zip(self._cells.bands, pairwise(self._starts), strict=True):
                    pairs = self._cells.pairs(band.start)
                    of_band = here[:, slice(*place)].reshape(len(own), -1, pairs)
                    bands.append(of_band.swapaxes(0, 1).reshape(-1, pairs))
                result[cards] = own, bands
        return result

    def _higher_filled_in(self, opener: int, over: int) -> Floats:
        """Multiply by the ways to deal V: (responder's length, classes of W, cells)."""
        ways = self._joined.other.ways(opener, over, self._pack.suit_cards - opener - over)
        return np.ascontiguousarray(np.moveaxis(self._joined.with_other(ways), -1, 0))


class BidSuits:
    """Y and Z; cells are as in :meth:`Cells.by_third`.

    ``kinds``: rows (length, mark) of the holdings that the responder may have in Z, in order.
    """

    def __init__(self, pack: Pack, cells: Cells) -> None:
        self._most, self._pack = pack.suit_cards, pack
        self._cell, self.starts = cells.by_third()
        self.kinds = np.argwhere(
            one_suit.one_hand_ways(RESPONDER_IN_Z, pack.good_minimum, pack.cards).any(axis=1)
        )
        self._y = one_suit.Layouts(HANDS, pack.cards, OVERCALLER_IN_Y)
        self._z = one_suit.Layouts(HANDS, pack.cards, OVERCALLER_IN_Z + RESPONDER_IN_Z)
        # The rows of marks by length that the responder's top cards in Z may give.
        lengths = np.arange(self._most + 1)
        by_length = self._z.marks(2, RESPONDER_IN_Z, lengths, pack.good_minimum)
        self._mark_rows, label = np.unique(by_length, axis=0, return_inverse=True)
        self._label = label.reshape(-1)
        self._joins: dict[tuple[bytes, bytes], _Joined] = {}

    def table(
        self,
        openers: Sequence[Lengths],
        y_overcallers: Sequence[int],
        z_overcaller: int,
        z_mark: int,
        y_mark: int,
    ) -> tuple[Floats, list[int]]:
        """Count the ways by cell, kind of the responder's holding in Z, and *row*.

        Added up over the opener's lengths. A mark in Y depends on the overcaller's length there, so
        there is one such length unless it is :data:`ANY_MARK`. The rows are, for each of these lengths,
        the responder's lengths in Y; the second result is where they begin, with the end of all. One
        more row, of zeros, is for all other lengths.
        """
        y_least, z_least = np.min(openers, axis=0)
        counts = [max(self._most + 1 - y_least - over, 0) for over in y_overcallers]
        starts = np.cumsum([0, *counts]).tolist()
        joined = self._join(y_overcallers[0], z_overcaller, z_mark, y_mark)
        z_most = max(self._most - z_least - z_overcaller, 0)
        kinds = int(np.searchsorted(self.kinds[:, 0], z_most, side="right"))
        table = np.zeros((self.starts[-1], kinds, starts[-1] + 1))
        for y, z in openers:
            if z + z_overcaller > self._most:
                continue
            in_y = np.zeros((len(joined.one.held), starts[-1] + 1))
            for over, start in zip(y_overcallers, starts, strict=False):
                if y + over <= self._most:
                    ways = joined.one.ways(y, over, self._most - y - over)
                    in_y[:, start : start + len(ways)] = ways.T
            in_z = self._by_kind(joined.other, z, z_overcaller)
            together = joined.with_other(in_z).reshape(len(in_y), -1).T @ in_y
            table[:, : len(in_z)] += together.reshape(len(table), len(in_z), -1)
        return table, starts

    def _join(self, y_over: int, z_over: int, z_mark: int, y_mark: int) -> _Joined:
        """Join the layouts of Y and Z that give the overcaller these marks."""
        good_minimum = self._pack.good_minimum
        in_z = self._z.marks(1, OVERCALLER_IN_Z, z_over, good_minimum)[:, 0] == z_mark
        in_y = self._y.marks(1, OVERCALLER_IN_Y, y_over, good_minimum)[:, 0] == y_mark
        in_y |= y_mark == ANY_MARK
        key = in_y.tobytes(), in_z.tobytes()
        if key not in self._joins:
            y, z = self._y.classes(in_y), self._z.classes(in_z, self._label)
            self._joins[key] = _Joined(y, z, self._cell, self.starts[-1])
        return self._joins[key]

    def _by_kind(self, classes: Classes, opener: int, overcaller: int) -> Floats:
        """Count the ways to fill in Z; (kinds of responder's holding short enough, classes)."""
        ways = classes.ways(opener, overcaller, self._most - opener - overcaller)
        length, mark = self.kinds[self.kinds[:, 0] < len(ways)].T
        right = self._mark_rows[classes.label][:, length].T == mark[:, np.newaxis]
        return np.where(right, ways[length], 0.0)


# The responder's holding in Y and Z while the suits are being joined.


class ResponderHoldings:
    """The responder's holdings in Y and Z, *columns*, in order of their HCP, then cards.

    A column is a length in Y and a kind of holding in Z with some HCP between them. Few holdings
    have, say, no HCP; lists of those that do keep the matrices small.

    ``hcp``, ``y``, ``kind``, ``cards``: of each column; ``kind`` is a row of :attr:`BidSuits.kinds`,
    ``cards`` the number of cards in Y and Z together. ``start[hcp, cards]``: the first column with
    this number of HCP and at least this number of cards.
    """

    def __init__(self, pack: Pack, cells: Cells, kinds: Ints) -> None:
        self._pack, self._kinds = pack, kinds
        ways = one_suit.one_hand_ways(RESPONDER_IN_Z, pack.good_minimum, pack.cards)
        in_suit: BoolArray = np.asarray(ways > 0)
        in_y: BoolArray = np.asarray(in_suit.any(axis=2))
        in_z = in_suit[kinds[:, 0], :, kinds[:, 1]]
        possible = np.zeros((cells.most + 1, pack.suit_cards + 1, len(kinds)), dtype=np.bool_)
        for own in range(in_y.shape[1]):
            for other in range(min(in_y.shape[1], cells.most + 1 - own)):
                of_length = in_y[: pack.suit_cards + 1, own, np.newaxis]
                possible[own + other] |= of_length & in_z[:, other]
        hcp, y, kind = np.nonzero(possible)
        cards = y + kinds[kind, 0]
        order = np.lexsort((cards, hcp))
        order = order[cards[order] <= pack.hand_cards]
        self.hcp, self.y, self.kind, self.cards = hcp[order], y[order], kind[order], cards[order]
        span = pack.hand_cards + 2
        self.start = np.searchsorted(
            self.hcp * span + self.cards, np.arange((cells.most + 1) * span)
        ).reshape(-1, span)
        self._shapes = [
            (cells.most + 1, pack.hand_cards - cards + 1, int((self.cards == cards).sum()))
            for cards in range(pack.hand_cards + 1)
        ]
        self._class = np.concatenate(
            [self._classes(cards, cells.most).ravel() for cards in range(pack.hand_cards + 1)]
        )

    def places(self, cards: int) -> list[slice]:
        """Return, for each number of HCP, its columns' places among those with ``cards`` cards."""
        ends = np.cumsum(self.start[:, cards + 1] - self.start[:, cards]).tolist()
        return [slice(*place) for place in pairwise([0, *ends])]

    def empty(self) -> tuple[Floats, list[Floats]]:
        """Return zeros to add counts to, and views of them by number of cards in Y and Z.

        Each view is (HCP in W and V, length in W, column among those with this number of cards).
        """
        sizes = [int(np.prod(shape)) for shape in self._shapes]
        flat = np.zeros(sum(sizes))
        parts = np.split(flat, np.cumsum(sizes)[:-1])
        views = [part.reshape(shape) for part, shape in zip(parts, self._shapes, strict=True)]
        return flat, views

    def _classes(self, cards: int, most_unbid: int) -> Ints:
        """Return the class number of each count of a view; one past the last if there is no class."""
        pack, here = self._pack, self.cards == cards
        lower = np.arange(pack.hand_cards - cards + 1)[:, np.newaxis]
        z, mark = self._kinds[self.kind[here]].T
        shape = _shape_numbers(pack)[lower, lower[::-1], self.y[here], z]
        hcp = np.arange(most_unbid + 1)[:, np.newaxis, np.newaxis] + self.hcp[here]
        shapes, numbers, marks = pack.responder_classes
        number = (shape * numbers + hcp) * marks + mark
        return np.where(hcp < numbers, number, shapes * numbers * marks)

    def by_class(self, flat: Floats) -> Floats:
        """Return the counts by the responder's class.

        A shape's number is the place in ``pack.shapes`` of its lengths in W, V, Y and Z, in this
        order.
        """
        shape = self._pack.responder_classes
        size = int(np.prod(shape))
        by_class = np.bincount(self._class, flat, size + 1)[:size].reshape(shape)
        return by_class.astype(np.float64, copy=False)


Summed = dict[int, Floats]
"""By responder's cards in Y and Z: (pair of HCP of opener and overcaller in W and V, column)."""


ANY_MARK = -1
"""The overcaller's mark in Y if the rules treat all marks alike."""

_Held = tuple[int, int, Lengths]
"""What the overcaller may hold: its mark in Z, its mark in Y, its lengths in Y and Z."""


def _allowed(demand: Demand, held: _Held) -> BoolArray | None:
    """Return the HCP that a demand allows with a holding, None if there are none."""
    z_mark, y_mark, lengths = held
    if lengths in demand.hcp:
        # If the rules ignore marks in Y, the last mark stands for all.
        hcp: BoolArray = demand.hcp[lengths][z_mark, y_mark]
        if hcp.any():
            return hcp
    return None


def _held_together(overcallers: Iterable[Demand]) -> Iterator[tuple[int, int, int, list[int]]]:
    """Yield marks in Z and Y, a length in Z, and all the lengths in Y that share one table."""
    demanded: dict[Lengths, list[BoolArray]] = {}
    for over in overcallers:
        for lengths, allowed in over.hcp.items():
            demanded.setdefault(lengths, []).append(allowed)
    together: dict[tuple[int, int], list[int]] = {}
    for (y, z), demands in demanded.items():
        for z_mark, hcp in enumerate(np.stack(demands, axis=1)):
            if (hcp != hcp[:, :1]).any():
                for y_mark in np.flatnonzero(hcp.any(axis=(0, 2))).tolist():
                    yield z_mark, y_mark, z, [y]
            elif hcp.any():
                together.setdefault((z, z_mark), []).append(y)
    for (z, z_mark), in_y in together.items():
        yield z_mark, ANY_MARK, z, in_y


class BidSuitsSummed:
    """Y and Z added up over the holdings of opener and overcaller, for one demand on the opener."""

    def __init__(self, of: ThreeHands, opener: Demand, overcallers: Collection[Demand]) -> None:
        self._pack, self._cells, self._suits = of.pack, of.cells, of.bid
        self._holdings, self._cards = of.holdings, opener.cards
        together: dict[bytes, list[Lengths]] = {}
        for lengths, allowed in opener.hcp.items():
            together.setdefault(allowed.tobytes(), []).append(lengths)
        self._openers = [
            (self._window(opener.hcp[lengths[0]]), lengths) for lengths in together.values()
        ]
        # For each holding of the overcaller and each window of the opener: a table, its first row for
        # this holding, and the number of such rows.
        self._tables: dict[_Held, list[tuple[Floats, int, int]]] = {}
        for z_mark, y_mark, z, in_y in _held_together(overcallers):
            for _, alike in self._openers:
                table, starts = self._suits.table(alike, in_y, z, z_mark, y_mark)
                for y, (start, stop) in zip(in_y, pairwise(starts), strict=True):
                    of_held = self._tables.setdefault((z_mark, y_mark, (y, z)), [])
                    of_held.append((table, start, stop - start))

    def _window(self, allowed: BoolArray) -> Floats:
        """Return which HCP in W and V (rows) go with which in Y and Z, as 1.0 or 0.0."""
        hcp = np.arange(self._cells.most + 1)
        return allowed[np.add.outer(hcp, hcp)].astype(np.float64)

    def over(self, overcallers: Sequence[Demand]) -> dict[Demand, Summed]:
        """Add up for some demands on the overcaller, all with as many cards in Y and Z."""
        cells, columns, hand = self._cells, self._holdings, self._pack.hand_cards
        both, two_suits = self._cards + overcallers[0].cards, 2 * self._pack.suit_cards
        # The responder's cards in Y and Z: no more than are left there, the others in W and V.
        fewest, most = max(0, HANDS * hand - two_suits - both), min(hand, two_suits - both)
        places = {cards: columns.places(cards) for cards in range(fewest, most + 1)}
        summed: list[Summed] = [
            {cards: np.empty((len(cells.first), of[-1].stop)) for cards, of in places.items()}
            for _ in overcallers
        ]
        held = sorted(
            one for one in self._tables if any(_allowed(of, one) is not None for of in overcallers)
        )
        windows = [self._runs(held, of) for of in overcallers]
        pairs = cells.second * (cells.most + 1) + cells.first
        for third in range(cells.most + 1):
            starts = columns.start[third]
            here = slice(starts[fewest], starts[most + 1])
            if here.start == here.stop:
                continue
            counts = self._opened(held, third, here)
            for runs, into in zip(windows, summed, strict=True):
                total = self._overcalled(runs, counts).take(pairs, axis=0)
                for cards, of_cards in into.items():
                    part = slice(*(starts[cards : cards + 2] - here.start))
                    of_cards[:, places[cards][third]] = total[:, part]
        return dict(zip(overcallers, summed, strict=True))

    def _opened(self, held: Sequence[_Held], third: int, here: slice) -> Floats:
        """Add up over the opener's holdings, for one number of the responder's HCP in Y and Z.

        Returns the sums by what the overcaller holds, its HCP in Y and Z, the opener's in W and V, and
        the responder's column.
        """
        y, kind = self._holdings.y[here], self._holdings.kind[here]
        room, starts = self._cells.most + 1 - third, self._suits.starts
        cells = slice(*starts[third : third + 2])
        opened = np.empty((len(held), room, self._cells.most + 1, len(y)))
        for number, (window, _) in enumerate(self._openers):
            counts = np.empty((len(held), cells.stop - cells.start, len(y)))
            for into, one in zip(counts, held, strict=True):
                table, start, lengths = self._tables[one][number]
                kinds, rows = table.shape[1:]
                place = np.where((y < lengths) & (kind < kinds), kind * rows + start + y, rows - 1)
                table[cells].reshape(-1, kinds * rows).take(place, axis=1, out=into, mode="clip")
            stop = 0
            for over in range(room):
                start, stop = stop, stop + room - over
                into, own = opened[:, over], window[:, : room - over]
                if number == 0:
                    np.matmul(own, counts[:, start:stop], out=into)
                else:
                    into += own @ counts[:, start:stop]
        return opened

    def _runs(self, held: Sequence[_Held], demand: Demand) -> list[tuple[slice, Floats]]:
        """Return the overcaller's windows for a demand, run by run of neighbours among ``held``."""
        hcp = [_allowed(demand, one) for one in held]
        numbers = np.array([number for number, of in enumerate(hcp) if of is not None])
        runs = []
        for run in np.split(numbers, np.flatnonzero(np.diff(numbers) > 1) + 1):
            windows = [self._window(of) for of in hcp[run[0] : run[-1] + 1] if of is not None]
            runs.append((slice(run[0], run[-1] + 1), np.stack(windows, axis=1)))
        return runs

    def _overcalled(self, runs: Sequence[tuple[slice, Floats]], opened: Floats) -> Floats:
        """Add up over the overcaller's holdings: (HCP of both in W and V, opener's faster; column)."""
        size, room = self._cells.most + 1, opened.shape[1]
        total = np.zeros((size, size * opened.shape[3]))
        for run, windows in runs:
            window = windows[:, :, :room].reshape(size, -1)
            total += window @ opened[run].reshape(-1, total.shape[1])
        return total.reshape(size * size, -1)


# All four suits joined.


class ThreeHands:
    """The count of a pack, and the tables that all its tasks share."""

    def __init__(self, pack: Pack) -> None:
        self.pack, self.cells = pack, Cells(pack.pair_hcp)
        self.unbid, self.bid = UnbidSuits(pack, self.cells), BidSuits(pack, self.cells)
        self.holdings = ResponderHoldings(pack, self.cells, self.bid.kinds)

    def counts(self, task: Task) -> list[Floats]:
        """Count the deals of each item wanted by responder's class, as in
        :meth:`ResponderHoldings.by_class`.
        """
        totals = [self.holdings.empty() for _ in task.wanted]
        # What to join, and where to add it. What is joined for some lengths in W and V serves the
        # same lengths in V and W, since all suits are alike: the smaller stands for both.
        joins: dict[Demand, dict[_Unbids, list[tuple[list[Floats], bool]]]] = {}
        for wanted, (_, into) in zip(task.wanted, totals, strict=True):
            for opener, (over, overs) in product(wanted.openers, wanted.overcallers.items()):
                plain: _Unbids = opener, tuple(sorted(overs))
                swapped: _Unbids = opener[::-1], tuple(sorted((v, w) for w, v in overs))
                users = joins.setdefault(over, {}).setdefault(min(plain, swapped), [])
                users.append((into, swapped < plain))
        summed = BidSuitsSummed(self, task.opener, joins)
        for cards in sorted({over.cards for over in joins}):
            unbid = cache(self.unbid.ways)
            for over, sums in summed.over([of for of in joins if of.cards == cards]).items():
                for lengths, users in joins[over].items():
                    self._join(unbid(*lengths), sums, users)
        return [self.holdings.by_class(flat) for flat, _ in totals]

    def _join(self, unbid: _Unbid, bid: Summed, users: Sequence[tuple[list[Floats], bool]]) -> None:
        """Multiply the two pairs of suits over the HCP of opener and overcaller in W and V.

        The flag of a user says whether the responder's lengths in W and V are swapped for it.
        """
        for cards, counts in bid.items():
            if cards not in unbid or not counts.shape[1]:
                continue
            own, bands = unbid[cards]
            rest = self.pack.hand_cards - cards
            plain = slice(own.start, own.stop)
            swapped = slice(rest + 1 - own.stop, rest + 1 - own.start)
            for band, table in zip(self.cells.bands, bands, strict=True):
                joined = (table @ counts[: table.shape[1]]).reshape(-1, len(own), counts.shape[1])
                for into, swap in users:
                    if swap:
                        into[cards][band, swapped] += joined[:, ::-1]
                    else:
                        into[cards][band, plain] += joined


@lru_cache(maxsize=1)
def three_hands(pack: Pack) -> ThreeHands:
    """Return the count of a pack, the same object for all tasks of a process."""
    return ThreeHands(pack)
