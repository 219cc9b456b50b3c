"""What captions say: what was counted, its intervals, marks that are missing, axes not from zero.

All of it is read off the table or the figure as drawn, so that no caption promises what cannot be seen.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.container import ErrorbarContainer
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from numpy.typing import NDArray

from double_study.stats import CONFIDENCE
from double_study.telling.figures.style import caption

WILSON = "Wilson"
_POINTS_PER_INCH = 72
_TRIANGLES = ("^", "v")
"""Markers that are half as wide at their middle, where the whisker is."""
_OFF_ZERO = "{axis} begins at {low:g}, not at 0."


def intervals(method: str = WILSON, noun: str = "intervals") -> str:
    """What the intervals of a figure are, and by which method."""
    return f"{CONFIDENCE:.0%} {noun} ({method}, pointwise)"


def counted(figure: Figure, n: str, *more: str, method: str = WILSON) -> None:
    """Write the caption of a figure with whiskers: ``n``, the intervals, and ``more`` sentences.

    ``method`` is what the intervals are by. Call it last: whether whiskers reach out of their marks is
    seen only when the figure is laid out.
    """
    shown = f"Whiskers: {intervals(method)}"
    partly = f"{shown}; a mark without them is wider than its interval."

    def write(said: str) -> None:
        caption(figure, " ".join([f"n = {n}.", said, *(text for text in more if text)]))

    # The longest goes first, so that the figure is measured with the room that a caption leaves.
    write(partly)
    figure.draw_without_rendering()
    seen = list(_seen(figure))
    if not seen:
        write("There is nothing to draw.")
    elif all(seen):
        write(f"{shown}.")
    elif not any(seen):
        write(f"Every mark is wider than its {intervals(method, 'interval')}.")


def _seen(figure: Figure) -> Iterator[bool]:
    """Of every whisker, whether it reaches out of its mark."""
    for axes in figure.axes:
        for container in axes.containers:
            if isinstance(container, ErrorbarContainer):
                yield from whiskers_seen(axes, container, figure.dpi)


def whiskers_seen(axes: Axes, drawn: ErrorbarContainer, dpi: float) -> list[bool]:
    """Whether each whisker of a row of marks reaches out of its mark, on either side."""
    marks, _, bars = drawn.lines
    half = (marks.get_markersize() + marks.get_markeredgewidth()) / 2 * dpi / _POINTS_PER_INCH
    if marks.get_marker() in _TRIANGLES:
        half /= 2
    seen = []
    ends: list[NDArray[np.float64]] = [np.asarray(ends) for ends in bars[0].get_segments()]
    for mark, whisker in zip(_drawn(marks), [each for each in ends if len(each)], strict=True):
        reach = axes.transData.transform(whisker) - axes.transData.transform(mark)
        seen.append(bool(np.abs(reach).max() > half))
    return seen


def _drawn(marks: Line2D) -> NDArray[np.float64]:
    """Where the marks stand; a value that is missing has neither mark nor whisker."""
    places = np.asarray(marks.get_xydata(), dtype=np.float64)
    return places[np.isfinite(places).all(axis=1)]


def empty_places(row: str, series: str, *panels: pd.DataFrame) -> str:
    """Why marks are missing, where a row of some panel does not have one of every series."""
    drawn = pd.concat(panels)
    places = len(panels) * drawn[row].nunique() * drawn[series].nunique()
    return "No mark: no such deal came up." if len(drawn) < places else ""


def off_zero(axes: Axes, along: str, name: str) -> str:
    """Where an axis, ``"x"`` or ``"y"``, begins, if that is above 0; it then begins at a whole number."""
    low, high = getattr(axes, f"get_{along}lim")()
    if low <= 0:
        return ""
    low = np.floor(low)
    getattr(axes, f"set_{along}lim")(low, high)
    return _OFF_ZERO.format(axis=name, low=low) if low else ""
