"""Three hands, exactly: what the responder holds once opener and overcaller have bid.

Opener bids one of a suit Y, the next hand overcalls in Z. For every class of responder's hand
(shape, points, Z good, Z stopped) this module counts the deals in which the auction began so. The
rules come as plain arrays, so any agreement can be counted. The method, and why its floating-point
sums are good to twelve digits and more, stand in :mod:`analysis.exact.three_hands_join`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import Executor, as_completed
from dataclasses import dataclass, field

import numpy as np

from analysis.errors import InputError
from analysis.exact.suit_ways import SUITS, Bools, Floats, Ints, Pack
from analysis.exact.three_hands_join import PairJoin


@dataclass(frozen=True, eq=False)
class PairRules:
    """What the rules say of one opening 1Y and the overcalls in one suit Z.

    ``opened``, ``overcalled``: Y and Z, suit indices. ``opens``: hands that open 1Y; bool (shapes,
    max HCP + 1). ``overcalls``: for each level, hands that overcall there; bool (shapes, max HCP + 1,
    2, 2), by Z good and Y stopped. ``cells``: for each level, the cell of responder's hand, 0 or
    more, or -1 for hands to leave out; int (shapes, max HCP + 1, 2, 2), by Z good and Z stopped.
    :attr:`ResponderWays.fits` is by these cells; leave out levels where it is not wanted.
    """

    opened: int
    overcalled: int
    opens: Bools
    overcalls: Mapping[int, Bools]
    cells: Mapping[int, Ints] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class ResponderWays:
    """Deals (of all that the pack has) by what responder holds.

    ``ways[level]``: by shape, HCP, Z good and Z stopped; float64 (shapes, max HCP + 1, 2, 2).
    ``fits[level]``: by responder's cell and by opener's lengths in the lower and in the higher unbid
    suit; float64 (cells, suit_cards + 1, suit_cards + 1); for the levels that ``cells`` has.
    """

    ways: dict[int, Floats]
    fits: dict[int, Floats]


def responder_ways(pack: Pack, rules: PairRules) -> ResponderWays:
    """Count one pair of an opening and a suit overcalled, at all its levels.

    Raises InputError if the suits are not two different ones of 0 to 3, there is no level, an array
    has the wrong shape for the pack, or ``cells`` has a level that ``overcalls`` has not.
    """
    _check(pack, rules)
    levels = sorted(rules.overcalls)
    classes = len(pack.shapes), 2, 2, pack.max_hcp + 1
    ways = np.zeros((len(levels), *classes))
    # Class tables keep points last while they are filled: sums over points are contiguous.
    cells = {level: np.moveaxis(of, 1, -1).ravel() + 1 for level, of in rules.cells.items()}
    lengths = pack.suit_cards + 1, pack.suit_cards + 1
    fits = {level: np.zeros((int(of.max(initial=0)), *lengths)) for level, of in cells.items()}
    join = PairJoin(pack, (rules.opened, rules.overcalled), rules.opens, rules.overcalls)
    for unbid, deals in join.by_opener():
        ways += deals
        for level, of in cells.items():
            filed = np.bincount(of, deals[levels.index(level)].ravel(), len(fits[level]) + 1)
            fits[level][:, *unbid] += filed[1:]
    by_points = np.moveaxis(ways, -1, 2)
    return ResponderWays(dict(zip(levels, by_points, strict=True)), fits)


def responder_ways_of_pairs(
    pack: Pack,
    pairs: Iterable[PairRules],
    executor: Executor,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> list[ResponderWays]:
    """:func:`responder_ways` of each of ``pairs``, in order, by the workers of ``executor``.

    ``progress`` is called with the pairs done and their number after each.
    """
    tasks = [executor.submit(responder_ways, pack, rules) for rules in pairs]
    for done, task in enumerate(as_completed(tasks), start=1):
        task.result()  # a failure is raised at once, not after the other pairs
        progress(done, len(tasks))
    return [task.result() for task in tasks]


def _check(pack: Pack, rules: PairRules) -> None:
    bid = {rules.opened, rules.overcalled}
    if len(bid) != 2 or not bid <= set(range(SUITS)):
        raise InputError(
            f"opened and overcalled must be two different suits of 0 to 3, not {rules.opened} "
            f"and {rules.overcalled}"
        )
    if not rules.overcalls:
        raise InputError("overcalls must have at least one level")
    if not rules.cells.keys() <= rules.overcalls.keys():
        raise InputError(
            f"cells may be asked for at the levels overcalled, {sorted(rules.overcalls)}, "
            f"not at {sorted(rules.cells)}"
        )
    classes = len(pack.shapes), pack.max_hcp + 1
    shapes: list[tuple[str, tuple[int, ...], tuple[int, ...]]]
    shapes = [("opens", rules.opens.shape, classes)]
    for name, by_level in (("overcalls", rules.overcalls), ("cells", rules.cells)):
        shapes += [(name, array.shape, (*classes, 2, 2)) for array in by_level.values()]
    for name, shape, wanted in shapes:
        if shape != wanted:
            raise InputError(f"{name} must have shape {wanted}, not {shape}")
