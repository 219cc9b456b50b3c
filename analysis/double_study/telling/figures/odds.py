"""Figures of a hand and an auction, and of the responder's calls."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from double_study.asking import odds as on
from double_study.cards.bids import DOUBLE, SUIT_NAMES, SUIT_SYMBOLS, SUITS
from double_study.columns import COLUMNS
from double_study.counting.responder_hands import ResponderHands
from double_study.telling.figures.captions import intervals
from double_study.telling.figures.style import (
    COLOURS,
    HATCHES,
    MARKERS,
    canvas,
    caption,
    legend_above,
)

_RARE = 0.001


def opener_lengths(chances: on.Odds) -> Figure:
    """Partner's length in each suit: bars given the bidding, markers by the suit's split alone."""
    figure, axes = canvas(4.6, rows=2, columns=2, sharey=True)
    table = on.lengths(chances)
    for axis, suit in zip(axes.flat, reversed(SUITS), strict=True):
        _lengths_of(axis, table[table["suit"] == SUIT_NAMES[suit]], chances.kept is not None)
        axis.set_title(f"{SUIT_SYMBOLS[suit]} {SUIT_NAMES[suit]}")
    for axis in axes[:, 0]:
        axis.set_ylabel("chance (%)")
    legend_above(axes.flat[0], columns=2)
    caption(figure, basis_caption(chances))
    return figure


def _lengths_of(axis: Axes, table: pd.DataFrame, intervals: bool) -> None:
    shown = table[(table["estimate"] > _RARE) | (table["ignoring_bidding"] > _RARE)]
    cards, given = shown["cards"], 100 * shown["estimate"]
    axis.bar(cards, given, color=COLOURS[0], hatch=HATCHES[0], label="given the bidding")
    if intervals:
        reach = _reach(shown, *COLUMNS["estimate"].columns)
        axis.errorbar(cards, given, yerr=reach, fmt="none", ecolor=COLOURS[-1], capsize=2)
    axis.plot(
        cards,
        100 * shown["ignoring_bidding"],
        marker=MARKERS[1],
        color=COLOURS[1],
        markeredgecolor=COLOURS[-1],
        linestyle="--",
        label="by the split of the suit alone",
    )
    axis.set_xticks(cards)
    axis.set_xlabel("cards in partner's hand")


def _reach(table: pd.DataFrame, middle: str, low: str, high: str) -> np.ndarray:
    """How far an interval reaches below and above, in per cent; never less than nothing."""
    reach = np.stack([table[middle] - table[low], table[high] - table[middle]])
    return np.maximum(100 * np.nan_to_num(reach), 0)


def basis_caption(chances: on.Odds) -> str:
    """What the figure rests on, short enough for one line."""
    if chances.kept is None:
        return "Both exact: every way to deal the 39 unseen cards."
    return f"n = {chances.kept:,} deals that fit; whiskers: {intervals()}."


def opener_lengths_alt(chances: on.Odds) -> str:
    """The figure in words: the likeliest length in each suit, with and without the bidding."""
    table = on.lengths(chances)
    parts = []
    for suit, part in table.groupby("suit", sort=False):
        given, plain = (
            part["cards"].iloc[int(part[column].fillna(0).argmax())]
            for column in ("estimate", "ignoring_bidding")
        )
        parts.append(f"{suit} {given} given the bidding and {plain} without it")
    return f"Bars of partner's length by suit. The likeliest number of cards: {'; '.join(parts)}."


def call_shares(table: pd.DataFrame, standing: pd.DataFrame, hands: ResponderHands) -> Figure:
    """Shares of the responder's calls: bars as now set, diamonds as the agreement stands.

    ``table`` and ``standing`` are tables of :func:`double_study.counting.responder_hands.calls`.
    """
    figure, axis = canvas(3.4)
    # Fixed margins: finding them takes as long as drawing, and the explorer redraws at every move.
    figure.set_layout_engine(None)
    figure.subplots_adjust(left=0.27, right=0.97, top=0.9, bottom=0.21)
    places = np.arange(len(table))
    shares = 100 * table["share"].fillna(0)
    look = [3 if call == DOUBLE else 4 for call in table["call"]]
    axis.barh(
        places,
        shares,
        color=[COLOURS[position] for position in look],
        hatch=[HATCHES[position] for position in look],
        edgecolor="white",
        label="as now set",
    )
    axis.errorbar(
        shares,
        places,
        xerr=_reach(table, *COLUMNS["share"].columns),
        fmt="none",
        ecolor=COLOURS[-1],
        capsize=2,
        zorder=3,
    )
    axis.plot(
        100 * standing["share"],
        places,
        marker=MARKERS[3],
        color=COLOURS[-1],
        markerfacecolor="white",
        linestyle="",
        clip_on=False,
        label="as the agreement stands",
    )
    axis.set_yticks(places, [COLUMNS["call"].wording(call) for call in table["call"]])
    axis.invert_yaxis()
    axis.set_xlabel("share of the responder's hands (%)")
    axis.legend(loc="lower left", bbox_to_anchor=(0, 1), ncols=2)
    caption(
        figure,
        f"n = {table['deals'].sum():,} hands of {hands.deals:,} deals, seed {hands.seed}; "
        f"whiskers: {intervals()}.",
    )
    return figure


def call_shares_alt(table: pd.DataFrame, standing: pd.DataFrame) -> str:
    """The figure in words."""
    # No row is of a call that no hand makes.
    double, before = (
        float(part.loc[part["call"] == DOUBLE, "share"].sum()) for part in (table, standing)
    )
    return (
        f"Bars of the responder's calls. The double takes {double:.1%} of the hands as now set, "
        f"{before:.1%} as the agreement stands."
    )
