"""Figures of what partner holds, and where the auction ends."""

from __future__ import annotations

import pandas as pd
from matplotlib.figure import Figure

from double_study.columns import COLUMNS
from double_study.telling.figures.captions import WILSON, counted, empty_places, off_zero
from double_study.telling.figures.draw import curves, dots, peaks_text, row_figure, rows_text
from double_study.telling.figures.style import COLOURS, canvas, legend_above

ENOUGH = 30
"""Deals that a mean needs to be drawn; with fewer its interval means little."""


def opener_lengths(table: pd.DataFrame) -> Figure:
    """Opener's cards in its longest promised suit, a curve for each promise."""
    figure, axis = canvas(3.4)
    curves(axis, table, "opener_cards", "message")
    axis.set_xlabel("opener's cards in its longest promised suit")
    axis.set_ylabel("share of doubles (%)")
    axis.set_title("What the opener holds in the suit promised")
    axis.set_xticks(range(int(table["opener_cards"].max()) + 1))
    legend_above(axis, columns=4)
    missing = empty_places("opener_cards", "message", table)
    counted(figure, f"{table['deals'].sum():,} doubles", missing)
    return figure


def opener_lengths_alt(table: pd.DataFrame) -> str:
    """The curves in words."""
    text = peaks_text(table, "opener_cards", "message")
    return f"A curve of the opener's cards for each promise. {text}."


def answers(table: pd.DataFrame) -> Figure:
    """The opener's answers, a dot for each promise."""
    return row_figure(
        table, "answer", "message", "share of the doubles with that promise (%)", "The answers"
    )


def answers_alt(table: pd.DataFrame) -> str:
    """The answers in words."""
    text = rows_text(table, "answer", "message")
    return f"Rows of the opener's answers with a dot for each promise. {text}."


def fits(table: pd.DataFrame) -> Figure:
    """Whether a fit was there and found, a dot for each level."""
    title = "The fit of eight: there, and found?"
    return row_figure(table, "outcome", "level", "share of the level's doubles (%)", title)


def fits_alt(table: pd.DataFrame) -> str:
    """The fits in words."""
    text = rows_text(table, "outcome", "level")
    return f"Rows of what became of a fit with a dot for each level. {text}."


def final_contracts(table: pd.DataFrame) -> Figure:
    """The final contracts, a dot for each level."""
    title = "The final contract"
    return row_figure(table, "final_contract", "level", "share of the level's doubles (%)", title)


def final_contracts_alt(table: pd.DataFrame) -> str:
    """The final contracts in words."""
    text = rows_text(table, "final_contract", "level")
    return f"Rows of final contracts with a dot for each level. {text}."


def spade_lengths(table: pd.DataFrame) -> Figure:
    """The opener's spades opposite 1♠ over 1♥, a dot for each opening."""
    title = "Opener's spades opposite 1♠ over 1♥"
    return row_figure(
        table, "opener_spades", "opening", "share of the hands that bid 1♠ (%)", title, "hands"
    )


def spade_lengths_alt(table: pd.DataFrame) -> str:
    """The lengths in words."""
    text = rows_text(table, "opener_spades", "opening")
    return f"Rows of the opener's spades with a dot for each opening. {text}."


def over_trumps(table: pd.DataFrame) -> Figure:
    """Tricks bid above the trumps: how often, and with how many points in both hands."""
    figure, (often, points) = canvas(5.6, rows=2, sharex=True)
    curves(often, table, "over_trumps", "level")
    often.set_ylabel("share of part-scores\nin a suit (%)")
    often.set_title("Level against trumps, by level of the overcall")
    drawn = table[table["deals"] >= ENOUGH]
    for number, level in enumerate(dict.fromkeys(table["level"])):
        part = drawn[drawn["level"] == level]
        dots(points, part["over_trumps"].to_numpy(), part, "mean", number, joined=True)
    points.set_ylabel("both hands' HCP, mean")
    points.grid(axis="y", color="0.9", linewidth=0.6)
    points.set_xlabel("tricks bid above the combined trumps (0: at the level of the trumps)")
    points.set_xticks(COLUMNS["over_trumps"].names)
    for axis in (often, points):
        axis.axvline(0.5, color=COLOURS[-1], linestyle=":", linewidth=1)
    points.annotate(
        "right of the line: above what the\nrule of thumb calls safe",
        (0.62, 0.04),
        xycoords=("data", "axes fraction"),
        fontsize="small",
    )
    legend_above(often, columns=4)
    counted(
        figure,
        f"{table['deals'].sum():,} part-scores in a suit",
        f"No mark: no deal, or for a mean fewer than {ENOUGH}.",
        off_zero(points, "y", "The lower axis"),
        method=f"{WILSON}; Student for means",
    )
    return figure


def over_trumps_alt(table: pd.DataFrame) -> str:
    """The level against trumps in words."""
    parts = []
    for level, part in table.groupby("level"):
        above = part.loc[part["over_trumps"] > 0, "deals"].sum() / part["deals"].sum()
        parts.append(f"{COLUMNS['level'].label(level)}: {above:.0%} above the level of the trumps")
    return (
        "Two panels over the tricks bid above the combined trumps: the share of part-scores, and "
        f"the mean points of both hands. {'; '.join(parts)}."
    )
