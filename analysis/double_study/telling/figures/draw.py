"""The kinds of drawing that the study's figures are made of: dots with intervals, in rows or columns.

What is drawn comes from a table: a row a dot, with its estimate and its limits. Series stand side by
side, each with a colour and a marker of its own.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from double_study.columns import named
from double_study.telling.figures.captions import counted, empty_places
from double_study.telling.figures.style import COLOURS, MARKERS, canvas, legend_above
from double_study.words import decimals

_SPREAD = 0.6
"""How much of a row its series take."""

_BELOW_ZERO = 0.03
"""How much of a scale lies below 0, so that marks at 0 are whole."""


def dots(
    axis: Axes,
    at: Sequence[float] | np.ndarray,
    table: pd.DataFrame,
    estimate: str = "estimate",
    series: int = 0,
    label: str | None = None,
    upright: bool = True,
    joined: bool = False,
) -> None:
    """Dots with whiskers, one a row of ``table``, at the places ``at``.

    ``estimate`` is drawn on its own scale, proportions in per cent. ``upright`` puts the places on
    the x axis; ``joined`` joins the dots by a line.
    """
    middle, low, high = (
        table[column].to_numpy(dtype=np.float64) * named(estimate).scale
        for column in named(estimate).columns
    )
    # Rounding may put a limit just beyond its estimate, and a ratio to nothing has no whiskers.
    with np.errstate(invalid="ignore"):
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


def numbers(
    axis: Axes,
    at: Sequence[float] | np.ndarray,
    table: pd.DataFrame,
    estimate: str = "estimate",
    most: int = 1,
    sign: str = "",
    upright: bool = True,
) -> None:
    """Beside each of :func:`dots` its number, with the decimals that its interval supports.

    ``most`` is the most decimals, ``sign`` what follows the number.
    """
    for place, row in zip(at, table.to_dict("records"), strict=True):
        value, low, high = (
            named(estimate).scale * float(row[column]) for column in named(estimate).columns
        )
        if np.isfinite(value):
            axis.annotate(
                f"{value:,.{min(decimals(low, high), most)}f}{sign}",
                (place, value) if upright else (high if np.isfinite(high) else value, place),
                xytext=(8, 0),
                textcoords="offset points",
                va="center",
            )


def from_zero(axis: Axes, along: str) -> None:
    """Let a scale, ``"x"`` or ``"y"``, begin at 0, with room for marks that stand there."""
    _, high = getattr(axis, f"get_{along}lim")()
    getattr(axis, f"set_{along}lim")(-_BELOW_ZERO * high, high)


def dot_rows(
    axis: Axes,
    table: pd.DataFrame,
    row: str,
    series: str,
    estimate: str = "estimate",
) -> None:
    """Rows of dots: a row for each value of ``row``, in it a dot for each value of ``series``.

    They stand in the order of their categories, or else of the table; no legend is drawn.
    """
    names, kinds = in_order(table, row), in_order(table, series)
    place = {name: at for at, name in enumerate(names)}
    shift = np.linspace(-_SPREAD / 2, _SPREAD / 2, len(kinds)) if len(kinds) > 1 else [0.0]
    for number, kind in enumerate(kinds):
        part = table[table[series] == kind]
        at = np.array([place[name] for name in part[row]], dtype=np.float64) + shift[number]
        dots(axis, at, part, estimate, number, named(series).label(kind), upright=False)
    axis.set_yticks(range(len(names)), [named(row).wording(name) for name in names])
    for border in range(1, len(names)):
        axis.axhline(border - 0.5, color="0.85", linewidth=0.6, zorder=0)
    axis.set_ylim(len(names) - 0.5, -0.5)
    from_zero(axis, "x")
    axis.grid(axis="x", color="0.9", linewidth=0.6)
    axis.set_axisbelow(True)


def row_figure(
    table: pd.DataFrame,
    row: str,
    series: str,
    label: str,
    title: str,
    what: str = "doubles",
    row_label: str = "",
) -> Figure:
    """A whole figure of :func:`dot_rows`; ``what`` the deals of the table are."""
    figure, axis = canvas(0.38 * table[row].nunique() + 1.5)
    dot_rows(axis, table, row, series)
    axis.set_xlabel(label)
    axis.set_ylabel(row_label)
    axis.set_title(title)
    legend_above(axis, columns=4)
    counted(figure, f"{table['deals'].sum():,} {what}", empty_places(row, series, table))
    return figure


def in_order(table: pd.DataFrame, column: str) -> list[object]:
    """The names or numbers that came up, in the order of their categories or of the table."""
    found = list(dict.fromkeys(table[column]))
    kind = table[column].dtype
    order = kind.categories if isinstance(kind, pd.CategoricalDtype) else found
    return [name for name in order if name in found]


def curves(axis: Axes, table: pd.DataFrame, along: str, series: str) -> None:
    """Shares along a column of whole numbers, a joined line of dots for each value of ``series``.

    Where a number did not come up there is no dot, and the line goes on to the next.
    """
    for number, kind in enumerate(in_order(table, series)):
        part = table[table[series] == kind]
        at = part[along].to_numpy(dtype=np.float64)
        dots(axis, at, part, series=number, label=named(series).label(kind), joined=True)
    from_zero(axis, "y")
    axis.grid(axis="y", color="0.9", linewidth=0.6)


def peaks_text(table: pd.DataFrame, along: str, series: str) -> str:
    """Where each curve is highest, for alternative text."""
    parts = []
    for kind, part in table.groupby(series, observed=True):
        top = part.sort_values("estimate", kind="stable").to_dict("records")[-1]
        parts.append(f"{named(series).label(kind)} highest at {top[along]} ({top['estimate']:.1%})")
    return "; ".join(parts)


def rows_text(table: pd.DataFrame, row: str, series: str, top: int = 3) -> str:
    """The highest rows of each series in words, for alternative text: level 1: pass 23%, ..."""
    parts = []
    for kind, part in table.groupby(series, observed=True):
        highest = part.sort_values("estimate", ascending=False, kind="stable").head(top)
        text = ", ".join(
            f"{named(row).of(r)} {r['estimate']:.1%}" for r in highest.to_dict("records")
        )
        parts.append(f"{named(series).label(kind)}: {text}")
    return "; ".join(parts)
