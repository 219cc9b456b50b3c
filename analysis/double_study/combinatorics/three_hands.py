"""Exact counts of the responder's hand after the opener and the overcaller have bid.

The opener bids one of a suit Y, the next hand overcalls in Z; W and V are the unbid suits. For every
class of the responder's hand (shape, HCP, flags in Z) this module counts the deals in which the auction
began in this way. The rules come as plain arrays, so any agreement can be counted.

Method
------
The rules depend on whole shapes and total HCP, so the holdings in W and V interact with those in Y and
Z only through sums of lengths and of HCP.

1. The suits are joined two by two (:class:`UnbidSuits`, :class:`BidSuits`). A sparse matrix says how
   the HCP of three hands in two suits, a *cell*, come about from classes of layouts of either suit's
   top cards (:class:`~double_study.combinatorics.suits.Classes`). It is multiplied by the ways to
   deal the small cards, which are added up first over lengths of opener and overcaller.
2. Y and Z are added up over the HCP of opener and overcaller there (:class:`BidSuitsSummed`). HCP
   in Y and Z become HCP in W and V through a *window*, the matrix of which of the former the rules
   allow with which of the latter. Holdings with the same window are one.
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
takes half a minute on one processor of 2025, and 0.5 GB in each process. Agreements counted
together share the demands that they have in common.

Precision
---------
All terms are products and sums of non-negative numbers; nothing is subtracted. So the relative error
is at most about 2**-53 for each operation in a row: sums over lengths of opener and overcaller (200
or fewer), over pairs of classes of layouts (two of some 300 terms), over HCP (21 for each window,
twice, and 231) and over joins for the same hand of the responder (some thousands). That is well below
10,000 operations, or 1e-12: twelve digits at the very worst for one class of hands. Rounding errors
partly cancel, and the tests, against integers, find fifteen. A count of zero is exactly zero.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property, lru_cache, partial, reduce
from itertools import pairwise, product, starmap
from math import prod

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from double_study.cards.hands import HOLDING_HCP, SUIT_CARDS, BoolArray
from double_study.combinatorics import suits as one_suit
from double_study.combinatorics.hands import OVERCALLER_IN_Y, OVERCALLER_IN_Z, RESPONDER_IN_Z
from double_study.combinatorics.suits import Classes, Flags, Floats, Ints
from double_study.workers import pool_of_single_threads, run_tasks

HANDS = 3
N_SUITS = 4
_OVERCALLER_MARKS = one_suit.n_marks(OVERCALLER_IN_Z), one_suit.n_marks(OVERCALLER_IN_Y)

_BAND_STARTS = 0, 3, 7, 12
"""Where bands of the responder's HCP begin: few bands make large matrix products, many waste less on
HCP of three hands that are more than two suits have."""

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
    def highest(self) -> Ints:
        """The most HCP in a suit, by the number of cards."""
        lengths = range(self.suit_cards + 1)
        return HOLDING_HCP[[one_suit.WHOLE_SUIT ^ (one_suit.WHOLE_SUIT >> n) for n in lengths]]

    @cached_property
    def highest_of_two(self) -> list[int]:
        """The most HCP of one hand in two suits, by its number of cards there."""
        return [
            int((self.highest[: cards + 1] + self.highest[cards::-1]).max())
            for cards in range(self.hand_cards + 1)
        ]

    @cached_property
    def hcp_bands(self) -> list[list[range]]:
        """The HCP that a hand may have in two suits, in a few ranges, by its number of cards there."""
        ends = [*_BAND_STARTS, self.pair_hcp + 1]
        return [
            [range(start, min(stop, most + 1)) for start, stop in pairwise(ends) if start <= most]
            for most in self.highest_of_two
        ]

    @cached_property
    def most_hcp(self) -> int:
        return int(self.highest[self.shapes].sum(axis=1).max())

    @cached_property
    def pair_hcp(self) -> int:
        return 2 * int(self.highest[-1])

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
    # The fewer cards the opener has in Y and Z, the more are left there for the responder.
    return sorted(tasks, key=lambda task: task.opener.cards)


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

ANY_MARK = -1
"""The overcaller's mark in a suit if the rules treat all marks alike."""


