"""The table of exact probabilities: ``exact.csv``."""

from __future__ import annotations

from functools import lru_cache

import pandas as pd

from analysis.agreement import Agreement
from analysis.bidding.overcall import OVERCALL
from analysis.counts import ACTION, CALL, ONE_BIDS, OPENING, pairs
from analysis.exact.cache import kept
from analysis.exact.overcall import funnel, up_to_overcall

ANY = "any"
"""The ``call`` of a row that stands for the overcall as a whole, whatever the responder does."""

PROBABILITY = "probability"


def exact_table(agreement: Agreement) -> pd.DataFrame:
    """Exact probabilities for an opening in first seat, per deal, unconditional.

    Columns ``opening``, ``overcall``, ``call``, ``probability`` (float64, at least eleven correct
    digits); one row with the call :data:`ANY` for each of the 42 pairs, in their order, also where
    it is 0. Worked out once for an agreement and kept on disk. Do not change the table in place.
    """
    return _overcalls(up_to_overcall(agreement))


def next_hands_table(agreement: Agreement) -> pd.DataFrame:
    """Exact probabilities of the next hand's calls over an opening of one of a suit in first seat.

    Columns ``opening``, ``action`` (a name in ``OVERCALL.names``), ``probability`` (per deal,
    unconditional); an opening's rows sum to the probability of the opening. Kept like
    :func:`exact_table`.
    """
    return _next_hands(up_to_overcall(agreement))


@lru_cache(maxsize=64)
def _overcalls(agreement: Agreement) -> pd.DataFrame:
    def compute() -> pd.DataFrame:
        table = pd.DataFrame(pairs.labels, columns=pairs.columns)
        table[CALL] = ANY
        table[PROBABILITY] = funnel(agreement).pairs
        return table

    return kept("overcalls", agreement, compute)


@lru_cache(maxsize=64)
def _next_hands(agreement: Agreement) -> pd.DataFrame:
    def compute() -> pd.DataFrame:
        rows = [(opening, action) for opening in ONE_BIDS for action in OVERCALL.names]
        table = pd.DataFrame(rows, columns=[OPENING, ACTION])
        table[PROBABILITY] = funnel(agreement).calls.ravel()
        return table

    return kept("next-hands", agreement, compute)
