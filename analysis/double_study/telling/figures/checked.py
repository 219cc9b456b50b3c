"""Figures of the check: the z of every cell against the normal law, and the split players quote."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.figure import Figure
from scipy.special import ndtri

from double_study.rules.terms import FOUR_OR_MORE, sequence_wording
from double_study.telling.figures.captions import counted, off_zero
from double_study.telling.figures.draw import dots
from double_study.telling.figures.style import COLOURS, MARKERS, canvas, caption, legend_above

WELL_FILLED = 100
"""Deals that a cell must expect to be drawn: its z is then close to normal."""
_POINTS = 400
_BELOW = 0.3
"""How far below the exact values of its row a counted one stands, in rows."""


def _drawn(counterparts: pd.DataFrame) -> np.ndarray:
    expects = (counterparts["of"] * counterparts["exact"]).to_numpy()
    well_filled = np.minimum(expects, counterparts["of"].to_numpy() - expects) >= WELL_FILLED
    return np.sort(counterparts["z"].to_numpy()[well_filled])


def z_against_normal(counterparts: pd.DataFrame) -> Figure:
    """The z of all well-filled cells, in order, against what a right machine gives."""
    z = _drawn(counterparts)
    figure, axes = canvas(4.2)
    axes.axline((0, 0), slope=1, color=COLOURS[-1], linestyle="--", label="a machine that is right")
    if len(z):
        kept = np.unique(np.linspace(0, len(z) - 1, min(_POINTS, len(z))).astype(int))
        expected = ndtri((kept + 0.5) / len(z))
        axes.plot(expected, z[kept], MARKERS[0], color=COLOURS[0], markersize=3, label="this run")
    axes.set_xlabel("z expected of the normal law")
    axes.set_ylabel("z counted")
    legend_above(axes, columns=2)
    caption(figure, f"n = {len(z):,} cells that expect {WELL_FILLED} deals or more.")
    return figure


def z_against_normal_alt(counterparts: pd.DataFrame) -> str:
    """The figure in words: how many cells lie beyond two standard errors, and how many should."""
    z = _drawn(counterparts)
    beyond = np.mean(np.abs(z) > 2) if len(z) else 0.0
    return (
        f"Counted z against the normal law for {len(z):,} cells: {beyond:.1%} lie beyond 2 in either "
        "direction, where a machine that is right has 4.6%."
    )


def quoted_and_true(table: pd.DataFrame, auctions: int) -> Figure:
    """Opener's chance of four or more in the commonest auctions: quoted, and true.

    ``table`` is :func:`double_study.tables.opener_in_major`.
    """
    rows = _commonest(table, auctions)
    figure, axes = canvas(1.4 + 0.3 * len(rows))
    at = np.arange(len(rows))[::-1]
    looks = (
        ("naive", "by one's own cards alone"),
        ("after_opening", "with the opening"),
        ("exact", "with opening and overcall (exact)"),
    )
    for position, (column, label) in enumerate(looks):
        axes.plot(100 * rows[column], at, MARKERS[position], color=COLOURS[position], label=label)
    dots(axes, at - _BELOW, rows, series=len(looks), label="counted", upright=False)
    axes.set_yticks(
        at, [f"{sequence_wording(row)} {row['major']}" for row in rows.to_dict("records")]
    )
    for border in at[:-1]:
        axes.axhline(border - 0.5, color="0.85", linewidth=0.6, zorder=0)
    axes.set_ylim(-0.6, len(rows) - 0.4)
    axes.set_xlabel("opener holds four or more (%)")
    legend_above(axes, columns=2)
    counted(
        figure, f"{rows['of'].sum():,} deals, first seat", off_zero(axes, "x", "The axis of shares")
    )
    return figure


def quoted_and_true_alt(table: pd.DataFrame, auctions: int) -> str:
    """The figure in words: for each auction drawn, the quoted chance and the true one."""
    rows = _commonest(table, auctions).to_dict("records")
    parts = [
        f"{sequence_wording(r)} {r['major']} {r['naive']:.0%} quoted, {r['after_opening']:.0%} with the "
        f"opening, {r['exact']:.0%} true"
        for r in rows
    ]
    return f"Chance that opener holds four or more: {'; '.join(parts)}."


def _commonest(table: pd.DataFrame, auctions: int) -> pd.DataFrame:
    return table[(table["opener_holds"] == FOUR_OR_MORE) & table["estimate"].notna()].head(auctions)
