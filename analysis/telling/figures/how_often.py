"""Figures of how often the double arises."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.bidding.after_overcall import (
    LEVEL,
    MESSAGE,
    OPENING_BID,
    OVERCALL_BID,
    sequence_wording,
)
from analysis.bidding.double import REASON_GIVEN
from analysis.cards.bids import SEAT
from analysis.checking.family import CASE
from analysis.counting.sessions import BOARDS_PER_SESSION, SESSION, UNTIL
from analysis.counting.tally import DEALS
from analysis.statistics.intervals import CERTAINTY, ESTIMATE, HIGH, LOW, OF, with_intervals
from analysis.telling.figures.draw import INTERVALS, dots, in_order
from analysis.telling.figures.style import COLOURS, HATCHES, HEAT, canvas, caption
from analysis.telling.tables.doubles import BY, GROUPING
from analysis.telling.tables.funnel import STEP
from analysis.vocabulary.column import Row
from analysis.vocabulary.dimension import Dimension
from analysis.vocabulary.numerals import decimals

_AXIS = {LEVEL: "level of the overcall", SEAT: "seat of the opener", MESSAGE: "promise"}
_ROOM = 140
"""Per cent: room for the numbers beside the bars."""
_DARK = 0.6
"""Part of the colour scale above which numbers in cells are white."""


def funnel(table: pd.DataFrame) -> Figure:
    """The funnel as bars: the share of all deals that reaches each step."""
    figure, axis = canvas(2.6)
    at = np.arange(len(table))
    for number, (place, row) in enumerate(zip(at, table.to_dict("records"), strict=True)):
        share = 100 * row[ESTIMATE]
        axis.barh(
            place,
            share,
            color=COLOURS[number],
            hatch=HATCHES[number],
            edgecolor="white",
            height=0.7,
        )
        axis.text(share + 0.8, place, ESTIMATE.of(row), va="center")
    axis.set_yticks(at, [STEP.wording(step) for step in table[STEP]])
    axis.invert_yaxis()
    axis.set_xlim(0, _ROOM)
    axis.set_xticks(range(0, 101, 20))
    axis.set_xlabel("share of all deals (%)")
    axis.set_title("From every deal to the responder's double")
    caption(
        figure, f"n = {table[OF].iloc[0]:,} deals. In brackets: 95% intervals (Wilson, pointwise)."
    )
    return figure


def funnel_alt(table: pd.DataFrame) -> str:
    """The funnel in words."""
    steps = "; ".join(f"{STEP.of(row)} {row[ESTIMATE]:.2%}" for row in table.to_dict("records"))
    return f"Four bars, each a part of the one above, as shares of all deals: {steps}."


def heat_map(table: pd.DataFrame, all_deals: int) -> Figure:
    """Opening by overcall: how many of the overcalls are doubled, and doubles in 10,000 deals."""
    figure, axes = canvas(5.2, rows=2)
    often = with_intervals(table.assign(**{OF: all_deals}), DEALS, OF)
    for axis, part, scale, title in (
        (axes[0], table, 100, "Doubles in 100 such overcalls"),
        (axes[1], often, 10_000, "Doubles after this overcall in 10,000 deals"),
    ):
        _cells(axis, part, scale)
        axis.set_title(title)
        axis.set_ylabel("opening")
    axes[-1].set_xlabel("overcall")
    caption(
        figure,
        f"n = {table[OF].sum():,} overcalls in {all_deals:,} deals, {table[DEALS].sum():,} doubles. "
        "Small print: half the\nwidth of the 95% interval (Wilson, pointwise).",
    )
    return figure


def _cells(axis: Axes, table: pd.DataFrame, scale: float) -> None:
    """One heat map: every cell with its number and half the width of its interval."""
    overcalls, openings = in_order(table, OVERCALL_BID), in_order(table, OPENING_BID)
    grid = np.full((len(openings), len(overcalls)), np.nan)
    top = table[ESTIMATE].max()
    for row in table.to_dict("records"):
        y, x = openings.index(row[OPENING_BID]), overcalls.index(row[OVERCALL_BID])
        grid[y, x] = row[ESTIMATE]
        colour = "white" if row[ESTIMATE] > _DARK * top else "black"
        reach = (row[HIGH] - row[LOW]) / 2
        axis.text(
            x, y - 0.12, f"{scale * row[ESTIMATE]:.1f}", ha="center", va="center", color=colour
        )
        axis.text(
            x,
            y + 0.28,
            f"±{scale * reach:.{max(decimals(0, scale * reach), 1)}f}",
            ha="center",
            va="center",
            color=colour,
            fontsize="x-small",
        )
    axis.imshow(grid, cmap=HEAT, vmin=0, vmax=top or 1, aspect="auto")
    axis.set_xticks(range(len(overcalls)), [OVERCALL_BID.wording(name) for name in overcalls])
    axis.set_yticks(range(len(openings)), [OPENING_BID.wording(name) for name in openings])
    axis.tick_params(length=0)
    axis.spines[["left", "bottom"]].set_visible(False)


def heat_map_alt(table: pd.DataFrame) -> str:
    """The heat map in words: where the double is most and least frequent."""
    ranked = table.sort_values(ESTIMATE, kind="stable").to_dict("records")
    low, high = ranked[0], ranked[-1]
    most = table.sort_values(DEALS, kind="stable").to_dict("records")[-1]
    what = "Two heat maps of opening by overcall with the numbers in the cells."
    if not most[DEALS]:
        return f"{what} There are no doubles."
    return (
        f"{what} The share of overcalls doubled runs from {low[ESTIMATE]:.1%} after "
        f"{sequence_wording(low)} to {high[ESTIMATE]:.1%} after {sequence_wording(high)}; most "
        f"doubles come after {sequence_wording(most)}."
    )


def by_case(table: pd.DataFrame, key: Dimension) -> Figure:
    """By level, seat or message: the share of overcalls doubled, and doubles in a session."""
    figure, axes = canvas(2.9, columns=2)
    at = np.arange(len(table))
    for axis, estimate, series, label in (
        (axes[0], ESTIMATE, 0, "overcalls doubled (%)"),
        (axes[1], SESSION, 1, f"doubles in {BOARDS_PER_SESSION} boards, one partnership"),
    ):
        dots(axis, at, table, estimate, series)
        for place, row in zip(at, table.to_dict("records"), strict=True):
            value = estimate.scale * row[estimate]
            axis.annotate(
                f"{value:.{1 if estimate.scale > 1 else 2}f}",
                (place, value),
                xytext=(8, 0),
                textcoords="offset points",
                va="center",
            )
        axis.set_xticks(at, [key.wording(name) for name in table[key]])
        axis.set_xlim(-0.5, len(table) - 0.1)
        axis.set_ylim(0, 1.15 * estimate.scale * table[estimate.high].max() or 1)
        axis.set_xlabel(_AXIS[key])
        axis.set_title(label, fontweight="normal")
        axis.grid(axis="y", color="0.9", linewidth=0.6)
    caption(
        figure, f"n = {table[OF].sum():,} overcalls, {table[DEALS].sum():,} doubles. {INTERVALS}"
    )
    return figure


def by_case_alt(table: pd.DataFrame, key: Dimension) -> str:
    """The same in words."""
    text = "; ".join(
        f"{key.label(row[key])}: {row[ESTIMATE]:.1%} and {row[SESSION]:.2f}"
        for row in table.to_dict("records")
    )
    return (
        f"Two panels of dots by {_AXIS[key]}: the share of overcalls doubled, and doubles in a "
        f"session for one partnership. {text}."
    )


def until_met(table: pd.DataFrame) -> Figure:
    """How many boards until one partnership has met each kind of double."""
    met = table[table[DEALS] > 0].reset_index(drop=True)
    figure, axis = canvas(0.24 * len(met) + 1.5)
    groups = list(dict.fromkeys(met[GROUPING]))
    for number, group in enumerate(groups):
        part = met[met[GROUPING] == group]
        dots(
            axis,
            part.index.to_numpy(),
            part,
            UNTIL,
            number,
            upright=False,
        )
        if part.index[0]:
            axis.axhline(part.index[0] - 0.5, color="0.85", linewidth=0.6)
    for place, row in zip(met.index, met.to_dict("records"), strict=True):
        axis.annotate(
            f"{row[UNTIL]:,.0f}",
            (row[UNTIL.high], place),
            xytext=(7, 0),
            textcoords="offset points",
            va="center",
        )
    axis.set_xscale("log")
    axis.set_xlim(met[UNTIL].min() / 1.5, met[UNTIL].max() * 2)
    axis.xaxis.set_major_formatter("{x:,.0f}")
    axis.set_yticks(met.index, [meeting_words(row) for row in met.to_dict("records")])
    axis.invert_yaxis()
    axis.grid(axis="x", color="0.9", linewidth=0.6)
    axis.set_xlabel(f"boards, {BOARDS_PER_SESSION} to a session (each step is ten times the last)")
    axis.set_title(f"Boards until one has met it with {CERTAINTY:.0%} certainty")
    caption(figure, f"n = {table[OF].iloc[0]:,} deals. {INTERVALS}")
    return figure


def meeting_words(row: Row) -> str:
    """A case of the table of meetings as a label."""
    (dimension,) = (by for by in BY if by == row[GROUPING])
    prefix = {MESSAGE: "promises ", REASON_GIVEN: "reason: "}.get(dimension, "")
    return prefix + dimension.label(row[CASE])


def until_met_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    text = "; ".join(
        f"{meeting_words(row)} {row[UNTIL]:,.0f}" for row in table.to_dict("records") if row[DEALS]
    )
    return f"Dots on a scale of boards, one a kind of double: {text}."
