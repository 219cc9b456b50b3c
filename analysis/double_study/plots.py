"""Draw the figures of the study and show them in notebooks.

Figures are narrow, so that their text is legible on a telephone and in print. Nothing is shown by
colour alone: values and names are written beside the marks.

References
----------
.. [1] M. Okabe and K. Ito, "Color Universal Design: how to make figures and presentations that
       are friendly to colorblind people" (2002, revised 2008).
"""

import base64
from collections.abc import Sequence
from io import BytesIO
from textwrap import wrap
from typing import Any

import numpy as np
import pandas as pd
import seaborn as sns
from IPython.display import display
from matplotlib import rc_context, rcdefaults
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from numpy.typing import NDArray

from double_study.columns import COLUMNS, Column, label_of, named
from double_study.errors import InputError
from double_study.numbers_in_words import decimals

COLOURS = ("#0072B2", "#E69F00", "#009E73", "#D55E00", "#56B4E9", "#CC79A7", "#000000")
"""The colours of [1]_ without yellow, which is lost on white paper."""

WIDTH = 4.8
"""Inches. Shown 360 pixels wide, a point is a pixel, so 9-point text stays legible."""
DOTS_PER_INCH = 200
SCREEN_DOTS_PER_INCH = 120
_LABEL, _TITLE = 26, 56
"""Letters in a line of a label, and of a title."""
_BAR = 0.33
"""Inches of height for a bar."""

_LOOK = {
    "font.family": "DejaVu Sans",  # comes with matplotlib and has the suit symbols
    "font.size": 9,
    "axes.titlelocation": "left",
    "axes.titlesize": 9,
    "axes.labelsize": 9,
    "xtick.labelsize": 9,
    "ytick.labelsize": 9,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "text.parse_math": False,  # a dollar sign in a name begins no formula
}


def figure(height: float, rows: int = 1, columns: int = 1, **shared: Any) -> tuple[Figure, Any]:
    """Return a new figure of the study's width, ``height`` inches high, and its axes.

    ``rows``, ``columns`` and ``shared`` are as for ``Figure.subplots``, and the axes are what it
    returns. The figure is not registered with pyplot, so a notebook shows it only by :func:`show`.
    """
    rcdefaults()  # whatever the user's own settings of matplotlib are
    sns.set_theme(style="ticks", palette=COLOURS, rc=_LOOK)
    drawn = Figure(figsize=(WIDTH, height), layout="constrained")
    return drawn, drawn.subplots(rows, columns, **shared)


def fill(text: str, width: int) -> str:
    """Break a text into as few lines of ``width`` letters as possible, of similar length."""
    fewest = wrap(text, width, break_on_hyphens=False)
    for narrower in range(width - 1, 0, -1):
        lines = wrap(text, narrower, break_on_hyphens=False, break_long_words=False)
        if len(lines) > len(fewest):
            break
        fewest = lines
    return "\n".join(fewest)


def titled(drawn: Figure, finding: str, note: str) -> None:
    """Put the finding above a figure and ``note``, what was counted, below it."""
    drawn.suptitle(fill(finding, _TITLE), x=0.01, ha="left", fontsize=10, fontweight="bold")
    drawn.supxlabel(fill(note, _TITLE + 8), x=0.01, ha="left", fontsize=8, color="0.3")


# --- the kinds of figures ---


def bars(axis: Axes, table: pd.DataFrame, key: str, estimate: str) -> None:
    """Draw a bar for each row of ``table``, from the top, with its value and its 95% interval."""
    column = named(estimate)
    value, at = column.scale * table[estimate].to_numpy(dtype=np.float64), np.arange(len(table))
    axis.barh(at, value, color=COLOURS[0], height=0.7)
    low, high = value, value
    if column.limits and set(column.limits) <= set(table):
        below, above = whiskers = reach(table, column)
        axis.errorbar(value, at, xerr=whiskers, fmt="none", ecolor="black", capsize=2, linewidth=1)
        low, high = value - below, value + above
    for place, row in enumerate(table.to_dict("records")):
        left = value[place] < 0
        axis.annotate(
            value_text(column, row),
            ((low if left else high)[place], place),
            xytext=(-4 if left else 4, 0),
            textcoords="offset points",
            va="center",
            ha="right" if left else "left",
            # A white background, so that a line across the figure stops at a number.
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1},
        )
    axis.set_yticks(at, [fill(label_of(key, name), _LABEL) for name in table[key]])
    axis.set_ylim(max(len(table), 1) - 0.5, -0.5)
    least, most = float(np.nanmin(low, initial=0)), float(np.nanmax(high, initial=0))
    room = 0.3 * (most - least)  # for the numbers
    axis.set_xlim(least - room * (least < 0), most + room or 1)
    axis.tick_params(length=0)
    axis.set_xticks([])
    axis.spines["bottom"].set_visible(False)
    if least < 0:
        axis.axvline(0, color="black", linewidth=0.8)
        axis.spines["left"].set_visible(False)


