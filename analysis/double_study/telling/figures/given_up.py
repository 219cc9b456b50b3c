"""Figures of what the double gives up."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.stats import with_intervals
from double_study.telling.figures.captions import counted
from double_study.telling.figures.draw import dots, from_zero, numbers, row_figure, rows_text
from double_study.telling.figures.style import canvas, legend_above


def calls(table: pd.DataFrame) -> Figure:
    """The responder's calls, a dot for each level; what is above the ceiling is no call."""
    table = table[table["call"] != ABOVE_CEILING_CALL]
    label = "share of the level's overcalls (%)"
    return row_figure(table, "call", "level", label, "What the responder does", "overcalls")


def calls_alt(table: pd.DataFrame) -> str:
    """The calls in words."""
    text = rows_text(table[table["call"] != ABOVE_CEILING_CALL], "call", "level")
    return f"Rows of the responder's calls with a dot for each level. {text}."


def penalties(table: pd.DataFrame) -> Figure:
    """Penalty passes and doubles by level, and how many doubles there are to each penalty pass."""
    figure, (often, each) = canvas(3.4, columns=2)
    at = np.arange(len(table))
    doubled = with_intervals(table[["of"]].assign(deals=table["doubles"]), "deals", "of")
    for series, (part, label) in enumerate(((doubled, "double"), (table, "penalty pass"))):
        dots(often, at, part, series=series, label=label)
        numbers(often, at, part, sign="%")
    often.set_ylabel("share of the level's overcalls (%)")
    dots(each, at, table, "ratio", 2)
    numbers(each, at, table, "ratio")
    each.set_ylabel("doubles for each penalty pass")
    for axis in (often, each):
        axis.set_xticks(at, table["level"])
        axis.set_xlim(-0.4, len(table) - 0.2)
        axis.set_xlabel("level of the overcall")
        axis.grid(axis="y", color="0.9", linewidth=0.6)
        from_zero(axis, "y")
    legend_above(often, columns=2)
    counted(
        figure,
        f"{table['of'].sum():,} overcalls, {table['doubles'].sum():,} doubles, "
        f"{table['deals'].sum():,} penalty passes",
        "" if table["deals"].all() else "No mark on the right: there was no penalty pass.",
    )
    return figure


def penalties_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    text = "; ".join(
        f"level {row['level']}: double {row['doubles'] / row['of']:.1%}, penalty pass {row['estimate']:.1%}"
        + (f", {row['ratio']:.1f} doubles for each" if row["deals"] else "")
        for row in table.to_dict("records")
    )
    return f"Two panels of dots by level of the overcall. {text}."