class _Suit:
    """A suit over three hands, of which the rules ask some flags of overcaller and responder."""

    def __init__(self, pack: Pack, overcaller: Flags = (), responder: Flags = ()) -> None:
        self._pack, self._overcaller = pack, overcaller
        self._layouts = one_suit.Layouts(HANDS, pack.cards, overcaller + responder)
        # The rows of marks by length that the responder's top cards may give.
        lengths = np.arange(pack.suit_cards + 1)
        by_length = self._layouts.marks(2, responder, lengths, pack.good_minimum)
        self._mark_rows, label = np.unique(by_length, axis=0, return_inverse=True)
        self._label = label.reshape(-1)
        self._known: dict[bytes, Classes] = {}
        self.classes, self.ways = cache(self._classes), cache(self._ways)

    def _classes(self, over: int, mark: int = ANY_MARK, responder: int = 0) -> Classes:
        """Group the layouts that give the overcaller a mark, by its length, and may give the responder one.

        The same layouts are the same object.
        """
        marks = self._layouts.marks(1, self._overcaller, over, self._pack.good_minimum)[:, 0]
        some = (self._mark_rows == responder).any(axis=1)[self._label]
        some &= (marks == mark) | (mark == ANY_MARK)
        return self._known.setdefault(some.tobytes(), self._layouts.classes(some, self._label))

    def _ways(self, classes: Classes, opener: int, over: int, responder: int = 0) -> Floats:
        """Count the ways to deal the small cards to hands of some lengths, and a mark of the responder.

        Returns float64 of shape (suit_cards + 1, classes): by the responder's length, then class.
        """
        right = self._mark_rows[classes.label].T == responder
        return np.where(right, classes.ways(opener, over, self._pack.suit_cards), 0.0)


class _Joint:
    """The joint HCP of three hands in two suits, by pairs of classes of layouts.

    ``cell``: the number of each combination of HCP, -1 if it is not wanted. A pair of classes
    reaches only a few cells, so the matrix is sparse.
    """

    def __init__(self, one: Classes, other: Classes, cell: Ints) -> None:
        a, b = one.spread[:, np.newaxis], other.spread[np.newaxis]
        reached = cell[tuple(a[..., hand] + b[..., hand] for hand in range(1, HANDS + 1))]
        pair = a[..., 0] * len(other.held) + b[..., 0]
        layouts = (a[..., -1] * b[..., -1]).astype(np.float64)
        some = reached >= 0
        shape = int(cell.max()) + 1, len(one.held) * len(other.held)
        self._matrix = csr_array((layouts[some], (reached[some], pair[some])), shape)

    def ways(self, suits: Iterable[tuple[Floats, Floats]], one: Ints, other: Ints) -> Floats:
        """Count the ways by cell and by the responder's lengths ``one`` and ``other`` in the suits.

        ``suits``: the ways to deal the small cards of each suit, by the responder's length and class,
        for each of the other hands' lengths over which to add up.
        """
        in_one, in_other = map(np.array, zip(*suits, strict=True))
        in_one, in_other = in_one[:, : one.max() + 1], in_other[:, : other.max() + 1]
        pairs = in_one.reshape(len(in_one), -1).T @ in_other.reshape(len(in_other), -1)
        pairs = pairs.reshape(*in_one.shape[1:], *in_other.shape[1:]).transpose(1, 3, 0, 2)
        return np.asarray(self._matrix @ pairs[:, :, one, other].reshape(-1, len(one)))


_Unbids = tuple[Lengths, tuple[Lengths, ...]]
"""The opener's lengths in W and V, and all of the overcaller's."""
_Users = tuple[tuple[int, bool], ...]
"""Numbers of the items of a task, and whether the responder's lengths in W and V are swapped for each."""
_Unbid = dict[int, tuple[slice, list[Floats]]]
"""W and V by the responder's cards in Y and Z: its lengths in W, and for each of
:attr:`Pack.hcp_bands` a table by pair of HCP of opener and overcaller, and by the responder's length
and HCP."""


