"""Figures of what the double gives up."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.counting.tally import DEALS
from double_study.rules.response import CALL
from double_study.rules.terms import LEVEL
from double_study.stats import ESTIMATE, OF, with_intervals
from double_study.telling.figures.captions import counted
from double_study.telling.figures.draw import dots, from_zero, numbers, row_figure, rows_text
from double_study.telling.figures.style import canvas, legend_above
from double_study.telling.tables.given_up import DOUBLES, RATIO


def calls(table: pd.DataFrame) -> Figure:
    """The responder's calls, a dot for each level; what is above the ceiling is no call."""
    table = table[table[CALL] != ABOVE_CEILING_CALL]
    label = "share of the level's overcalls (%)"
    return row_figure(table, CALL, LEVEL, label, "What the responder does", "overcalls")


def calls_alt(table: pd.DataFrame) -> str:
    """The calls in words."""
    text = rows_text(table[table[CALL] != ABOVE_CEILING_CALL], CALL, LEVEL)
    return f"Rows of the responder's calls with a dot for each level. {text}."


def penalties(table: pd.DataFrame) -> Figure:
    """Penalty passes and doubles by level, and how many doubles there are to each penalty pass."""
    figure, (often, each) = canvas(3.4, columns=2)
    at = np.arange(len(table))
    doubled = with_intervals(table[[OF]].assign(**{DEALS: table[DOUBLES]}), DEALS, OF)
    for series, (part, label) in enumerate(((doubled, "double"), (table, "penalty pass"))):
        dots(often, at, part, series=series, label=label)
        numbers(often, at, part, sign="%")
    often.set_ylabel("share of the level's overcalls (%)")
    dots(each, at, table, RATIO, 2)
    numbers(each, at, table, RATIO)
    each.set_ylabel("doubles for each penalty pass")
    for axis in (often, each):
        axis.set_xticks(at, table[LEVEL])
        axis.set_xlim(-0.4, len(table) - 0.2)
        axis.set_xlabel("level of the overcall")
        axis.grid(axis="y", color="0.9", linewidth=0.6)
        from_zero(axis, "y")
    legend_above(often, columns=2)
    counted(
        figure,
        f"{table[OF].sum():,} overcalls, {table[DOUBLES].sum():,} doubles, "
        f"{table[DEALS].sum():,} penalty passes",
        "" if table[DEALS].all() else "No mark on the right: there was no penalty pass.",
    )
    return figure


def penalties_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    text = "; ".join(
        f"level {row[LEVEL]}: double {row[DOUBLES] / row[OF]:.1%}, penalty pass {row[ESTIMATE]:.1%}"
        + (f", {row[RATIO]:.1f} doubles for each" if row[DEALS] else "")
        for row in table.to_dict("records")
    )
    return f"Two panels of dots by level of the overcall. {text}."
