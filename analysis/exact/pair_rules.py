"""What the rules ask of opener and overcaller, taken apart for the count over three hands.

Y and Z are the suits bid, W and V the unbid. What is asked of the points of a hand, by its lengths
in Y and Z, is one thing for many lengths in W and V, for several pairs of suits bid and for several
levels. All suits of a pack are alike, so each such thing is counted once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from analysis.errors import InputError
from analysis.exact.suit_pairs import Pair
from analysis.exact.suit_ways import SUITS, Bools, Ints, Pack


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
