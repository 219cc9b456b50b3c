"""Figures of what to teach first."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from double_study.columns import COLUMNS
from double_study.telling.figures.captions import counted
from double_study.telling.figures.draw import dots, from_zero, numbers
from double_study.telling.figures.style import canvas

_ROOM, _ALL = 1.25, 104
"""Room for numbers beside the dots, as a multiple of the scale; and where any scale of shares ends."""
_LINE = 28
"""Letters in a line of a row's label."""


def ranking(table: pd.DataFrame) -> Figure:
    """The topics ranked: each one's share, and beside it the share so far."""
    figure, axes = canvas(0.27 * len(table) + 1.4, columns=2, sharey=True)
    _panel(axes[0], table, "estimate", 0, "the topic alone")
    _panel(axes[1], table, "cumulated", 1, "with all above it", joined=True)
    _rows(axes, [COLUMNS["topic"].of(row) for row in table.to_dict("records")])
    counted(figure, f"{table['of'].iloc[0]:,} doubles")
    return figure


def ranking_alt(table: pd.DataFrame) -> str:
    """The ranking in words."""
    text = "; ".join(
        f"{COLUMNS['topic'].of(row)} {row['estimate']:.1%}, so far {row['cumulated']:.0%}"
        for row in table.to_dict("records")
    )
    return (
        "Two panels of dots, one row a topic from most to least frequent: its share of the doubles, "
        f"and the share so far: {text}."
    )


def pitfalls(table: pd.DataFrame) -> Figure:
    """The cases easily got wrong: their share of the doubles, and of all that looks like them."""
    figure, axes = canvas(0.45 * len(table) + 1.5, columns=2, sharey=True)
    _panel(axes[0], table, "estimate", 0, "the case")
    _panel(axes[1], table, "right", 1, "with its look-alikes", "part that doubles (%)")
    _rows(axes, [fill(COLUMNS["pitfall"].wording(name), _LINE) for name in table["pitfall"]])
    counted(
        figure,
        f"{table['of'].iloc[0]:,} doubles; {table['deals'].sum():,} in the cases, which overlap",
    )
    return figure


def _panel(
    axis: Axes,
    table: pd.DataFrame,
    estimate: str,
    series: int,
    title: str,
    label: str = "share of all doubles (%)",
    joined: bool = False,
) -> None:
    """One panel of rows: a dot a row with its number."""
    at = np.arange(len(table))
    dots(axis, at, table, estimate, series, upright=False, joined=joined)
    numbers(axis, at, table, estimate, sign="%", upright=False)
    axis.set_xlim(right=min(_ROOM * axis.get_xlim()[1], _ALL))
    from_zero(axis, "x")
    axis.set_title(title)
    axis.set_xlabel(label)
    axis.grid(axis="x", color="0.9", linewidth=0.6)


def _rows(axes: Sequence[Axes], labels: Sequence[str]) -> None:
    """Name the rows from the top down."""
    axes[0].set_yticks(range(len(labels)), labels)
    axes[0].set_ylim(len(labels) - 0.5, -0.5)


def pitfalls_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    text = "; ".join(
        f"{COLUMNS['pitfall'].of(row)} {row['estimate']:.1%} of doubles, right on {row['right']:.1%}"
        for row in table.to_dict("records")
    )
    return f"Two panels of dots, one row a case: {text}."
