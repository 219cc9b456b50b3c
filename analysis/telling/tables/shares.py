"""What tables have in common: facts about each auction, shares of a total, sessions, averages."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import MESSAGES, all_pairs
from analysis.bidding.double import double_needs
from analysis.bidding.rules import cheapest_level
from analysis.cards.bids import BOARDS_PER_SESSION
from analysis.checking.family import OF
from analysis.counting.auction_counts import pairs
from analysis.counting.tally import DEALS
from analysis.statistics.intervals import (
    CONFIDENCE,
    boards_until_met,
    normal_quantile,
    per_session,
    wilson,
    with_intervals,
)
from analysis.telling.tables.columns import (
    ASKED,
    COLUMNS,
    LEVEL,
    MEAN,
    MEAN_HIGH,
    MEAN_LOW,
    MESSAGE,
    QUANTILES,
    SESSION,
    SESSION_HIGH,
    SESSION_LOW,
    UNTIL,
    UNTIL_HIGH,
    UNTIL_LOW,
)

JUMP, ABOVE = "jump", "above"


def auction_facts(agreement: Agreement) -> pd.DataFrame:
    """One row a pair of opening and overcall, in the order of PAIRS: both, and what they settle.

    ``level`` and ``message`` as tables have them, ``asked`` the total points that the double asks,
    ``jump`` whether the overcall is a jump, ``above`` whether it is above the ceiling.
    """
    s = all_pairs(agreement)
    opening, overcall, level = s.auction
    facts = pd.DataFrame(pairs.labels, columns=pairs.columns)
    facts[LEVEL] = level
    facts[MESSAGE] = [MESSAGES[code] for code in s.message]
    facts[ASKED] = double_needs(agreement, level, overcall)
    facts[JUMP] = level > cheapest_level(overcall, opening)
    facts[ABOVE] = s.overcall_bid > agreement.response.double_through.code
    return facts


def with_facts(cells: pd.DataFrame, agreement: Agreement, *facts: str) -> pd.DataFrame:
    """``cells`` with some columns of :func:`auction_facts` beside their auction."""
    known = auction_facts(agreement)
    known = known[[*pairs.columns, *(fact for fact in facts if fact not in cells)]]
    return cells.merge(known, on=list(pairs.columns), how="left", validate="many_to_one")


def ordered(table: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """``table`` sorted by ``keys``, names in the order in which the dictionary of columns has them."""

    def rank(column: pd.Series) -> pd.Series:
        names = COLUMNS[str(column.name)].constraints.get("enum")
        return column.map({name: at for at, name in enumerate(names)}) if names else column

    return table.sort_values(list(keys), key=rank, kind="stable", ignore_index=True)


def summed(cells: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """The deals of ``cells`` added up by ``keys``, in order."""
    return ordered(cells.groupby(list(keys), as_index=False)[[DEALS]].sum(), keys)


def shares(cells: pd.DataFrame, keys: Sequence[str], within: Sequence[str] = ()) -> pd.DataFrame:
    """Deals by ``keys``, and their share of all deals with the same ``within``, a part of the keys.

    Columns: the keys, ``deals``, ``of``, ``estimate``, ``low``, ``high`` (Wilson's, pointwise).
    """
    table = summed(cells, keys)
    if within:
        table[OF] = table.groupby(list(within))[DEALS].transform("sum")
    else:
        table[OF] = table[DEALS].sum()
    return with_intervals(table, DEALS, OF)


def share_of(cells: pd.DataFrame, chosen: pd.Series, keys: Sequence[str]) -> pd.DataFrame:
    """Deals of ``cells`` that are ``chosen``, as a share of all deals with the same ``keys``."""
    counted = cells.assign(**{OF: cells[DEALS], DEALS: cells[DEALS].where(chosen, 0)})
    table = ordered(counted.groupby(list(keys), as_index=False)[[DEALS, OF]].sum(), keys)
    return with_intervals(table[table[OF] > 0].reset_index(drop=True), DEALS, OF)


def merged(table: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """Rows that are shares of different deals put together by ``keys``: deals and totals add up."""
    sums = table.groupby(list(keys), as_index=False)[[DEALS, OF]].sum()
    return with_intervals(ordered(sums, keys), DEALS, OF)


def with_sessions(table: pd.DataFrame, all_deals: int) -> pd.DataFrame:
    """``table`` with how often one partnership meets each row's ``deals`` out of ``all_deals``.

    The study counts whichever side opens. Over a session each side deals, and so by symmetry opens,
    equally often: one partnership meets a case on half of its deals.
    """
    half = 0.5
    chance = table[DEALS] / all_deals * half
    low, high = (half * limit for limit in wilson(table[DEALS], all_deals))
    return table.assign(
        **{
            SESSION: per_session(chance),
            SESSION_LOW: per_session(low),
            SESSION_HIGH: per_session(high),
            UNTIL: boards_until_met(chance) / BOARDS_PER_SESSION,
            UNTIL_LOW: boards_until_met(high) / BOARDS_PER_SESSION,
            UNTIL_HIGH: boards_until_met(low) / BOARDS_PER_SESSION,
        }
    )


def averages(cells: pd.DataFrame, keys: Sequence[str], value: str) -> pd.DataFrame:
    """By ``keys``: deals, the mean of a whole number with its interval, and its quantiles.

    The interval is the normal one, the mean plus or minus 1.96 standard errors; it is the mean
    itself where all deals have one value, and missing for a single deal.
    """
    rows = []
    for names, part in ordered(cells.sort_values(value), keys).groupby(list(keys), sort=False):
        deals, at = part[DEALS].to_numpy(), part[value].to_numpy(dtype=np.float64)
        n = deals.sum()
        mean = float(deals @ at / n)
        spread = deals @ (at - mean) ** 2 / (n - 1) if n > 1 else np.nan
        reach = normal_quantile(CONFIDENCE) * np.sqrt(spread / n)
        numbers = (n, mean, mean - reach, mean + reach, *_quantiles(deals, at))
        rows.append((*(names if isinstance(names, tuple) else (names,)), *numbers))
    columns = [*keys, DEALS, MEAN, MEAN_LOW, MEAN_HIGH, *QUANTILES]
    # Without rows, types have to be told.
    whole = {name: cells[value].dtype for name in QUANTILES}
    kinds = {name: cells[name].dtype for name in (*keys, DEALS)}
    return pd.DataFrame(rows, columns=columns).astype(kinds | whole)


def _quantiles(deals: NDArray[np.int64], at: NDArray[np.float64]) -> list[int]:
    """The smallest values that the stated shares of the deals do not pass; ``at`` is sorted."""
    reached = np.cumsum(deals) / deals.sum()
    return [int(at[np.searchsorted(reached, share)]) for share in QUANTILES.values()]


def rows(table: pd.DataFrame, **where: object) -> list[dict[Hashable, Any]]:
    """The rows of ``table`` with these values, each a mapping of column to value."""
    kept = np.ones(len(table), dtype=np.bool_)
    for column, value in where.items():
        kept &= (table[column] == value).to_numpy()
    return table[kept].to_dict("records")
