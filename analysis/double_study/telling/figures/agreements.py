"""Figures of agreements compared, and of the settings moved one at a time."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from double_study.agreements.reader import title
from double_study.comparing import MEASURED
from double_study.tables_compared import (
    with_effect,
    without_effect,
)
from double_study.telling.figures.captions import counted
from double_study.telling.figures.draw import dots
from double_study.telling.figures.style import COLOURS, MARKERS, canvas, legend_above
from double_study.words import listed

_ROW = 0.21
_FRAME = 1.3
_LOWEST = 2.5
"""Inches: the height of a row, of what stands around the rows, and of a figure with few or none."""
_APART = 0.15
"""How far above the middle of its row a step up stands, and a step down below it."""
_UP, _DOWN = MARKERS.index("^"), MARKERS.index("v")
_BY = {1: ("one higher", _UP), -1: ("one lower", _DOWN)}
_LONGEST_NAME = 52
"""Letters of a name, as many as the longest title of a shipped agreement and one."""

MOST_SETTINGS = 12
"""Settings that the figure of a sweep shows; the others change less."""


def differences(table: pd.DataFrame) -> Figure:
    """Each agreement's difference from the first, from the most doubles to the fewest.

    ``table`` is one of :func:`double_study.tables_compared.doubles_compared`.
    """
    shown, left_out = _others(table)
    figure, axes = canvas(max(_FRAME + _ROW * len(shown), _LOWEST))
    dots(axes, np.arange(len(shown)), shown, "difference", upright=False)
    _rows(axes, list(map(_named, shown["agreement"])))
    first = _named(table["agreement"][0])
    axes.set_xlabel(f"difference from {first},\npercentage points of all deals")
    _counted(figure, f"{table['of'][0]:,} deals", _not_drawn(left_out))
    return figure


def differences_alt(table: pd.DataFrame) -> str:
    """The figure in words."""
    shown, left_out = _others(table)
    parts = [
        f"{_named(row['agreement'])} {100 * row['difference']:+.2f}"
        for row in shown.to_dict("records")
    ]
    return (
        f"Points with intervals, the difference of each agreement from {_named(table['agreement'][0])} in "
        f"percentage points of all deals: {', '.join(parts)}. {_not_drawn(left_out)}".rstrip()
    )


def _others(table: pd.DataFrame) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The agreements beside the first that are drawn, and those that never double.

    Of the latter the difference is the whole share of the first: it would press the others together.
    """
    others = table.iloc[1:].sort_values("difference", ascending=False, ignore_index=True)
    never = (others["deals"] == 0) & (others["difference"] != 0)
    return others[~never].reset_index(drop=True), others[never]


def _not_drawn(left_out: pd.DataFrame) -> str:
    parts = [
        f"“{_named(row['agreement'])}”, with no doubles ({100 * row['difference']:+.2f} points)"
        for row in left_out.to_dict("records")
    ]
    return f"Not drawn: {listed(parts)}." if parts else ""


def _named(agreement: str) -> str:
    """An agreement's title, or as much of a file's name as there is room for."""
    name = title(agreement)
    return name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}…"


def sweep(table: pd.DataFrame, measure: str) -> Figure:
    """What each setting changes when moved by one, the one that matters most on top.

    ``table`` is one of :func:`double_study.tables_compared.sweep_table` for ``measure``. At most
    ``MOST_SETTINGS`` are drawn.
    """
    shown, less = _moving(table)
    settings = shown.drop_duplicates("setting", ignore_index=True)
    figure, axes = canvas(max(_FRAME + _ROW * len(settings), _LOWEST))
    place = {setting: at for at, setting in enumerate(settings["setting"])}
    for by, (said, series) in _BY.items():
        part = shown[shown["by"] == by]
        rows = part["setting"].map(place).to_numpy(dtype=np.float64) - _APART * by
        dots(axes, rows, part, "difference", series=series, label=said, upright=False)
    _rows(axes, [setting_label(row) for _, row in settings.iterrows()])
    axes.set_xlabel(f"change, percentage points\nof {MEASURED[measure]}")
    legend_above(axes, columns=2, title="the setting moved by one")
    others = f"{less} that change less, which the table has, and " if less else ""
    one_way = len(shown) < len(_BY) * len(settings)
    _counted(
        figure,
        f"{table['of'].iloc[0]:,}",
        "In brackets the value that stands.",
        "A single mark: no step the other way is allowed." if one_way else "",
        f"Settings not drawn: {others}{len(without_effect(table))} that change nothing.",
    )
    return figure


def sweep_alt(table: pd.DataFrame, measure: str) -> str:
    """The figure in words: the settings that matter most."""
    shown, _ = _moving(table)
    if shown.empty:
        return f"A figure without points: no setting, moved by one, changes the {measure}."
    parts = []
    for _, steps in shown.groupby("setting", sort=False):
        moves = (
            f"{_BY[by][0]} {100 * d:+.2f}"
            for by, d in zip(steps["by"], steps["difference"], strict=True)
        )
        parts.append(f"{setting_label(steps.iloc[0])}: {', '.join(moves)}")
    return (
        f"Points with intervals, a row a setting: the change in the {measure}, in percentage points, "
        f"when it is moved by one. {'; '.join(parts)}."
    )


def _moving(table: pd.DataFrame) -> tuple[pd.DataFrame, int]:
    """The steps of the settings that matter most, and how many other settings change something."""
    settings = with_effect(table)["setting"].unique()
    return table[table["setting"].isin(settings[:MOST_SETTINGS])], len(settings[MOST_SETTINGS:])


def setting_label(row: pd.Series) -> str:
    """A setting as the figures name it: its meaning and the value that stands."""
    return f"{row['meaning']} ({row['standing']})"


def _rows(axes: Axes, labels: Sequence[str] | pd.Series) -> None:
    """Name the rows from the top down, and draw the line of no change."""
    axes.set_yticks(np.arange(len(labels)), list(labels), fontsize="small")
    axes.set_ylim(len(labels) - 0.4, -0.6)
    axes.axvline(0, color=COLOURS[-1], linewidth=0.8)
    axes.grid(axis="x", linewidth=0.4)


def _counted(figure: Figure, n: str, *more: str) -> None:
    counted(figure, f"{n}, the same for all", *more, method="Newcombe, paired")
