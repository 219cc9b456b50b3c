"""The table of exact probabilities: ``exact.csv``."""

from __future__ import annotations

from functools import lru_cache

import pandas as pd

from analysis.agreement import Agreement
from analysis.counts import CALL, pairs
from analysis.exact.cache import kept
from analysis.exact.overcall import funnel

ANY = "any"
"""The ``call`` of a row that stands for the overcall as a whole, whatever the responder does."""

PROBABILITY = "probability"


@lru_cache(maxsize=64)
def exact_table(agreement: Agreement) -> pd.DataFrame:
    """Exact probabilities for an opening in first seat, per deal, unconditional.

    Columns ``opening``, ``overcall``, ``call``, ``probability`` (float64, at least eleven correct
    digits); one row with the call :data:`ANY` for each of the 42 pairs, in their order, also where
    it is 0. Worked out once for an agreement and kept on disk. Do not change the table in place.
    """
    return kept("exact", agreement, lambda: _overcalls(agreement))


def _overcalls(agreement: Agreement) -> pd.DataFrame:
    table = pd.DataFrame(pairs.labels, columns=pairs.columns)
    table[CALL] = ANY
    table[PROBABILITY] = funnel(agreement).pairs
    return table
