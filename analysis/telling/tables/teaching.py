"""What to teach first: the cases of the double ranked, and those that are easily got wrong."""

from __future__ import annotations

import numpy as np
import pandas as pd

from analysis.checking.family import OF
from analysis.counting.auction_counts import REASON_COLUMN
from analysis.counting.run import Run
from analysis.counting.tally import DEALS
from analysis.lessons.look_alikes import PITFALLS
from analysis.statistics.intervals import wilson, with_intervals
from analysis.telling.tables.columns import (
    ALIKE,
    CUMULATED,
    CUMULATED_HIGH,
    CUMULATED_LOW,
    LEVEL,
    MESSAGE,
    PITFALL,
    RANK,
    RIGHT,
    RIGHT_HIGH,
    RIGHT_LOW,
)
from analysis.telling.tables.counted import doubles
from analysis.telling.tables.shares import shares, with_facts, with_sessions


def cases(run: Run) -> pd.DataFrame:
    """Doubles by message, level of the overcall and reason, the most frequent first.

    Columns ``rank``, ``message``, ``level``, ``reason``, ``deals``, ``of`` (all doubles), the share
    with its interval, the share of this case and those above it together (``cumulated``, with its
    interval), and how often one partnership meets it.
    """
    cells = with_facts(doubles(run), run.agreement, LEVEL)
    table = shares(cells, [MESSAGE, LEVEL, REASON_COLUMN])
    table = table.sort_values(DEALS, ascending=False, kind="stable", ignore_index=True)
    table.insert(0, RANK, np.arange(1, len(table) + 1))
    so_far = table[DEALS].cumsum()
    table[CUMULATED] = so_far / table[OF]
    table[CUMULATED_LOW], table[CUMULATED_HIGH] = wilson(so_far, table[OF])
    return with_sessions(table, run.tally.deals)


def pitfalls(run: Run) -> pd.DataFrame:
    """The cases that are easily got wrong, those that came up.

    Columns ``pitfall``, ``deals``, ``of`` (all doubles), the share with its interval, ``alike``
    (deals that look like it and call for something else), ``right`` (the case's share of both
    together, with its interval), and how often one partnership meets it. The cases overlap.
    """
    counted = [(case.name, case.deals(run), case.deals_alike(run)) for case in PITFALLS]
    table = pd.DataFrame(
        [row for row in counted if row[1] > 0], columns=[PITFALL, DEALS, ALIKE]
    ).astype({DEALS: np.int64, ALIKE: np.int64})
    table.insert(2, OF, doubles(run)[DEALS].sum())
    table = with_intervals(table, DEALS, OF)
    both = table[DEALS] + table[ALIKE]
    table[RIGHT] = table[DEALS] / both
    table[RIGHT_LOW], table[RIGHT_HIGH] = wilson(table[DEALS], both)
    return with_sessions(table, run.tally.deals)
