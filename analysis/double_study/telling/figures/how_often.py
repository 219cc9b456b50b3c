"""Figures of how often the double arises."""

from __future__ import annotations

from itertools import product

import numpy as np
import pandas as pd
import seaborn as sns
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import LogFormatter

from double_study.columns import COLUMNS, Row, named
from double_study.counting.sessions import BOARDS_PER_SESSION
from double_study.rules.terms import (
    SEQUENCE,
    sequence_wording,
)
from double_study.stats import CERTAINTY, with_intervals
from double_study.telling.figures.captions import counted, intervals
from double_study.telling.figures.draw import dots, from_zero, in_order, numbers
from double_study.telling.figures.style import COLOURS, HATCHES, HEAT, canvas, caption
from double_study.words import decimals

_AXIS = {"level": "level of the overcall", "seat": "seat of the opener", "message": "promise"}
_HEADROOM = 1.6
"""The darkest colour as a multiple of the highest cell, so that black numbers are legible in all."""
_BRACKETS = f"In brackets: {intervals()}."
_HALF_WIDTHS = f"After ±: half the width of the {intervals(noun='interval')}."


def funnel(table: pd.DataFrame) -> Figure:
    """The funnel as bars: the share of all deals that reaches each step."""
    figure, axis = canvas(2.6)
    at = np.arange(len(table))
    axis.barh(
        at,
        100 * table["estimate"],
        color=COLOURS[: len(table)],
        hatch=HATCHES[: len(table)],
        edgecolor="white",
        height=0.7,
    )
    for place, row in zip(at, table.to_dict("records"), strict=True):
        axis.text(
            1.01,
            place,
            COLUMNS["estimate"].of(row),
            va="center",
            transform=axis.get_yaxis_transform(),
        )
    axis.set_yticks(at, [COLUMNS["step"].wording(step) for step in table["step"]])
    axis.invert_yaxis()
    axis.set_xlim(0, 100)
    axis.set_xlabel("share of all deals (%)")
    axis.set_title("From every deal to the responder's double")
    caption(figure, f"n = {table['of'].iloc[0]:,} deals. {_BRACKETS}")
    return figure


def funnel_alt(table: pd.DataFrame) -> str:
    """The funnel in words."""
    steps = "; ".join(
        f"{COLUMNS['step'].of(row)} {row['estimate']:.2%}" for row in table.to_dict("records")
    )
    return f"Bars, each a part of the one above, as shares of all deals: {steps}."


def heat_map(table: pd.DataFrame, all_deals: int) -> Figure:
    """Opening by overcall: how many of the overcalls are doubled, and doubles in 10,000 deals."""
    figure, axes = canvas(5.2, rows=2)
    often = with_intervals(table.assign(of=all_deals), "deals", "of")
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
        f"n = {table['of'].sum():,} overcalls in {all_deals:,} deals, {table['deals'].sum():,} doubles. "
        f"{_HALF_WIDTHS} {_blank(table)}",
    )
    return figure


def _cells(axis: Axes, table: pd.DataFrame, scale: float) -> None:
    """One heat map: every cell with its number and half the width of its interval."""
    reach = scale * (table["high"] - table["low"]) / 2
    texts = [
        f"{scale * row['estimate']:.{places}f}\n±{half:.{places}f}"
        for row, half in zip(table.to_dict("records"), reach, strict=True)
        for places in [int(np.clip(decimals(0, half), 1, 2))]
    ]
    openings, overcalls = in_order(table, "opening"), in_order(table, "overcall")
    shares, labels = (
        part.pivot(index="opening", columns="overcall", values="estimate").loc[openings, overcalls]
        for part in (table, table.assign(estimate=texts))
    )
    sns.heatmap(
        shares,
        vmin=0,
        vmax=_HEADROOM * table["estimate"].max() or 1,
        cmap=HEAT,
        annot=labels.to_numpy(),
        fmt="",
        annot_kws={"fontsize": "small", "color": "black"},
        linewidths=0.5,
        cbar=False,
        xticklabels=[COLUMNS["overcall"].wording(name) for name in overcalls],
        yticklabels=[COLUMNS["opening"].wording(name) for name in openings],
        ax=axis,
    )
    axis.tick_params(length=0, labelrotation=0)
    axis.set_xlabel("")


def _blank(table: pd.DataFrame) -> str:
    """Why cells are empty."""
    met = set(zip(table["opening"], table["overcall"], strict=True))
    every = set(product(table["opening"], table["overcall"]))
    if not (blank := every - met):
        return ""

    unmet = ", or it came up in no deal" if blank & set(SEQUENCE.names) else ""
    return f"Blank: no overcall in a new suit{unmet}."


