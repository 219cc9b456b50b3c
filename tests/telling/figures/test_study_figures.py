"""The figures of the study: nothing cut, nothing overlapping, n and interval said, words beside.

Fitting on a picture cannot be compared with an outside value; the sizes are those that matplotlib
draws with. About ten seconds.
"""

import re
from functools import cache
from itertools import combinations
from typing import Any

import matplotlib as mpl
import matplotlib.text
import numpy as np
import pytest
from double_study.telling.figures import agreements
from double_study.telling.figures.style import COLOURS, HATCHES, MARKERS, canvas, picture
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox
from numpy.typing import NDArray
from shared.study_figures import FIGURES, drawn

WITHOUT_DOUBLES = ("funnel", "heat map", "levels", "seats", "spade lengths", "calls", "penalties")
"""The figures that a run without doubles can still show."""

BY_MESSAGE = ("until met", "ranking", "pitfalls", "patterns", "opener lengths", "answers")
"""The figures that change with what the double may promise."""

WITHOUT_INTERVALS = ("z",)
"""A z is what its own interval is compared with."""

SEVERAL = {
    "funnel": 4,
    "points": 3,
    "values": 3,
    "patterns": 4,
    "lengths": 3,
    "opener lengths": 4,
    "answers": 4,
    "fits": 3,
    "final contracts": 3,
    "spade lengths": 2,
    "over trumps": 3,
    "calls": 3,
    "penalties": 2,
    "ways": 2,
    "advancer": 3,
    "trumps": 3,
    "ends of penalties": 3,
    "quoted": 4,
    "settings": 2,
    "until met": 5,
    "odds": 2,
    "explorer": 3,
    "heat map": 0,
}
"""Series that stand in one panel; in the other figures a panel has one, and cells are not series."""

every_figure = pytest.mark.parametrize("name", FIGURES)
TOUCHING = 1.0  # pixels by which boxes of glyphs may meet before a reader sees it


def boxes(figure: Figure) -> list[tuple[str, Bbox]]:
    """Every text that shows, with the box it is drawn in."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    figure.draw(renderer)
    # Ticks beyond the ends of an axis have labels too, which are not drawn.
    beyond = {
        id(label)
        for axes in figure.axes
        for axis in (axes.xaxis, axes.yaxis)
        for tick in (*axis.get_major_ticks(), *axis.get_minor_ticks())
        for label in (tick.label1, tick.label2)
        if not min(axis.get_view_interval()) <= tick.get_loc() <= max(axis.get_view_interval())
    }
    return [
        (text.get_text(), text.get_window_extent(renderer))
        for text in figure.findobj(matplotlib.text.Text)
        if text.get_visible() and text.get_text().strip() and id(text) not in beyond
    ]


@cache
def finished(name: str, agreement: str) -> tuple[Figure, str, list[tuple[str, Bbox]]]:
    """A figure, its alternative text, and its texts with their boxes."""
    table, figure = drawn(name, agreement)
    return figure, FIGURES[name].alt(table), boxes(figure)


@pytest.mark.parametrize(
    ("name", "agreement"),
    [
        *((name, "reference") for name in FIGURES),
        *((name, "one major will do") for name in BY_MESSAGE),
        *((name, "not played") for name in WITHOUT_DOUBLES),
    ],
)
def test_no_text_is_cut_or_overlaps_another(name: str, agreement: str) -> None:
    figure, alt, texts = finished(name, agreement)
    assert "nan" not in alt
    page = figure.bbox.padded(TOUCHING)
    for text, box in texts:
        assert page.containsx(box.x0), f"{text!r} is cut on the left"
        assert page.containsx(box.x1), f"{text!r} is cut on the right"
        assert page.containsy(box.y0), f"{text!r} is cut below"
        assert page.containsy(box.y1), f"{text!r} is cut above"
    for (one, box), (other, another) in combinations(texts, 2):
        apart = not box.padded(-TOUCHING).overlaps(another.padded(-TOUCHING))
        assert apart, f"{one!r} and {other!r} overlap"


@every_figure
def test_a_figure_says_n_its_interval_and_its_axes(name: str) -> None:
    figure, alt, texts = finished(name, "reference")
    said = " ".join(text for text, _ in texts)
    assert re.search(r"n = [\d,]+ \w+", said)
    assert ("95% interval" in said.replace("\n", " ")) is (name not in WITHOUT_INTERVALS)
    assert re.search(r"\d", alt)
    assert all(
        axes.get_xlabel() or axes.get_ylabel() or axes.get_title("left") for axes in figure.axes
    )


def series_of(axes: Axes) -> list[tuple[int, object]]:
    """What tells series apart in a panel: the position of each colour, and its marker or hatch."""
    marks = {
        (to_hex(line.get_color()), line.get_marker())
        for line in axes.lines
        if line.get_marker() in MARKERS
    }
    filled = {
        (to_hex(each.get_facecolor()), each.get_hatch())
        for each in axes.patches
        if each.get_hatch() is not None
    }
    bands = {
        (to_hex(np.asarray(each.get_facecolor())[0]), each.get_hatch())
        for each in axes.collections
        if isinstance(each, PolyCollection)
    }
    colours = [to_hex(colour) for colour in COLOURS]
    return [(colours.index(colour), second) for colour, second in marks | filled | bands]


@every_figure
def test_series_are_told_apart_by_more_than_colour(name: str) -> None:
    figure, *_ = finished(name, "reference")
    found = [series_of(axes) for axes in figure.axes]
    assert max(map(len, found)) == SEVERAL.get(name, 1)
    for series in found:
        assert len({second for _, second in series}) == len(series)
        assert all(
            second in (MARKERS[position], HATCHES[position])
            for position, second in series
            if position < len(COLOURS) - 1
        )


def test_nothing_is_told_by_the_colour_of_a_cell_alone() -> None:
    # What the numbers in the cells are is compared with the table in test_marks.
    figure, *_ = finished("heat map", "reference")
    for axes in figure.axes:
        (mesh,) = axes.collections
        values: NDArray[np.float64] = np.ma.filled(np.ma.asarray(mesh.get_array()), np.nan)
        assert len(axes.texts) == np.isfinite(values).sum() > 0


def test_the_users_settings_of_matplotlib_change_no_picture() -> None:
    def drawn_anew() -> bytes:
        figure, axes = canvas()
        axes.plot([1, 2], [-1, 3], label="a line")
        axes.bar([1], [2], hatch=HATCHES[1])
        axes.legend()
        return picture(figure, "svg")

    usual = drawn_anew()
    own: Any = {"figure.facecolor": "red", "lines.linewidth": 9, "savefig.transparent": True}
    with mpl.rc_context(own | {"svg.fonttype": "none", "axes.unicode_minus": False}):
        assert drawn_anew() == usual


@pytest.mark.parametrize("name", ["$\\frac{$ ^_ $x$.toml", "an agreement with a long name " * 8])
def test_an_agreement_may_be_called_anything(name: str) -> None:
    table, _ = drawn("agreements", "reference")
    renamed = table.replace({"agreement": {table["agreement"].iloc[0]: name}})
    figure = agreements.differences(renamed)
    page = figure.bbox.padded(TOUCHING)
    assert all(page.containsx(box.x0) and page.containsx(box.x1) for _, box in boxes(figure))
    shown = figure.axes[0].get_xlabel().removeprefix("difference from ").partition(",\n")[0]
    assert name.startswith(shown.removesuffix("…"))
    assert f"from {shown} in" in agreements.differences_alt(renamed)