def bar_figure(
    table: pd.DataFrame, key: str, estimate: str = "estimate", panels: str = ""
) -> Figure:
    """Return a figure of :func:`bars`; with ``panels`` one above another for each value of a column.

    Every panel has its rows in the order of the table, and all have one scale.
    """
    parts = [(name, part) for name, part in table.groupby(panels, observed=True)] if panels else []
    parts = [(name, part) for name, part in parts if len(part)] or [("", table)]
    lines = max((fill(label_of(key, name), _LABEL).count("\n") for name in table[key]), default=0)
    heights = [max(len(part), 1) for _, part in parts]
    height = (_BAR + 0.14 * lines) * sum(heights) + 0.35 * len(parts) * bool(panels) + 0.75
    drawn, axes = figure(height, rows=len(parts), squeeze=False, height_ratios=heights)
    for axis, (name, part) in zip(axes[:, 0], parts, strict=True):
        bars(axis, part, key, estimate)
        if panels:
            axis.set_title(label_of(panels, name))
    limits = [axis.get_xlim() for axis in axes[:, 0]]
    for axis in axes[:, 0]:
        axis.set_xlim(min(low for low, _ in limits), max(high for _, high in limits))
    return drawn


def heat(axis: Axes, table: pd.DataFrame, estimate: str, scale: float) -> None:
    """Draw ``scale`` times ``estimate`` by overcall (downwards) and opening, the numbers in the cells."""
    grid = scale * table.pivot(index="overcall", columns="opening", values=estimate)
    rows, columns = (
        [n for n in COLUMNS[key].names if n in set(table[key])] for key in ("overcall", "opening")
    )
    grid = grid.reindex(index=rows, columns=columns)
    sns.heatmap(
        grid.astype(float),
        # The darkest cell stays light enough for black numbers.
        vmin=0,
        vmax=1.6 * float(np.nanmax(grid.to_numpy(dtype=float), initial=0)) or 1,
        cmap=sns.light_palette(COLOURS[0], as_cmap=True),
        annot=True,
        fmt=".1f",
        annot_kws={"color": "black", "fontsize": 9},
        linewidths=0.5,
        cbar=False,
        xticklabels=[COLUMNS["opening"].wording(name) for name in grid],
        yticklabels=[COLUMNS["overcall"].wording(name) for name in grid.index],
        ax=axis,
    )
    axis.tick_params(length=0, labelrotation=0)


def flow(table: pd.DataFrame, left: str, right: str) -> Figure:
    """Return a figure of how the deals of ``left``'s values go on to those of ``right``.

    Blocks are as high as their share of all deals, and each has its name and share beside it; a band
    joins two blocks. The label of a narrow block is moved down, clear of the label above.
    """
    drawn, axis = figure(4.2)
    total = table["deals"].sum()
    spots: dict[str, dict[Any, float]] = {}
    for x, key, side in ((0.2, left, "right"), (0.52, right, "left")):
        sizes = table.groupby(key, observed=True)["deals"].sum() / total
        top, label_at, spots[key] = 1.0, 2.0, {}
        for number, (name, size) in enumerate(sizes[sizes > 0].items()):
            colour = COLOURS[number % 6] if key == left else "0.45"
            axis.bar(x, size, bottom=top - size, width=0.02, color=colour)
            label_at = min(top - size / 2, label_at - 0.085)
            axis.text(
                x + (-0.02 if side == "right" else 0.02),
                label_at,
                fill(f"{label_of(key, name)} {size:.1%}", 14 if side == "right" else 32),
                ha=side,
                va="center",
                linespacing=0.95,
            )
            spots[key][name] = top
            top -= size + 0.02
    for number, name in enumerate(spots[left]):
        for ending in spots[right]:
            deals = table.loc[(table[left] == name) & (table[right] == ending), "deals"].sum()
            if deals:
                size = deals / total
                ends = (spots[left][name], spots[right][ending])
                axis.add_patch(_band(0.21, 0.51, ends, size, COLOURS[number % 6]))
                spots[left][name] -= size
                spots[right][ending] -= size
    axis.set_xlim(0, 1)
    axis.set_axis_off()
    return drawn


