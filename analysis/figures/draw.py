"""The kinds of drawing that the study's figures are made of: dots with intervals, in rows or columns.

What is drawn comes from a table: a row a dot, with its estimate and its limits. Series stand side by
side, each with a colour and a marker of its own.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from analysis.estimates import CONFIDENCE, ESTIMATE, HIGH, LOW
from analysis.figures.style import COLOURS, MARKERS
from analysis.sentences.words import words

SHARE = (ESTIMATE, LOW, HIGH)
_SPREAD = 0.6
"""How much of a row its series take."""

INTERVALS = f"Whiskers: {CONFIDENCE:.0%} intervals (Wilson, pointwise)."
"""What the caption says of whiskers that are Wilson's."""


def dots(
    axis: Axes,
    at: Sequence[float] | np.ndarray,
    table: pd.DataFrame,
    columns: tuple[str, str, str] = SHARE,
    scale: float = 100,
    series: int = 0,
    label: str | None = None,
    upright: bool = True,
    joined: bool = False,
) -> None:
    """Dots with whiskers, one a row of ``table``, at the places ``at``.

    ``columns`` are the estimate and its limits, multiplied by ``scale`` (100: proportions as per
    cent). ``upright`` puts the places on the x axis; ``joined`` joins the dots by a line.
    """
    middle, low, high = (table[column].to_numpy(dtype=np.float64) * scale for column in columns)
    # Rounding may put a limit just beyond its estimate.
    reach = np.maximum(np.nan_to_num(np.stack([middle - low, high - middle])), 0)
    axis.errorbar(
        at if upright else middle,
        middle if upright else at,
        yerr=reach if upright else None,
        xerr=None if upright else reach,
        fmt=MARKERS[series],
        linestyle="-" if joined else "",
        color=COLOURS[series],
        markeredgecolor=COLOURS[-1],
        markeredgewidth=0.5,
        markersize=6,
        linewidth=1,
        capsize=2.5,
        label=label,
    )


def dot_rows(
    axis: Axes,
    table: pd.DataFrame,
    row: str,
    series: str,
    columns: tuple[str, str, str] = SHARE,
    scale: float = 100,
) -> None:
    """Rows of dots: a row for each value of ``row``, in it a dot for each value of ``series``.

    Rows and series stand in the order in which the table has them; a legend is not drawn.
    """
    names = list(dict.fromkeys(table[row]))
    kinds = list(dict.fromkeys(table[series]))
    place = {name: at for at, name in enumerate(names)}
    shift = np.linspace(-_SPREAD / 2, _SPREAD / 2, len(kinds)) if len(kinds) > 1 else [0.0]
    for number, kind in enumerate(kinds):
        part = table[table[series] == kind]
        at = part[row].map(place).to_numpy(dtype=np.float64) + shift[number]
        label = series_words(kind, series)
        dots(axis, at, part, columns, scale, number, label, upright=False)
    axis.set_yticks(range(len(names)), [words(name, row) for name in names])
    for at in range(1, len(names)):
        axis.axhline(at - 0.5, color="0.85", linewidth=0.6, zorder=0)
    axis.set_ylim(len(names) - 0.5, -0.5)
    axis.grid(axis="x", color="0.9", linewidth=0.6)
    axis.set_axisbelow(True)


def series_words(kind: object, column: str) -> str:
    """A value as a label that stands alone: level 2, seat 3, both majors."""
    return f"{column} {kind}" if isinstance(kind, int | np.integer) else words(kind, column)


def rows_said(table: pd.DataFrame, row: str, series: str, top: int = 3) -> str:
    """The highest rows of each series in words, for alternative text: level 1: pass 23%, ..."""
    parts = []
    for kind, part in table.groupby(series, sort=False):
        highest = part.sort_values(ESTIMATE, ascending=False, kind="stable").head(top)
        said = ", ".join(f"{words(r[row], row)} {r[ESTIMATE]:.1%}" for _, r in highest.iterrows())
        parts.append(f"{series_words(kind, series)}: {said}")
    return "; ".join(parts)
