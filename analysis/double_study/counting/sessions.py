"""Compute how often one partnership meets a case in a session, and how many boards it must wait.

The study counts whichever side opens. Over a session each side deals, and so by symmetry opens,
equally often: one named partnership meets a case on half of its deals.
"""

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from double_study.columns import COLUMNS
from double_study.stats import Floats, trials_until_met, wilson

BOARDS_PER_SESSION = 24

_ONE_PARTNERSHIP = 0.5
"""The share of the cases met by either side that one partnership meets."""


def per_session(share: ArrayLike) -> Floats:
    return np.asarray(share, dtype=np.float64) * _ONE_PARTNERSHIP * BOARDS_PER_SESSION


def boards_until_met(share: ArrayLike) -> Floats:
    """Return the number of boards after which one partnership has met a case with 90% probability."""
    return trials_until_met(np.asarray(share, dtype=np.float64) * _ONE_PARTNERSHIP)


def with_sessions(table: pd.DataFrame, all_deals: int) -> pd.DataFrame:
    """Return ``table`` with how often one partnership meets each row's ``deals`` out of ``all_deals``."""
    low, high = wilson(table["deals"], all_deals)
    share = table["deals"].to_numpy() / all_deals
    # The rarer the case, the longer the wait, so the lowest share gives the wait's upper limit.
    for name, of, shares in (
        ("per_session", per_session, (share, low, high)),
        ("boards", boards_until_met, (share, high, low)),
    ):
        table = table.assign(**dict(zip(COLUMNS[name].columns, map(of, shares), strict=True)))
    return table
