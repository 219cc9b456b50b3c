"""Figures of what the double looks like."""

from __future__ import annotations

import pandas as pd
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from analysis.bidding.after_overcall import LEVEL, MESSAGE
from analysis.counting.auction_counts import POINTS
from analysis.counting.tally import DEALS
from analysis.telling.figures.draw import INTERVALS, curves, dot_rows, dots, peaks_text, rows_text
from analysis.telling.figures.style import COLOURS, canvas, caption, legend_above
from analysis.telling.tables.responder import CARDS, MEASURE, PATTERN, ROLE
from analysis.telling.tables.shares import ASKED, MEAN

_BESIDE = dict(zip(MEASURE.names, (7, -15, 7), strict=True))
"""Where the numbers stand from their dots, in points, so that they do not meet."""
MOST_PATTERNS = 8
"""Shapes that a figure shows; the rest are rarer."""


def points(table: pd.DataFrame) -> Figure:
    """The doubler's total points, a curve for each level."""
    figure, axis = canvas(3.4)
    curves(axis, table, POINTS, LEVEL)
    axis.xaxis.set_major_locator(MaxNLocator(integer=True))
    axis.set_xlabel("responder's total points")
    axis.set_ylabel("share of the level's doubles (%)")
    axis.set_title("Points of the double by level of the overcall")
    legend_above(axis, columns=4)
    caption(figure, f"n = {table[DEALS].sum():,} doubles. {INTERVALS}")
    return figure


def points_alt(table: pd.DataFrame) -> str:
    """The curves in words."""
    return f"A curve of total points for each level. {peaks_text(table, POINTS, LEVEL)}."


def values(table: pd.DataFrame) -> Figure:
    """Mean points by level beside the least that is asked."""
    figure, axis = canvas(3.2)
    asked = table[table[MEASURE] == POINTS]
    axis.step(
        asked[LEVEL],
        asked[ASKED],
        where="mid",
        color=COLOURS[-1],
        linestyle="--",
        label="total points asked, at least",
    )
    for number, measure in enumerate(MEASURE.names):
        part = table[table[MEASURE] == measure]
        label = MEASURE.wording(measure)
        dots(axis, part[LEVEL].to_numpy(), part, MEAN, number, label, joined=True)
        for row in part.to_dict("records"):
            axis.annotate(
                f"{row[MEAN]:.1f}",
                (row[LEVEL], row[MEAN]),
                xytext=(0, _BESIDE[measure]),
                textcoords="offset points",
                ha="center",
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5},
            )
    axis.set_xticks(asked[LEVEL])
    axis.set_xlim(asked[LEVEL].min() - 0.4, asked[LEVEL].max() + 0.4)
    axis.set_ylim(0, 1.15 * table[MEAN].max())
    axis.set_xlabel("level of the overcall")
    axis.set_ylabel("points, mean")
    axis.set_title("What is asked, and what is held")
    legend_above(axis, columns=2)
    caption(
        figure, f"n = {asked[DEALS].sum():,} doubles. Whiskers: 95% intervals (normal, pointwise)."
    )
    return figure


def values_alt(table: pd.DataFrame) -> str:
    """The means in words."""
    parts = [
        f"{MEASURE.of(row)}, level {row[LEVEL]}: {row[MEAN]:.1f}"
        for row in table.to_dict("records")
    ]
    return f"Dots of mean points by level of the overcall. {'; '.join(parts)}."


def patterns(table: pd.DataFrame) -> Figure:
    """The commonest shapes, a dot for each message."""
    figure, axis = canvas(4.4)
    shown = commonest(table)
    dot_rows(axis, shown, PATTERN, MESSAGE)
    axis.set_xlim(left=0)
    axis.set_xlabel("share of the doubles with that promise (%)")
    axis.set_ylabel("shape")
    axis.set_title("Shapes of the double by what it promises")
    legend_above(axis, columns=4)
    caption(figure, f"n = {table[DEALS].sum():,} doubles. {INTERVALS}")
    return figure


def commonest(table: pd.DataFrame) -> pd.DataFrame:
    """The rows of the commonest shapes, the commonest first."""
    order = table.groupby(PATTERN)[DEALS].sum().sort_values(ascending=False, kind="stable")
    place = {pattern: at for at, pattern in enumerate(order.index[:MOST_PATTERNS])}
    kept = table[table[PATTERN].isin(place)]
    return kept.sort_values(PATTERN, key=lambda column: column.map(place), kind="stable")


def patterns_alt(table: pd.DataFrame) -> str:
    """The shapes in words."""
    return f"Rows of shapes with a dot for each promise. {rows_text(table, PATTERN, MESSAGE)}."


def lengths(table: pd.DataFrame) -> Figure:
    """The doubler's length in each suit by its part in the auction, a curve for each level."""
    figure, axes = canvas(4.8, rows=2, columns=2, sharey=True)
    shown = [role for role in ROLE.names if role != "promised_shorter"]
    for axis, role in zip(axes.flat, shown, strict=True):
        part = table[table[ROLE] == role]
        curves(axis, part, CARDS, LEVEL)
        axis.set_title(ROLE.wording(role), fontweight="normal")
        axis.set_xticks(range(0, 10))
        axis.set_xlim(-0.4, 9.4)
    for axis in axes[:, 0]:
        axis.set_ylabel("share of doubles (%)")
    for axis in axes[-1]:
        axis.set_xlabel("responder's cards")
    legend_above(axes.flat[0], columns=4)
    promised = table[table[ROLE] == "promised"]
    caption(figure, f"n = {promised[DEALS].sum():,} doubles. {INTERVALS}")
    return figure


def lengths_alt(table: pd.DataFrame) -> str:
    """The lengths in words."""
    parts = [
        f"{ROLE.wording(role)}: {peaks_text(part, CARDS, LEVEL)}"
        for role, part in table.groupby(ROLE, observed=True)
    ]
    return f"Curves of the doubler's length by suit and level. {'. '.join(parts)}."
