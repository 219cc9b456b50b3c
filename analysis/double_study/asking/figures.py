"""The figure of an answer: partner's length in each suit, with and without the bidding."""

from __future__ import annotations

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from double_study.asking import odds as on
from double_study.cards.bids import SUIT_NAMES, SUIT_SYMBOLS, SUITS
from double_study.columns import COLUMNS
from double_study.plots import COLOURS, MARKERS, figure, reach, titled

_RARE = 0.001


def opener_lengths(chances: on.Odds) -> Figure:
    """Draw partner's length in each suit: bars given the bidding, markers by the suit's split alone."""
    drawn, axes = figure(4.6, rows=2, columns=2, sharey=True)
    table = on.lengths(chances)
    for axis, suit in zip(axes.flat, reversed(SUITS), strict=True):
        _lengths_of(axis, table[table["suit"] == SUIT_NAMES[suit]], chances.kept is not None)
        axis.set_title(f"{SUIT_SYMBOLS[suit]} {SUIT_NAMES[suit]}")
    for axis in axes[:, 0]:
        axis.set_ylabel("chance (%)")
    counted = "both exact" if chances.kept is None else f"n = {chances.kept:,} deals that fit"
    note = f"bars: given the bidding; dashed: by the split of the suit alone; {counted}"
    return titled(drawn, "Partner's length in each suit", note)


def _lengths_of(axis: Axes, table: pd.DataFrame, intervals: bool) -> None:
    shown = table[(table["estimate"] > _RARE) | (table["ignoring_bidding"] > _RARE)]
    cards, given = shown["cards"], 100 * shown["estimate"]
    axis.bar(cards, given, color=COLOURS[0])
    if intervals:
        whiskers = reach(shown, COLUMNS["estimate"])
        axis.errorbar(cards, given, yerr=whiskers, fmt="none", ecolor="black", capsize=2)
    axis.plot(
        cards,
        100 * shown["ignoring_bidding"],
        marker=MARKERS[1],
        color=COLOURS[1],
        markeredgecolor="black",
        linestyle="--",
    )
    axis.set_xticks(cards)
    axis.set_xlabel("cards")


def opener_lengths_alt(chances: on.Odds) -> str:
    """Describe the figure in words: the likeliest length in each suit, with and without the bidding."""
    table = on.lengths(chances)
    parts = []
    for suit, part in table.groupby("suit", sort=False):
        given, plain = (
            part["cards"].iloc[int(part[column].fillna(0).argmax())]
            for column in ("estimate", "ignoring_bidding")
        )
        parts.append(f"{suit} {given} given the bidding and {plain} without it")
    return f"Bars of partner's length by suit. The likeliest number of cards: {'; '.join(parts)}."
