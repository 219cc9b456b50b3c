"""Figures of what to teach first."""

from __future__ import annotations

from textwrap import fill

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from analysis.counting.tally import DEALS
from analysis.lessons.look_alikes import PITFALL
from analysis.lessons.topics import TOPIC
from analysis.statistics.intervals import ESTIMATE, HIGH, LOW, OF
from analysis.telling.figures.draw import INTERVALS, dots
from analysis.telling.figures.style import COLOURS, HATCHES, canvas, caption, legend_above
from analysis.telling.tables.teaching import CUMULATED, RIGHT

_LINE = 28
"""Letters in a line of a row's label."""


def ranking(table: pd.DataFrame) -> Figure:
    """The topics ranked: a bar for each one's share, a line for the share so far."""
    figure, axis = canvas(0.27 * len(table) + 1.5)
    at = np.arange(len(table))
    shares = 100 * table[ESTIMATE].to_numpy()
    reach = 100 * np.stack([table[ESTIMATE] - table[LOW], table[HIGH] - table[ESTIMATE]])
    axis.barh(
        at,
        shares,
        xerr=np.maximum(reach, 0),
        color=COLOURS[0],
        hatch=HATCHES[1],
        edgecolor="white",
        ecolor=COLOURS[-1],
        capsize=2,
        height=0.7,
        label="the topic alone",
    )
    dots(
        axis,
        at,
        table,
        CUMULATED,
        series=1,
        label="with all above it",
        upright=False,
        joined=True,
    )
    for place, row in zip(at, table.to_dict("records"), strict=True):
        axis.text(100 * row[HIGH] + 1, place, f"{row[ESTIMATE]:.1%}", va="center")
        if place:
            axis.text(100 * row[CUMULATED] + 2.5, place, f"{row[CUMULATED]:.0%}", va="center")
    axis.set_yticks(at, [TOPIC.of(row) for row in table.to_dict("records")])
    axis.invert_yaxis()
    axis.set_xlim(0, 112)
    axis.set_xticks(range(0, 101, 20))
    axis.set_xlabel("share of all doubles (%)")
    axis.set_title("The topics of a lesson in order")
    legend_above(axis, columns=2)
    caption(figure, f"n = {table[OF].iloc[0]:,} doubles. {INTERVALS}")
    return figure


def ranking_alt(table: pd.DataFrame) -> str:
    """The ranking in words."""
    text = "; ".join(
        f"{TOPIC.of(row)} {row[ESTIMATE]:.1%}, so far {row[CUMULATED]:.0%}"
        for row in table.to_dict("records")
    )
    return (
        f"Bars of the topics from most to least frequent, with a line of the share so far: {text}."
    )


def pitfalls(table: pd.DataFrame) -> Figure:
    """The cases easily got wrong: their share of the doubles, and of all that looks like them."""
    figure, axes = canvas(0.42 * len(table) + 1.3, columns=2, sharey=True)
    at = np.arange(len(table))
    for axis, estimate, series, label in (
        (axes[0], ESTIMATE, 0, "share of all doubles (%)"),
        (axes[1], RIGHT, 1, "of both, the double is right (%)"),
    ):
        dots(axis, at, table, estimate, series=series, upright=False)
        for place, row in zip(at, table.to_dict("records"), strict=True):
            axis.annotate(
                f"{row[estimate]:.1%}",
                (100 * row[estimate.high], place),
                xytext=(6, 0),
                textcoords="offset points",
                va="center",
            )
        axis.set_xlim(0, 140 * table[estimate.high].max())
        axis.set_xlabel(label)
        axis.grid(axis="x", color="0.9", linewidth=0.6)
    axes[0].set_yticks(at, [fill(PITFALL.wording(name), _LINE) for name in table[PITFALL]])
    axes[0].set_ylim(len(table) - 0.4, -0.6)
    caption(
        figure,
        f"n = {table[OF].iloc[0]:,} doubles; {table[DEALS].sum():,} in the cases, which overlap.\n"
        f"{INTERVALS}",
    )
    return figure


def pitfalls_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    text = "; ".join(
        f"{PITFALL.of(row)} {row[ESTIMATE]:.1%} of doubles, right on {row[RIGHT]:.1%}"
        for row in table.to_dict("records")
    )
    return f"Two panels of dots, one row a case: {text}."
