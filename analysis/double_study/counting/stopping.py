"""Decide when to stop counting, because every share of a table is precise enough.

A run examines its counts at fixed points only, each a quarter later than the one before: after
:data:`FIRST_LOOK` blocks, 25, 31, 38 and so on. It stops at the first look at which half the 95%
interval of each share is no more than the requested part of that share.

Stopping depends on the half-width of the interval and not on the estimate, so the interval keeps its
coverage as the requested width gets small ([1]_). A small bias remains: a count that happens to be high
stops a run earlier, so a share comes out too high, by about
(P / 1.96)^2 of it for the relative half-width P, that is 1/40,000 for P = 1%;
:mod:`tests.counting.test_run` compares this with 20,000 simulated runs.

References
----------
.. [1] Y. S. Chow and H. Robbins, "On the asymptotic theory of fixed-width sequential confidence
       intervals for the mean", Annals of Mathematical Statistics 36 (1965) 457-462.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from double_study.counting.tally import Tally
from double_study.stats import wilson

FIRST_LOOK = 20


def looks(counted: int, most: int) -> Iterator[int]:
    """Yield the numbers of blocks after which to examine the counts, from ``counted`` to ``most``."""
    look = FIRST_LOOK
    while look < most:
        if look >= counted:
            yield look
        look += look // 4
    yield most


@dataclass(frozen=True)
class Precision:
    """Count until half the 95% interval of each share is a ``part`` of the share or less.

    ``table`` is a table of the tally whose first axis has the deals that do not meet a condition, and
    those that do. Shares of 0 are left out, because none could ever be precise.
    """

    table: str
    part: float

    def reached(self, tally: Tally) -> bool:
        """Return whether the precision is reached, which requires at least one deal that meets it."""
        counts = tally[self.table].reshape(2, -1)
        counts = counts[:, counts[1] > 0]
        met, of = counts[1], counts.sum(axis=0)
        low, high = wilson(met, of)
        return len(met) > 0 and bool(((high - low) / 2 <= self.part * met / of).all())