class UnbidSuits:
    """W and V, for an opener and an overcaller with at most some HCP there.

    ``first``, ``second``: their pairs of HCP in order of the sum, so that the pairs that leave room
    for the responder's HCP are the leading ones; each of shape (pairs,).
    """

    def __init__(self, pack: Pack, most_first: int, most_second: int) -> None:
        self._pack, most = pack, pack.pair_hcp
        sums = np.add.outer(np.arange(most_first + 1), np.arange(most_second + 1))
        order = np.argsort(sums, axis=None, kind="stable")[: (sums <= most).sum()]
        self.first, self.second = np.unravel_index(order, sums.shape)
        cell = np.full((most + 1,) * HANDS, -1, dtype=np.int64)
        self._places, stop = [], 0
        for band in pack.hcp_bands[pack.hand_cards]:
            # Each number of HCP in a band has the pairs for which the lowest leaves room; some are
            # never reached.
            pairs = int((sums <= most - band.start).sum())
            start, stop = stop, stop + pairs * len(band)
            here = self.first[:pairs, np.newaxis], self.second[:pairs, np.newaxis], np.array(band)
            cell[here] = np.arange(start, stop).reshape(pairs, -1)
            self._places.append((slice(start, stop), pairs))
        self._suit = _Suit(pack)
        self._classes = self._suit.classes(0)
        self._joint = _Joint(self._classes, self._classes, cell)

    def ways(self, opener: Lengths, overcallers: Sequence[Lengths]) -> _Unbid:
        """Count the ways, added up over the overcaller's lengths."""
        hand = self._pack.hand_cards
        # The responder can be as long as the shortest of the overcaller's lengths allows.
        room = self._pack.suit_cards - np.add(opener, np.min(overcallers, axis=0))
        lower, higher = room.tolist()
        own = [range(max(0, rest - higher), min(rest, lower) + 1) for rest in range(hand + 1)]
        rests = np.repeat(np.arange(hand + 1), [len(of) for of in own])
        if not len(rests):
            return {}
        in_lower = np.array([length for of in own for length in of])
        in_suit = partial(self._suit.ways, self._classes)
        suits = [(in_suit(opener[0], w), in_suit(opener[1], v)) for w, v in overcallers]
        total = self._joint.ways(suits, in_lower, rests - in_lower)
        result: _Unbid = {}
        for rest in np.unique(rests).tolist():
            here, tables = total[:, rests == rest], []
            for band, (place, pairs) in zip(self._pack.hcp_bands[rest], self._places, strict=False):
                of_band = here[place].reshape(pairs, -1, here.shape[1])[:, : len(band)]
                tables.append(of_band.swapaxes(1, 2).reshape(pairs, -1))
            result[hand - rest] = slice(own[rest].start, own[rest].stop), tables
        return result


_Held = tuple[int, int, Lengths]
"""What the overcaller may hold: its mark in Z, its mark in Y, its lengths in Y and Z."""


class BidSuits:
    """Y and Z.

    Cells, the HCP of three hands, are in order of the third's, then the second's, then the first's;
    ``starts``: where each number of the third's begins, with the end of all.
    """

    def __init__(self, pack: Pack) -> None:
        hcp = np.arange(pack.pair_hcp + 1)
        cells = np.argwhere(np.add.outer(hcp, np.add.outer(hcp, hcp)) <= pack.pair_hcp)
        cell = np.full((len(hcp),) * HANDS, -1, dtype=np.int64)
        cell[tuple(cells.T[::-1])] = np.arange(len(cells))
        self.starts = np.searchsorted(cells[:, 0], np.arange(len(hcp) + 1)).tolist()
        self._y = _Suit(pack, OVERCALLER_IN_Y)
        self._z = _Suit(pack, OVERCALLER_IN_Z, RESPONDER_IN_Z)
        self._most, self._joint = pack.suit_cards, cache(partial(_Joint, cell=cell))

    def ways(
        self, openers: Sequence[Lengths], overcallers: Sequence[_Held], y: Ints, z: Ints, mark: Ints
    ) -> tuple[Floats, Ints]:
        """Count the ways, added up over the opener's lengths in Y and Z and the overcaller's holdings.

        ``y``, ``z``, ``mark``: the responder's lengths in Y and Z and marks in Z. Returns the ways by
        cell and column, and the column of each of the responder's holdings. The last column, of zeros,
        is for all holdings that are too long.
        """
        over = np.min([lengths for _, _, lengths in overcallers], axis=0)
        most = self._most - np.min(openers, axis=0) - over
        room = (y <= most[0]) & (z <= most[1])
        order = np.lexsort((mark, ~room))
        columns = np.empty_like(order)
        columns[order] = np.minimum(np.arange(len(order)), room.sum())
        table = np.zeros((self.starts[-1], room.sum() + 1))
        for of_mark in np.unique(mark[room]).tolist():
            joints: dict[_Joint, list[tuple[Floats, Floats]]] = {}
            for z_mark, y_mark, (in_y, in_z) in overcallers:
                of_y = self._y.classes(in_y, y_mark)
                of_z = self._z.classes(in_z, z_mark, of_mark)
                joints.setdefault(self._joint(of_y, of_z), []).extend(
                    (self._y.ways(of_y, own, in_y), self._z.ways(of_z, other, in_z, of_mark))
                    for own, other in openers
                )
            here = np.flatnonzero(room & (mark == of_mark))
            into = table[:, columns[here[0]] : columns[here[-1]] + 1]
            for joint, suits in joints.items():
                into += joint.ways(suits, y[here], z[here])
        return table, columns


