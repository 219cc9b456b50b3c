"""Figures of agreements compared, and of the settings moved one at a time."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.comparing.settings_moved import MEASURED
from analysis.runtime.escape import label
from analysis.statistics.intervals import CONFIDENCE, OF
from analysis.telling.figures.draw import dots
from analysis.telling.figures.style import COLOURS, MARKERS, canvas, caption, legend_above
from analysis.telling.tables.agreements import (
    AGREEMENT,
    BY,
    DIFFERENCE,
    MEANING,
    SETTING,
    STANDING,
    without_effect,
)

_ROW = 0.21
_FRAME = 1.3
_LOWEST = 2.5
"""Inches: the height of a row, of what stands around the rows, and of a figure with few or none."""
_UP, _DOWN = MARKERS.index("^"), MARKERS.index("v")
_BY = {1: ("one higher", _UP), -1: ("one lower", _DOWN)}
_PAIRED = f"{CONFIDENCE:.0%} intervals (Newcombe, paired, pointwise)"


def differences(table: pd.DataFrame) -> Figure:
    """Each agreement's difference from the first, from the most doubles to the fewest.

    ``table`` is one of :func:`analysis.telling.tables.agreements.doubles_compared`.
    """
    shown = _others(table)
    figure, axes = canvas(max(_FRAME + _ROW * len(shown), _LOWEST))
    dots(axes, np.arange(len(shown)), shown, DIFFERENCE, upright=False)
    _rows(axes, shown[AGREEMENT].str.replace("_", " ").map(label))
    axes.set_xlabel(f"difference from {label(table[AGREEMENT][0])}, % of all deals")
    caption(figure, f"n = {table[OF][0]:,} deals, the same for all; {_PAIRED}.")
    return figure


def differences_alt(table: pd.DataFrame) -> str:
    """The figure in words."""
    shown = _others(table)
    parts = [f"{row[AGREEMENT]} {100 * row[DIFFERENCE]:+.2f}" for _, row in shown.iterrows()]
    return (
        f"Points with intervals, the difference of each agreement from {table[AGREEMENT][0]} in "
        f"percentage points of all deals: {', '.join(parts)}."
    )


def _others(table: pd.DataFrame) -> pd.DataFrame:
    return table.iloc[1:].sort_values(DIFFERENCE, ascending=False, ignore_index=True)


def sweep(table: pd.DataFrame, measure: str) -> Figure:
    """What each setting changes when moved by one, the one that matters most on top.

    ``table`` is one of :func:`analysis.telling.tables.agreements.sweep_table` for ``measure``. Settings
    that changed no deal are left to the caption.
    """
    idle = without_effect(table)
    shown = table[~table[SETTING].isin(idle)]
    settings = shown.drop_duplicates(SETTING, ignore_index=True)
    figure, axes = canvas(max(_FRAME + _ROW * len(settings), _LOWEST))
    place = {setting: at for at, setting in enumerate(settings[SETTING])}
    for by, (said, series) in _BY.items():
        part = shown[shown[BY] == by]
        rows = part[SETTING].map(place).to_numpy()
        dots(axes, rows, part, DIFFERENCE, series=series, label=said, upright=False)
    _rows(axes, [setting_label(row) for _, row in settings.iterrows()])
    axes.set_xlabel(f"change, % of {MEASURED[measure]}")
    legend_above(axes, columns=2, title="the setting moved by one")
    caption(
        figure,
        f"n = {table[OF].iloc[0]:,}, the same for all; {_PAIRED}.\n"
        f"In brackets the value that stands. Not drawn: {len(idle)} settings that changed nothing.",
    )
    return figure


def sweep_alt(table: pd.DataFrame, measure: str) -> str:
    """The figure in words: the settings that matter most."""
    if len(without_effect(table)) == table[SETTING].nunique():
        return f"A figure without points: no setting, moved by one, changes the {measure}."
    top = table.drop_duplicates(SETTING).head(5)
    parts = []
    for _, row in top.iterrows():
        steps = table[table[SETTING] == row[SETTING]]
        moves = (
            f"{_BY[by][0]} {100 * d:+.2f}"
            for by, d in zip(steps[BY], steps[DIFFERENCE], strict=True)
        )
        parts.append(f"{setting_label(row)}: {', '.join(moves)}")
    return (
        f"Points with intervals, a row a setting: the change in the {measure}, in percentage points, "
        f"when it is moved by one. The largest: {'; '.join(parts)}."
    )


def setting_label(row: pd.Series) -> str:
    """A setting as the figures name it: its meaning and the value that stands."""
    return f"{row[MEANING]} ({row[STANDING]})"


def _rows(axes: Axes, labels: Sequence[str] | pd.Series) -> None:
    """Name the rows from the top down, and draw the line of no change."""
    axes.set_yticks(np.arange(len(labels)), list(labels), fontsize="small")
    axes.set_ylim(len(labels) - 0.4, -0.6)
    axes.axvline(0, color=COLOURS[-1], linewidth=0.8)
    axes.grid(axis="x", linewidth=0.4)
