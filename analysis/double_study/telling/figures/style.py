"""How every figure looks, and how a notebook shows one.

Nothing is told by colour alone: each colour has a marker and a hatch beside it, taken by the same
position, and figures are legible when printed in grey.

References
----------
.. [1] M. Okabe and K. Ito, "Color Universal Design: how to make figures and presentations that
       are friendly to colorblind people" (2002, revised 2008).
"""

from __future__ import annotations

import base64
from io import BytesIO
from textwrap import fill
from typing import Any

import seaborn as sns
from IPython.display import DisplayHandle
from matplotlib import rc_context, rcdefaults
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from double_study.errors import InputError

COLOURS = ("#0072B2", "#E69F00", "#009E73", "#D55E00", "#56B4E9", "#CC79A7", "#000000")
"""The colours of [1]_ without yellow, which is lost on white paper."""

MARKERS = ("o", "s", "^", "D", "v", "P", "X")
HATCHES = ("", "//", "..", "xx", "--", "oo", "++")

HEAT = sns.light_palette(COLOURS[0], as_cmap=True)
"""Colours of a heat map, light (low) to dark (high), so that they keep their order in grey."""

WIDTH = 6.7
"""Inches: the text width of an A4 page."""
DOTS_PER_INCH = 200
SCREEN_DOTS_PER_INCH = 100
_CAPTION_LINE = 102
"""Letters in a line of a caption, as many as the width takes."""

_LOOK = {
    "font.family": "DejaVu Sans",  # comes with matplotlib and has the suit symbols
    "axes.titlelocation": "left",
    "axes.titlesize": "medium",
    "axes.titleweight": "bold",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "hatch.linewidth": 0.6,
    "legend.frameon": False,
    "text.parse_math": False,  # a dollar sign in a name begins no formula
}


def canvas(
    height: float = 4.0, rows: int = 1, columns: int = 1, **shared: Any
) -> tuple[Figure, Any]:
    """A new figure of the page's width in the study's look, and its axes.

    Parameters
    ----------
    height
        Inches.
    rows, columns, shared
        As for ``Figure.subplots``, which also says what the axes come as.

    The figure is not known to pyplot, so a notebook shows it only where :func:`show` is called.
    """
    rcdefaults()  # whatever the user's own settings of matplotlib are
    sns.set_theme(style="ticks", palette=COLOURS, font_scale=0.85, rc=_LOOK)
    figure = Figure(figsize=(WIDTH, height), layout="constrained")
    return figure, figure.subplots(rows, columns, **shared)


def caption(figure: Figure, text: str) -> None:
    """Write the caption under everything else: n, and what the interval is."""
    figure.supxlabel(fill(text, _CAPTION_LINE), x=0.01, ha="left", fontsize="small", color="0.25")


def legend_above(axes: Axes, columns: int, title: str | None = None) -> None:
    """Put the legend of ``axes`` above everything else, where it hides no data."""
    handles, labels = axes.get_legend_handles_labels()
    if (old := axes.get_legend()) is not None:
        old.remove()
    figure = axes.get_figure(root=True)
    if figure is not None:
        figure.legend(handles, labels, loc="outside upper left", ncols=columns, title=title)


def show(figure: Figure, alt: str) -> None:
    """Display ``figure`` in a notebook with ``alt``, its alternative text.

    Both a picture in dots (PNG) and one in lines (SVG) are handed to the notebook; the reports
    keep both. Raises :class:`InputError` for a figure without alternative text.
    """
    show_for_now(figure, alt)


def show_for_now(figure: Figure, alt: str) -> DisplayHandle:
    """As :func:`show`, with a handle for :func:`show_instead`."""
    handle = DisplayHandle()
    pictures, metadata = _pictures(figure, alt)
    handle.display(pictures, metadata=metadata, raw=True)
    return handle


def show_instead(handle: DisplayHandle, figure: Figure, alt: str) -> None:
    """Put another figure where :func:`show_for_now` displayed one."""
    pictures, metadata = _pictures(figure, alt)
    handle.update(pictures, metadata=metadata, raw=True)


def _pictures(figure: Figure, alt: str) -> tuple[dict[str, str], dict[str, dict[str, Any]]]:
    """The figure in all forms, and its metadata."""
    alt = " ".join(alt.split())
    if not alt:
        raise InputError("a figure needs alternative text: what it shows, in a sentence")
    metadata = {"alt": alt}
    return {
        "image/svg+xml": picture(figure, "svg").decode(),
        "image/png": base64.b64encode(picture(figure, "png")).decode(),
        "text/plain": alt,
    }, {
        "image/svg+xml": metadata,
        "image/png": metadata | {"width": int(WIDTH * SCREEN_DOTS_PER_INCH)},
    }


def picture(figure: Figure, form: str) -> bytes:
    """``figure`` as the bytes of a ``"png"`` or ``"svg"`` file; the same bytes on every run."""
    left_out = {"png": {"Software": None}, "svg": {"Date": None, "Creator": None}}
    file = BytesIO()
    with rc_context({"svg.hashsalt": "double-study"}):
        figure.savefig(file, format=form, dpi=DOTS_PER_INCH, metadata=left_out[form])
    return file.getvalue()
