"""Figures of what the double looks like."""

from __future__ import annotations

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator, MultipleLocator

from double_study.columns import COLUMNS
from double_study.telling.figures.captions import counted, empty_places
from double_study.telling.figures.draw import curves, dot_rows, dots, peaks_text, rows_text
from double_study.telling.figures.style import COLOURS, canvas, legend_above

_BESIDE = dict(zip(COLUMNS["measure"].names, (-0.2, 0.0, 0.2), strict=True))
"""Where the measures stand beside their level."""
_ASKED_REACH = 0.35
"""How far the line of what is asked reaches to either side of its level."""
MOST_PATTERNS = 8
"""Shapes that a figure shows; the rest are rarer."""


def points(table: pd.DataFrame) -> Figure:
    """The doubler's total points, a curve for each level."""
    figure, axis = canvas(3.4)
    curves(axis, table, "total_points", "level")
    axis.xaxis.set_major_locator(MaxNLocator(integer=True))
    axis.set_xlabel("responder's total points")
    axis.set_ylabel("share of the level's doubles (%)")
    axis.set_title("Points of the double by level of the overcall")
    legend_above(axis, columns=4)
    missing = empty_places("total_points", "level", table)
    counted(figure, f"{table['deals'].sum():,} doubles", missing)
    return figure


def points_alt(table: pd.DataFrame) -> str:
    """The curves in words."""
    return f"A curve of total points for each level. {peaks_text(table, 'total_points', 'level')}."


def values(table: pd.DataFrame) -> Figure:
    """Mean points by level beside the least that is asked."""
    figure, axis = canvas(3.2)
    asked = table[table["measure"] == "total_points"]
    levels = asked["level"].to_numpy()
    axis.hlines(
        asked["asked"],
        levels - _ASKED_REACH,
        levels + _ASKED_REACH,
        color=COLOURS[-1],
        linestyle="--",
        label="total points asked, at least",
    )
    for row in asked.to_dict("records"):
        _number(axis, f"{row['asked']}", row["level"] + _ASKED_REACH + 0.06, row["asked"], (0, -3))
    for number, measure in enumerate(COLUMNS["measure"].names):
        part = table[table["measure"] == measure]
        at = part["level"].to_numpy() + _BESIDE[measure]
        dots(axis, at, part, "mean", number, COLUMNS["measure"].wording(measure))
        for place, row in zip(at, part.to_dict("records"), strict=True):
            _number(axis, f"{row['mean']:.1f}", place, row["mean"], (0, 7))
    axis.set_xticks(levels)
    axis.set_xlim(levels.min() - 0.5, levels.max() + 0.5)
    axis.set_ylim(0, 1.15 * table["mean"].max())
    axis.set_xlabel("level of the overcall")
    axis.set_ylabel("points, mean")
    axis.set_title("What is asked, and what is held")
    legend_above(axis, columns=2)
    counted(figure, f"{asked['deals'].sum():,} doubles", method="Student")
    return figure


def _number(axis: Axes, text: str, x: float, y: float, apart: tuple[float, float]) -> None:
    axis.annotate(text, (x, y), xytext=apart, textcoords="offset points", ha="center")


def values_alt(table: pd.DataFrame) -> str:
    """The means, and what is asked, in words."""
    parts = [
        f"{COLUMNS['measure'].of(row)}, level {row['level']}: {row['mean']:.1f}"
        + (f", at least {row['asked']} asked" if row["measure"] == "total_points" else "")
        for row in table.to_dict("records")
    ]
    return (
        "Dots of mean points by level of the overcall, with a line at the total points asked. "
        f"{'; '.join(parts)}."
    )


def patterns(table: pd.DataFrame) -> Figure:
    """The commonest shapes, a dot for each message."""
    figure, axis = canvas(4.4)
    shown = commonest(table)
    dot_rows(axis, shown, "pattern", "message")
    axis.set_xlabel("share of the doubles with that promise (%)")
    axis.set_ylabel("shape")
    axis.set_title("Shapes of the double by what it promises")
    legend_above(axis, columns=4)
    counted(
        figure,
        f"{table['deals'].sum():,} doubles, of every shape",
        empty_places("pattern", "message", shown),
    )
    return figure


def commonest(table: pd.DataFrame) -> pd.DataFrame:
    """The rows of the commonest shapes, the commonest first."""
    order = table.groupby("pattern")["deals"].sum().sort_values(ascending=False, kind="stable")
    place = {pattern: at for at, pattern in enumerate(order.index[:MOST_PATTERNS])}
    kept = table[table["pattern"].isin(place)]
    return kept.sort_values("pattern", key=lambda column: column.map(place), kind="stable")


def patterns_alt(table: pd.DataFrame) -> str:
    """The shapes in words."""
    text = rows_text(commonest(table), "pattern", "message")
    return f"Rows of shapes with a dot for each promise. {text}."


def lengths(table: pd.DataFrame) -> Figure:
    """The doubler's length in each suit by its part in the auction, a curve for each level."""
    figure, axes = canvas(4.8, rows=2, columns=2, sharex=True, sharey=True)
    for axis, (role, part) in zip(axes.flat, _by_role(table).items(), strict=False):
        curves(axis, part, "cards", "level")
        axis.set_title(COLUMNS["role"].wording(role), fontweight="normal")
    axes[0, 0].xaxis.set_major_locator(MultipleLocator(1))
    for axis in axes[:, 0]:
        axis.set_ylabel("share of doubles (%)")
    for axis in axes[-1]:
        axis.set_xlabel("responder's cards")
    legend_above(axes.flat[0], columns=4)
    doubles = table.loc[table["role"] == COLUMNS["role"].names[0], "deals"].sum()
    missing = empty_places("cards", "level", *_by_role(table).values())
    counted(figure, f"{doubles:,} doubles", missing)
    return figure


def lengths_alt(table: pd.DataFrame) -> str:
    """The lengths in words, panel by panel."""
    parts = [
        f"{COLUMNS['role'].wording(role)}: {peaks_text(part, 'cards', 'level')}"
        for role, part in _by_role(table).items()
    ]
    return f"Curves of the doubler's length, a panel a suit, a curve a level. {'. '.join(parts)}."


def _by_role(table: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """What each panel is drawn from: the suits that every double has, in order."""
    return {
        role: table[table["role"] == role]
        for role in COLUMNS["role"].names
        if role != "promised_shorter"
    }