def heat_map_alt(table: pd.DataFrame) -> str:
    """The heat map in words: where the double is most and least frequent."""
    ranked = table.sort_values("estimate", kind="stable").to_dict("records")
    low, high = ranked[0], ranked[-1]
    most = table.sort_values("deals", kind="stable").to_dict("records")[-1]
    what = "Two heat maps of opening by overcall with the numbers in the cells."
    if not most["deals"]:
        return f"{what} There are no doubles."
    return (
        f"{what} The share of overcalls doubled runs from {low['estimate']:.1%} after "
        f"{sequence_wording(low)} to {high['estimate']:.1%} after {sequence_wording(high)}; more "
        f"doubles come after {sequence_wording(most)} than after any other auction."
    )


def by_case(table: pd.DataFrame, key: str) -> Figure:
    """By level, seat or message: the share of overcalls doubled, and doubles in a session."""
    figure, axes = canvas(2.9, columns=2)
    at = np.arange(len(table))
    for axis, estimate, series, most, label in (
        (axes[0], "estimate", 0, 1, "overcalls doubled (%)"),
        (axes[1], "per_session", 1, 3, f"doubles in {BOARDS_PER_SESSION} boards, one partnership"),
    ):
        dots(axis, at, table, estimate, series)
        numbers(axis, at, table, estimate, most)
        axis.set_xticks(at, [named(key).wording(name) for name in table[key]])
        axis.set_xlim(-0.5, len(table) - 0.1)
        axis.margins(y=0.15)
        from_zero(axis, "y")
        axis.set_xlabel(_AXIS[key])
        axis.set_title(label, fontweight="normal")
        axis.grid(axis="y", color="0.9", linewidth=0.6)
    counted(figure, f"{table['of'].sum():,} overcalls, {table['deals'].sum():,} doubles")
    return figure


def by_case_alt(table: pd.DataFrame, key: str) -> str:
    """The same in words."""
    text = "; ".join(
        f"{named(key).label(row[key])}: {row['estimate']:.1%} and {row['per_session']:.2f}"
        for row in table.to_dict("records")
    )
    return (
        f"Two panels of dots by {_AXIS[key]}: the share of overcalls doubled, and doubles in a "
        f"session for one partnership. {text}."
    )


def until_met(table: pd.DataFrame) -> Figure:
    """How many boards until one partnership has met each kind of double."""
    met = table[table["deals"] > 0].reset_index(drop=True)
    figure, axis = canvas(0.24 * len(met) + 1.5)
    groups = list(dict.fromkeys(met["grouping"]))
    for number, group in enumerate(groups):
        part = met[met["grouping"] == group]
        dots(axis, part.index.to_numpy(), part, "boards", number, upright=False)
        if part.index[0]:
            axis.axhline(part.index[0] - 0.5, color="0.85", linewidth=0.6)
    numbers(axis, met.index.to_numpy(), met, "boards", most=0, upright=False)
    axis.set_xscale("log")
    axis.set_xlim(met["boards"].min() / 1.5, met["boards"].max() * 2)
    axis.xaxis.set_major_formatter("{x:,.0f}")
    axis.xaxis.set_minor_formatter(LogFormatter())  # which has labels within one step of ten only
    axis.set_yticks(met.index, [meeting_words(row) for row in met.to_dict("records")])
    axis.invert_yaxis()
    axis.grid(axis="x", color="0.9", linewidth=0.6)
    axis.set_xlabel(f"boards, {BOARDS_PER_SESSION} to a session (each step is ten times the last)")
    axis.set_title(f"Boards until one has met it with {CERTAINTY:.0%} certainty")
    unmet = len(table) - len(met)
    missing = f"Kinds not drawn, for they came up in no deal: {unmet}." if unmet else ""
    counted(figure, f"{table['of'].iloc[0]:,} deals", missing)
    return figure


def meeting_words(row: Row) -> str:
    """A case of the table of meetings as a label."""
    grouping = COLUMNS[row["grouping"]]
    # Cases of every grouping stand in one column, as text.
    case = int(row["case"]) if grouping.whole else row["case"]
    prefix = {"message": "promises ", "reason": "reason: "}.get(grouping.key, "")
    return prefix + grouping.label(case)


def until_met_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    text = "; ".join(
        f"{meeting_words(row)} {row['boards']:,.0f}"
        for row in table.to_dict("records")
        if row["deals"]
    )
    return f"Dots on a scale of boards, one a kind of double: {text}."
