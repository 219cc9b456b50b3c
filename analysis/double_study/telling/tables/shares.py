"""What tables have in common: facts about each auction, shares of a total, averages."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.columns import COLUMNS
from double_study.rules.response import double_needs
from double_study.rules.terms import SEQUENCE, cheapest_level, every_sequence
from double_study.stats import mean_reach, with_intervals

QUANTILES = {"tenth": 0.1, "median": 0.5, "ninetieth": 0.9}
"""The columns of quantiles, and the share of the hands at which each stands."""

JUMP, ABOVE = "jump", "above"


def sequence_facts(agreement: Agreement) -> pd.DataFrame:
    """One row a sequence, in the order of SEQUENCES: opening, overcall, and what they settle.

    ``level`` and ``message`` as tables have them, ``asked`` the total points that the double asks,
    ``jump`` whether the overcall is a jump, ``above`` whether it is above the ceiling.
    """
    s = every_sequence(agreement)
    opening, overcall, level = s.auction
    facts = SEQUENCE.frame().assign(**COLUMNS["message"].filled(s.message))
    facts["level"] = level
    facts["asked"] = double_needs(agreement, level, overcall)
    facts[JUMP] = level > cheapest_level(overcall, opening)
    facts[ABOVE] = s.overcall_bid > agreement.response.double_through.code
    return facts


def with_facts(cells: pd.DataFrame, agreement: Agreement, *facts: str) -> pd.DataFrame:
    """``cells`` with some columns of :func:`sequence_facts` beside their auction."""
    known = sequence_facts(agreement)
    known = known[[*SEQUENCE.columns, *(fact for fact in facts if fact not in cells)]]
    return cells.merge(known, on=list(SEQUENCE.columns), how="left", validate="many_to_one")


def summed(cells: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """The deals of ``cells`` added up by ``keys``, in order."""
    return cells.groupby(list(keys), as_index=False, observed=True)[["deals"]].sum()


def shares(cells: pd.DataFrame, keys: Sequence[str], within: Sequence[str] = ()) -> pd.DataFrame:
    """Deals by ``keys``, and their share of all deals with the same ``within``, a part of the keys.

    Columns: the keys, ``deals``, ``of``, ``estimate``, ``low``, ``high`` (Wilson's, pointwise).
    """
    table = summed(cells, keys)
    if within:
        table["of"] = table.groupby(list(within), observed=True)["deals"].transform("sum")
    else:
        table["of"] = table["deals"].sum()
    return with_intervals(table, "deals", "of")


def share_of(cells: pd.DataFrame, chosen: pd.Series, keys: Sequence[str]) -> pd.DataFrame:
    """Deals of ``cells`` that are ``chosen``, as a share of all deals with the same ``keys``."""
    counted = cells.assign(of=cells["deals"], deals=cells["deals"].where(chosen, 0))
    table = counted.groupby(list(keys), as_index=False, observed=True)[["deals", "of"]].sum()
    return with_intervals(table[table["of"] > 0].reset_index(drop=True), "deals", "of")


def merged(table: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """Rows that are shares of different deals put together by ``keys``: deals and totals add up."""
    sums = table.groupby(list(keys), as_index=False, observed=True)[["deals", "of"]].sum()
    return with_intervals(sums, "deals", "of")


def averages(cells: pd.DataFrame, keys: Sequence[str], value: str) -> pd.DataFrame:
    """By ``keys``: deals, the mean of a whole number with its interval, and its quantiles.

    The interval is Student's; it is missing for a single deal, and where all deals have one value.
    """
    rows = []
    for names, part in cells.sort_values(value).groupby(list(keys), observed=True):
        deals, at = part["deals"].to_numpy(), part[value].to_numpy(dtype=np.float64)
        n = deals.sum()
        mean = float(deals @ at / n)
        spread = deals @ (at - mean) ** 2 / (n - 1) if n > 1 else np.nan
        reach = float(mean_reach(spread, n))
        numbers = (n, mean, mean - reach, mean + reach, *_quantiles(deals, at))
        rows.append((*(names if isinstance(names, tuple) else (names,)), *numbers))
    columns = [*keys, "deals", *COLUMNS["mean"].columns, *QUANTILES]
    # Without rows, types have to be told.
    whole = {name: cells[value].dtype for name in QUANTILES}
    kinds = {name: cells[name].dtype for name in (*keys, "deals")}
    return pd.DataFrame(rows, columns=columns).astype({**kinds, **whole})


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
