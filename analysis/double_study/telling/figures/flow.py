"""A flow: columns of blocks for the steps of an auction, with bands from each block to the next."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from double_study.columns import named
from double_study.telling.figures.style import COLOURS, HATCHES

_BLOCK = 0.06
"""Width of a block; the columns stand one apart."""
_GAP = 0.012
"""Room between the blocks of a column, as a part of all deals."""
LABELLED = 0.01
"""The least share of all deals that a block needs to be named."""


def flow(
    axis: Axes, table: pd.DataFrame, steps: Sequence[str], apart: str, headings: Sequence[str]
) -> None:
    """Draw the deals of ``table`` through ``steps``, one column of blocks a step.

    Bands of deals whose first step is ``apart`` have a colour and hatch of their own.
    """
    shares_of = [_shares(table, step) for step in steps]
    tops = [_tops(shares) for shares in shares_of]
    for at, (step, shares, top) in enumerate(zip(steps, shares_of, tops, strict=True)):
        for name, start in top.items():
            axis.bar(at, shares[name], _BLOCK, start, color="0.25", zorder=3)
            if shares[name] >= LABELLED:
                axis.annotate(
                    f"{named(step).wording(name)}  {shares[name]:.1%}",
                    (at + (_BLOCK if at < len(steps) - 1 else -_BLOCK), start + shares[name] / 2),
                    ha="left" if at < len(steps) - 1 else "right",
                    va="center",
                    fontsize="x-small",
                    zorder=4,
                    bbox={"facecolor": "white", "alpha": 0.75, "edgecolor": "none", "pad": 0.6},
                )
    for at in range(len(steps) - 1):
        _bands(axis, table, steps[0], (steps[at], steps[at + 1]), at, tops[at : at + 2], apart)
    axis.set_xticks(range(len(steps)), headings)
    axis.tick_params(length=0)
    axis.xaxis.tick_top()
    axis.set_ylim(1 + _GAP * max(map(len, tops)), -0.01)
    axis.set_yticks([])
    for side in ("left", "bottom"):
        axis.spines[side].set_visible(False)


def _shares(table: pd.DataFrame, step: str) -> dict[Any, float]:
    """The share of all deals that each block of a column has, from the top."""
    deals = table.groupby(step, observed=True)["deals"].sum().to_dict()
    total = sum(deals.values())
    return {name: number / total for name, number in deals.items()}


def _tops(shares: dict[Any, float]) -> dict[Any, float]:
    """Where each block of a column begins, from the top."""
    ends = accumulate((share + _GAP for share in shares.values()), initial=0.0)
    return dict(zip(shares, ends, strict=False))


def _bands(
    axis: Axes,
    table: pd.DataFrame,
    first: str,
    between: tuple[str, str],
    at: int,
    tops: Sequence[dict[Any, float]],
    apart: str,
) -> None:
    """The bands from one column to the next: those of ``apart`` and the others."""
    left, right = (dict(top) for top in tops)
    total = table["deals"].sum()
    cells = table.assign(apart=(table[first] == apart).to_numpy())
    keys = [*between, "apart"]
    x = np.linspace(at + _BLOCK / 2, at + 1 - _BLOCK / 2, 30)
    bend = (1 - np.cos(np.linspace(0, np.pi, 30))) / 2
    sums: pd.DataFrame = cells.groupby(keys, observed=True, as_index=False)[["deals"]].sum()
    for row in sums.to_dict("records"):
        here, there = (row[step] for step in between)
        share = row["deals"] / total
        upper = left[here] + (right[there] - left[here]) * bend
        series = 0 if row["apart"] else 1
        axis.fill_between(
            x,
            upper,
            upper + share,
            facecolor=COLOURS[series],
            alpha=0.45,
            hatch=HATCHES[series],
            edgecolor=COLOURS[series],
            linewidth=0.2,
        )
        left[here] += share
        right[there] += share
