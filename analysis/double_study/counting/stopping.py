"""How long to count: until a frequency is known well enough.

A run looks at its counts at fixed points only, a quarter farther on each time: after
:data:`FIRST_LOOK` blocks, 25, 31, 38 and so on. It stops at the first look at which the half-width
of the frequency's 95% interval is no more than the figure asked for.

What looking does to the result: stopping depends on the half-width, not on whether the estimate is
welcome, so its interval keeps its coverage as the figure asked for gets small ([1]_). What is left
is a shift of the estimate that goes with its hits, the deals that meet the share's last condition.
Where precision is relative, a count that happens to be high stops a run earlier, so the share comes
out too high: about (P / 1.96)^2 of it for a relative half-width P, that is 1/40,000 for P = 1%. Where
it is absolute, a count that happens to be low has the narrower interval and stops a run earlier, so
the share comes out too low: by a tenth of it where a run stops at some ten hits, by 6% at twenty, 2%
at fifty, less than 1% from a hundred on. Its interval, far wider than that, still covers 95% and more;
:mod:`tests.counting.test_stopping` compares both with 20,000 simulated runs.

References
----------
.. [1] Y. S. Chow and H. Robbins, "On the asymptotic theory of fixed-width sequential confidence
       intervals for the mean", Annals of Mathematical Statistics 36 (1965) 457-462.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

import numpy as np

from double_study.counting.counts import COUNTS
from double_study.counting.tally import Count, Tally
from double_study.errors import InputError
from double_study.stats import wilson

FIRST_LOOK = 20
"""Blocks before the first look."""

DOUBLE_PER_OVERCALL = "calls:call=double"
"""How often the responder doubles an overcall of a suit."""


def looks(counted: int, most: int) -> Iterator[int]:
    """The numbers of blocks to look at, from ``counted`` on; the last is ``most``."""
    look = FIRST_LOOK
    while look < most:
        if look >= counted:
            yield look
        look += look // 4
    yield most


@dataclass(frozen=True)
class WatchedShare:
    """A cell of a table as a share of a wider cell.

    ``conditions`` are each a column and a label. Counted are the deals that meet them all, of
    those that meet all but the last.
    """

    table: Count
    conditions: tuple[tuple[str, str], ...]

    @classmethod
    def parse(cls, text: str) -> WatchedShare:
        """Read ``calls:opening=1C,overcall=1S,call=double``; raises :class:`InputError`."""
        name, _, conditions = text.partition(":")
        tables = {count.name: count for count in COUNTS}
        if name not in tables:
            raise InputError(f"cell {text}: no table {name!r}; allowed: {', '.join(tables)}")
        met: list[tuple[str, str]] = []
        for condition in conditions.split(","):
            column, _, label = condition.partition("=")
            labels = _labels(tables[name])
            if column not in labels:
                raise InputError(
                    f"cell {text}: no column {column!r} in {name}; allowed: {', '.join(labels)}"
                )
            if label not in labels[column]:
                raise InputError(
                    f"cell {text}: no {label!r} among the {column} of {name}; "
                    f"allowed: {', '.join(labels[column])}"
                )
            if column in dict(met):
                raise InputError(f"cell {text}: {column} twice; allowed: each column once")
            met.append((column, label))
        return cls(tables[name], tuple(met))

    def counts(self, tally: Tally) -> tuple[int, int]:
        """Deals that meet all conditions, and those that meet all but the last."""
        table = tally[self.table.name]
        kept = [np.ones(axis.size, dtype=np.bool_) for axis in self.table.axes]
        of = 0
        for column, label in self.conditions:
            of = int(table[np.ix_(*kept)].sum())
            for axis, positions in zip(self.table.axes, kept, strict=True):
                if column in axis.columns:
                    positions &= np.array([str(name) == label for name in axis.along(column)])
        return int(table[np.ix_(*kept)].sum()), of

    def estimate(self, tally: Tally) -> float:
        """The share; 0 where there is nothing to judge by."""
        met, of = self.counts(tally)
        return met / of if of else 0.0

    def half_width(self, tally: Tally) -> float:
        """Half the width of its 95% interval (Wilson's)."""
        low, high = wilson(*self.counts(tally))
        return float(high - low) / 2

    def __str__(self) -> str:
        *given, (column, label) = self.conditions
        condition = "".join(f", {c} {v}" for c, v in given)
        return f"{self.table.name}: share with {column} {label}{condition}"


def _labels(table: Count) -> dict[str, list[str]]:
    """What each column of a table may say."""
    return {
        column: list(dict.fromkeys(map(str, axis.along(column))))
        for axis in table.axes
        for column in axis.columns
    }


@dataclass(frozen=True)
class Precision:
    """Count until the half-width of a share's 95% interval is ``half_width`` or less.

    The figure is relative to the share unless ``absolute``.
    """

    share: WatchedShare
    half_width: float
    absolute: bool = False

    def width(self, tally: Tally) -> float:
        """What is compared with the figure; infinite where the share is 0 and it is relative."""
        half, share = self.share.half_width(tally), self.share.estimate(tally)
        if self.absolute:
            return half
        return half / share if share else inf

    def reached(self, tally: Tally) -> bool:
        """Whether the share is known so well."""
        return self.width(tally) <= self.half_width

    def line(self, tally: Tally) -> str:
        """One line on what was reached and on the effect of looking."""
        kind = "absolute" if self.absolute else "relative"
        reached = "reached" if self.reached(tally) else "not reached within the deals allowed"
        return (
            f"{self.share}: {self.share.estimate(tally):.6f}, half-width of the 95% interval "
            f"{self.share.half_width(tally):.2g} ({kind} {self.width(tally):.3g}; "
            f"{self.half_width:g} {reached}); looked at fixed points only, each a quarter farther "
            "on, which shifts the share by far less than the half-width"
        )
