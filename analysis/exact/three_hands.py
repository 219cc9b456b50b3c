"""Three hands, exactly: what the responder holds once opener and overcaller have bid.

Opener bids one of a suit Y, the next hand overcalls in Z. For every class of responder's hand
(shape, points, Z good, Z stopped) this module counts the deals in which the auction began so. The
rules come as plain arrays, so any agreement can be counted. The method, and why its floating-point
sums are good to twelve digits and more, stand in :mod:`analysis.exact.three_hands_join`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from analysis.exact.pair_rules import Lengths, PairRules, Task, tasks_of
from analysis.exact.suit_ways import Floats, Pack
from analysis.exact.three_hands_join import counts
from analysis.runtime.workers import Stop, mapped, pool_of_single_threads


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
        numbered = mapped(partial(_numbered, pack), enumerate(tasks), executor, workers, Stop())
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