# The responder's holding in Y and Z while the suits are being joined.


class ResponderHoldings:
    """The responder's holdings in Y and Z, in order of their number of cards.

    A holding is a length in Y, at most ``y_most``, and a length in Z, at most ``z_most``, with a mark
    there. A *column* is a holding and a number of HCP that it may have; in order of holding.

    ``held``: lengths in Y and Z and mark of each holding, int64 of shape (3, holdings). ``column``: by
    holding and HCP, -1 if there is none. ``holdings``, ``columns``: where those with each number of
    cards begin, with the end of all.
    """

    def __init__(self, pack: Pack, y_most: int, z_most: int) -> None:
        self._pack = pack
        ways = one_suit.one_hand_ways(RESPONDER_IN_Z, pack.good_minimum, pack.cards)
        in_suit: BoolArray = np.asarray(ways > 0)
        y, z, mark = np.indices((y_most + 1, z_most + 1, in_suit.shape[2])).reshape(3, -1)
        in_y, in_z = np.asarray(in_suit.any(axis=2))[y], in_suit[z, :, mark]
        possible = np.zeros((len(y), 2 * in_y.shape[1] - 1), dtype=np.bool_)
        for hcp, here in enumerate(in_y.T):
            possible[:, hcp : hcp + in_z.shape[1]] |= here[:, np.newaxis] & in_z
        cards = y + z
        some = np.flatnonzero(possible.any(axis=1) & (cards <= pack.hand_cards))
        some = some[np.argsort(cards[some], kind="stable")]
        self.held, possible = np.stack([y, z, mark])[:, some], possible[some, : pack.pair_hcp + 1]
        self._holding, self._hcp = np.nonzero(possible)
        self.column = np.where(possible, np.cumsum(possible).reshape(possible.shape) - 1, -1)
        numbers = np.arange(pack.hand_cards + 2)
        self.holdings = np.searchsorted(cards[some], numbers).tolist()
        self.columns = np.searchsorted(cards[some][self._holding], numbers).tolist()
        self._class = np.concatenate([of.ravel() for views in self._classes() for of in views])

    def _classes(self) -> Iterator[list[Ints]]:
        """Yield the class number of each count of the views of :meth:`empty`."""
        of_shape, (_, numbers, marks) = _shape_numbers(self._pack), self._pack.responder_classes
        for cards, columns in enumerate(starmap(slice, pairwise(self.columns))):
            rest = self._pack.hand_cards - cards
            y, z, mark = self.held[:, self._holding[columns], np.newaxis, np.newaxis]
            lower = np.arange(rest + 1)[:, np.newaxis]
            shape, own = of_shape[lower, rest - lower, y, z], self._hcp[columns]
            yield [
                (shape * numbers + own[:, np.newaxis, np.newaxis] + band) * marks + mark
                for band in self._pack.hcp_bands[rest]
            ]

    def empty(self) -> tuple[Floats, list[list[Floats]]]:
        """Return zeros to add counts to, and views of them by cards in Y and Z, and by band of HCP.

        Each view is (column among those with this number of cards, length in W, HCP in W and V).
        """
        flat, stop = np.zeros(len(self._class)), 0
        views: list[list[Floats]] = []
        for cards, columns in enumerate(np.diff(self.columns).tolist()):
            rest = self._pack.hand_cards - cards
            views.append([])
            for band in self._pack.hcp_bands[rest]:
                start, stop = stop, stop + columns * (rest + 1) * len(band)
                views[-1].append(flat[start:stop].reshape(columns, rest + 1, len(band)))
        return flat, views

    def by_class(self, flat: Floats) -> Floats:
        """Return the counts by the responder's class.

        A shape's number is the place in ``pack.shapes`` of its lengths in W, V, Y and Z, in this
        order.
        """
        shape = self._pack.responder_classes
        by_class = np.bincount(self._class, flat, prod(shape)).reshape(shape)
        return by_class.astype(np.float64, copy=False)


Summed = dict[int, Floats]
"""By responder's cards in Y and Z: (column, pair of HCP of opener and overcaller in W and V)."""