def _band(start: float, end: float, tops: tuple[float, float], size: float, colour: str) -> Any:
    middle, (first, last) = (start + end) / 2, tops
    across = [start, middle, middle, end, end, middle, middle, start, start]
    down = np.repeat([first, last, last - size, first - size, first], [2, 2, 2, 2, 1])
    points = np.column_stack([across, down])
    moves = [Path.MOVETO, *[Path.CURVE4] * 3, Path.LINETO, *[Path.CURVE4] * 3, Path.CLOSEPOLY]
    return PathPatch(Path(points, moves), facecolor=colour, alpha=0.35, linewidth=0)


# --- words ---


def reach(table: pd.DataFrame, column: Column) -> NDArray[np.float64]:
    """Return the lengths of the intervals below and above their estimates; shape (2, rows)."""
    middle, low, high = (table[name].to_numpy(dtype=np.float64) for name in column.columns)
    # Rounding may put a limit just beyond its estimate; a missing limit has no whisker.
    return column.scale * np.maximum(np.nan_to_num(np.stack([middle - low, high - middle])), 0)


def value_text(column: Column, row: Any) -> str:
    """Return an estimate as a figure writes it: no more decimals than its interval supports, two at most."""
    value = column.scale * row[column.name]
    if not np.isfinite(value):
        return ""
    places = 1
    if column.limits and set(column.limits) <= set(row):
        low, high = (column.scale * row[name] for name in column.limits)
        places = min(decimals(0, high - low), 1 if column.scale == 100 else 2)
    sign, end = ("+", "") if column.difference else ("", "%" if column.scale == 100 else "")
    return f"{round(value, places) + 0.0:{sign},.{places}f}{end}"  # no negative zero


def alt(
    what: str, table: pd.DataFrame, keys: str | Sequence[str], estimate: str = "estimate"
) -> str:
    """Return alternative text: ``what`` the figure is, and the value of every row."""
    by = [keys] if isinstance(keys, str) else list(keys)
    rows = [
        f"{', '.join(label_of(key, row[key]) for key in by)} {value_text(named(estimate), row)}"
        for row in table.to_dict("records")
    ]
    return f"{what}: {'; '.join(rows)}." if rows else f"{what}: there is nothing to show."


# --- showing ---


def show(drawn: Figure, alt: str) -> None:
    """Display a figure in a notebook with ``alt``, its alternative text.

    The notebook gets a bitmap (PNG) and a vector picture (SVG), and the reports contain both. Raises
    :class:`InputError` for a figure without alternative text.
    """
    alt = " ".join(alt.split())
    if not alt:
        raise InputError("a figure needs alternative text: what it shows, in a sentence")
    svg, png = picture(drawn, "svg").decode(), base64.b64encode(picture(drawn, "png")).decode()
    data = {"image/svg+xml": svg, "image/png": png, "text/plain": alt}
    size = {"width": int(WIDTH * SCREEN_DOTS_PER_INCH)}
    metadata = {"image/svg+xml": {"alt": alt}, "image/png": {"alt": alt} | size}
    display(data, metadata=metadata, raw=True)


def picture(drawn: Figure, form: str) -> bytes:
    """Return a figure as the bytes of a ``"png"`` or ``"svg"`` file; the same bytes on every run."""
    left_out = {"png": {"Software": None}, "svg": {"Date": None, "Creator": None}}
    file = BytesIO()
    with rc_context({"svg.hashsalt": "double-study"}):
        drawn.savefig(file, format=form, dpi=DOTS_PER_INCH, metadata=left_out[form])
    return file.getvalue()