def _windows(allowed: BoolArray) -> Floats:
    """Return which HCP in Y and Z go with which in W and V, the last two axes, as 1.0 or 0.0."""
    hcp = np.arange(allowed.shape[-1] // 2 + 1)
    return allowed[..., np.add.outer(hcp, hcp)].astype(np.float64)


class BidSuitsSummed:
    """Y and Z added up over the holdings of opener and overcaller.

    ``opener``: a demand; ``overcallers``: demands with as many cards as each other in Y and Z, and so
    in W and V. ``unbid``: W and V for hands with these numbers of cards.
    """

    def __init__(
        self,
        of: ThreeHands,
        holdings: ResponderHoldings,
        opener: Demand,
        overcallers: Sequence[Demand],
    ) -> None:
        pack, cards = of.pack, (opener.cards, overcallers[0].cards)
        self._overcallers, self._starts, self._holdings = overcallers, of.bid.starts, holdings
        self.unbid = of.unbid(*(pack.highest_of_two[pack.hand_cards - each] for each in cards))
        # The responder's cards in Y and Z: no more than are left there, the others in W and V.
        hand, left = pack.hand_cards, 2 * pack.suit_cards - sum(cards)
        fewest = HANDS * hand - 4 * pack.suit_cards + left
        self._cards = range(max(0, fewest), min(hand, left) + 1)
        here = slice(holdings.holdings[self._cards.start], holdings.holdings[self._cards.stop])
        self._column = holdings.column[here]
        # Holdings of which the rules allow the same HCP are added up.
        opens: dict[bytes, list[Lengths]] = {}
        for lengths, hcp in opener.hcp.items():
            opens.setdefault(hcp.tobytes(), []).append(lengths)
        held = _alike(overcallers)
        self._opens = _windows(_allowed(opens)).swapaxes(0, 1)
        allowed = _allowed(held, len(overcallers)).swapaxes(0, 1)
        self._overcalls = _windows(allowed)
        self._runs = [_runs(np.flatnonzero(of.any(axis=1))) for of in allowed]
        self._tables = [
            [of.bid.ways(own, over, *holdings.held[:, here]) for own in opens.values()]
            for over in held.values()
        ]

    def over(self) -> dict[Demand, Summed]:
        """Return the sums for each demand on the overcaller."""
        begins = self._holdings.columns[self._cards.start : self._cards.stop + 1]
        first, second = self.unbid.first, self.unbid.second
        widths = int(first.max()) + 1, int(second.max()) + 1
        pairs = np.ravel_multi_index((first, second), widths)
        summed = [np.empty((begins[-1] - begins[0], len(pairs))) for _ in self._overcallers]
        for third, cells in enumerate(starmap(slice, pairwise(self._starts))):
            some = np.flatnonzero(self._column[:, third] >= 0)
            if not len(some):
                continue
            opened = self._opened(cells, some, widths[0])
            rows = self._column[some, third] - begins[0]
            for into, runs, windows in zip(summed, self._runs, self._overcalls, strict=True):
                parts = [
                    opened[run].reshape(-1, len(some) * widths[0]).T
                    @ windows[run, : opened.shape[1], : widths[1]].reshape(-1, widths[1])
                    for run in runs
                ]
                into[rows] = reduce(np.add, parts).reshape(len(some), -1).take(pairs, axis=1)
        return {
            demand: {
                cards: of[start - begins[0] : stop - begins[0]]
                for cards, (start, stop) in zip(self._cards, pairwise(begins), strict=True)
            }
            for demand, of in zip(self._overcallers, summed, strict=True)
        }

    def _opened(self, cells: slice, some: Ints, width: int) -> Floats:
        """Add up over the opener's holdings, for ``some`` of the responder's, with the HCP of ``cells``.

        Returns the sums by what the overcaller holds, its HCP in Y and Z, the responder's holding,
        and the opener's HCP in W and V.
        """
        counts = np.array(
            [[table[cells].take(place[some], axis=1) for table, place in of] for of in self._tables]
        ).swapaxes(1, 2)
        room = len(self._starts) - self._starts.index(cells.stop)
        opened = np.empty((len(counts), room, len(some), width))
        stop = 0
        for over in range(room):
            start, stop = stop, stop + room - over
            of_over = counts[:, start:stop].reshape(len(counts), -1, len(some)).swapaxes(1, 2)
            window = self._opens[: room - over, :, :width].reshape(-1, width)
            np.matmul(of_over, window, out=opened[:, over])
        return opened


def _alike(overcallers: Sequence[Demand]) -> dict[bytes, list[_Held]]:
    """Return what overcallers may hold by the HCP that each demand allows with it."""
    held: dict[bytes, list[_Held]] = {}
    none = np.zeros_like(next(iter(overcallers[0].hcp.values())))
    for lengths in dict.fromkeys(lengths for over in overcallers for lengths in over.hcp):
        demanded = np.array([over.hcp.get(lengths, none) for over in overcallers])
        for z_mark, hcp in enumerate(demanded.swapaxes(0, 1)):
            # If the rules ignore marks in Y, the last mark stands for all.
            ignored = (hcp == hcp[:, :1]).all()
            for y_mark in [ANY_MARK] if ignored else range(hcp.shape[1]):
                if hcp[:, y_mark].any():
                    alike = held.setdefault(hcp[:, y_mark].tobytes(), [])
                    alike.append((z_mark, y_mark, lengths))
    return dict(sorted(held.items()))


def _allowed(alike: Iterable[bytes], *demands: int) -> BoolArray:
    """Return the HCP allowed to each group of :func:`_alike`, for each of some demands."""
    hcp = np.array([np.frombuffer(of, dtype=np.bool_) for of in alike])
    return hcp.reshape(len(hcp), *demands, -1)


def _runs(numbers: Ints) -> list[slice]:
    """Return runs of neighbours among some numbers in order."""
    runs = np.split(numbers, np.flatnonzero(np.diff(numbers) > 1) + 1)
    return [slice(run[0], run[-1] + 1) for run in runs]


# All four suits joined.


class ThreeHands:
    """The count of a pack, and the tables that all its tasks share."""

    def __init__(self, pack: Pack) -> None:
        self.pack, self.bid = pack, BidSuits(pack)
        self.unbid = cache(partial(UnbidSuits, pack))
        self._swapped = _shape_numbers(pack)[tuple(pack.shapes[:, [1, 0, 2, 3]].T)]

    def counts(self, task: Task) -> list[Floats]:
        """Count the deals of each item wanted by responder's class, as in
        :meth:`ResponderHoldings.by_class`.
        """
        # What to join, and where to add it. What is joined for some lengths in W and V serves the
        # same lengths in V and W, since all suits are alike: the smaller stands for both.
        joins: dict[Demand, dict[_Unbids, list[tuple[int, bool]]]] = {}
        for number, wanted in enumerate(task.wanted):
            for opener, (over, overs) in product(wanted.openers, wanted.overcallers.items()):
                plain: _Unbids = opener, tuple(sorted(overs))
                swapped: _Unbids = opener[::-1], tuple(sorted((v, w) for w, v in overs))
                users = joins.setdefault(over, {}).setdefault(min(plain, swapped), [])
                users.append((number, swapped < plain))
        by_cards: dict[int, list[Demand]] = {}
        for over in joins:
            by_cards.setdefault(over.cards, []).append(over)
        least = np.min([*task.opener.hcp], axis=0)
        least += np.min([lengths for over in joins for lengths in over.hcp], axis=0)
        holdings = ResponderHoldings(self.pack, *(self.pack.suit_cards - least).tolist())
        # What the same items want is added up once.
        totals: defaultdict[_Users, tuple[Floats, list[list[Floats]]]]
        totals = defaultdict(holdings.empty)
        for overcallers in by_cards.values():
            bid = BidSuitsSummed(self, holdings, task.opener, overcallers)
            unbid = cache(bid.unbid.ways)
            for over, sums in bid.over().items():
                for lengths, users in joins[over].items():
                    _, views = totals[tuple(users)]
                    _join(unbid(*lengths), sums, views)
        counted = [np.zeros(self.pack.responder_classes) for _ in task.wanted]
        for same, (flat, _) in totals.items():
            by_class = holdings.by_class(flat)
            for number, swap in same:
                counted[number] += by_class[self._swapped] if swap else by_class
        return counted


def _join(unbid: _Unbid, bid: Summed, into: Sequence[Sequence[Floats]]) -> None:
    """Multiply the two pairs of suits over the HCP of opener and overcaller in W and V."""
    for cards, counts in bid.items():
        if cards in unbid:
            lengths, tables = unbid[cards]
            for total, table in zip(into[cards], tables, strict=True):
                here = total[:, lengths]
                here += (counts[:, : len(table)] @ table).reshape(here.shape)


@lru_cache(maxsize=1)
def three_hands(pack: Pack) -> ThreeHands:
    """Return the count of a pack, the same object for all tasks of a process."""
    return ThreeHands(pack)
