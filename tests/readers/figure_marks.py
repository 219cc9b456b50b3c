"""What a figure shows, read back from its artists as an eye would: marks by panel, series and place.

A *mark* is keyed by its panel, its series by the legend, and the place by the label of the nearest tick
(or the number there); it has a value and the two ends of its whisker, in the units of the axis.
"""

import re
from collections import defaultdict
from collections.abc import Iterator

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection, PolyCollection, QuadMesh
from matplotlib.container import ErrorbarContainer
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Annotation
from matplotlib.ticker import FixedFormatter, FuncFormatter
from numpy.typing import NDArray

Marks = dict[tuple[object, ...], tuple[float, ...]]

ROUNDING = 1e-9
"""Drawing adds and takes away what it draws: so far apart may a double be after that."""


def assert_same(read: Marks, expected: Marks) -> None:
    """The marks that a figure shows are those, no more and no fewer, with the same values."""
    assert set(read) == set(expected)
    assert expected, "a figure without marks shows nothing"
    for key, values in expected.items():
        assert read[key] == pytest.approx(values, rel=ROUNDING, abs=ROUNDING), key


def dots(figure: Figure) -> Marks:
    """Every mark that has a whisker: value and the whisker's ends."""
    found: Marks = {}
    for panel, axes in enumerate(figure.axes):
        for container in whiskered(axes):
            line, _, (whiskers,) = container.lines
            if line is None:
                continue  # whiskers of bars
            value = 1 if container.has_yerr else 0
            places = np.asarray(line.get_xydata(), dtype=float)
            places = places[np.isfinite(places).all(axis=1)]
            ends = [segment for segment in whiskers.get_segments() if len(segment)]
            for at, segment in zip(places, ends, strict=True):
                key = (panel, _series(figure, line), _place(axes, at[1 - value], 1 - value))
                assert key not in found, f"two marks at {key}"
                assert segment[:, 1 - value] == pytest.approx([at[1 - value]] * 2)
                found[key] = (at[value], *segment[:, value])
    return found


def whiskered(axes: Axes) -> list[ErrorbarContainer]:
    return [each for each in axes.containers if isinstance(each, ErrorbarContainer)]


def value_axis(axes: Axes, drawn: Line2D | LineCollection) -> int:
    """Along which axis marks or whiskers have their value: 0 for x, 1 for y."""
    for container in whiskered(axes):
        line, _, bars = container.lines
        if drawn is line or drawn in bars:
            return 1 if container.has_yerr else 0
    return 0 if _in_rows(axes) else 1


def _series(figure: Figure, line: Line2D) -> str:
    """What the legend calls marks of this form and colour; nothing if it does not have them."""
    named = {}
    for axes in figure.axes:
        handles, labels = axes.get_legend_handles_labels()
        for handle, label in zip(handles, labels, strict=True):
            mark = handle.lines[0] if isinstance(handle, ErrorbarContainer) else handle
            if isinstance(mark, Line2D):
                named[mark.get_marker(), mark.get_color()] = label
    legends = [*figure.legends, *filter(None, (axes.get_legend() for axes in figure.axes))]
    texts = [text.get_text() for legend in legends for text in legend.get_texts()]
    label = named.get((line.get_marker(), line.get_color()), "")
    assert not label or label in texts
    return label


def _place(axes: Axes, at: float, along: int) -> str:
    axis = (axes.xaxis, axes.yaxis)[along]
    if not isinstance(axis.get_major_formatter(), FixedFormatter | FuncFormatter):
        return f"{round(at)}"
    ticks = axis.get_majorticklocs()
    nearest = int(np.abs(ticks - at).argmin())
    assert abs(ticks[nearest] - at) < 0.5
    return " ".join(str(axis.get_major_formatter()(ticks[nearest], nearest)).split())


def numbers(figure: Figure) -> list[tuple[float, float]]:
    """Every number that stands beside a mark, with half of its last digit, and the mark's value.

    Which mark that is: the annotation's own point, at the value or at the whisker's high end.
    """
    marks = [
        (panel, np.asarray(at), value, container)
        for panel, axes in enumerate(figure.axes)
        for container in whiskered(axes)
        for value in [1 if container.has_yerr else 0]
        for at in np.asarray(container.lines[0].get_xydata())
    ]
    found = []
    for panel, axes in enumerate(figure.axes):
        for text in axes.texts:
            assert isinstance(text, Annotation)
            beside = [
                at[value]
                for its, at, value, _ in marks
                if its == panel
                and np.isclose(at[1 - value], text.xy[1 - value])
                and at[value] <= text.xy[value] * (1 + ROUNDING)
            ]
            number = re.fullmatch(r"([\d,]+(?:\.(\d+))?)%?", text.get_text())
            if number and beside:
                off = float(number[1].replace(",", "")) - max(beside)
                found.append((off, 0.5 * 10.0 ** -len(number[2] or "")))
    return found


def bars(figure: Figure) -> Marks:
    """Bars, and whiskers on bars, by panel and place."""
    found: Marks = {}
    for panel, axes in enumerate(figure.axes):
        along = int(_in_rows(axes))
        for patch in _rectangles(axes):
            start, length = (
                (patch.get_y(), patch.get_height()),
                (patch.get_x(), patch.get_width()),
            )[along]
            middle = (patch.get_x() + patch.get_width() / 2, patch.get_y() + patch.get_height() / 2)
            assert start == 0, "a bar that does not stand on 0 misleads"
            found[panel, "bar", _place(axes, middle[along], along)] = (length,)
        for container in whiskered(axes):
            for segment in container.lines[2][0].get_segments():
                key = (panel, "whisker", _place(axes, segment[0, along], along))
                found[key] = tuple(segment[:, 1 - along])
    return found


def _in_rows(axes: Axes) -> bool:
    return isinstance(axes.yaxis.get_major_formatter(), FixedFormatter | FuncFormatter)


def _rectangles(axes: Axes) -> list[Rectangle]:
    return [patch for patch in axes.patches if isinstance(patch, Rectangle)]


def lines(figure: Figure) -> Marks:
    """Marks without whiskers of their own, by panel, series and place on the rows or columns."""
    found: Marks = {}
    for panel, axes in enumerate(figure.axes):
        own = {id(each.lines[0]) for each in whiskered(axes)}
        along = int(_in_rows(axes))
        for line in axes.lines:
            if id(line) in own or line.get_marker() in ("None", "", "|", "_"):
                continue
            for at in np.asarray(line.get_xydata(), dtype=float):
                key = (panel, _series(figure, line), _place(axes, at[along], along))
                found[key] = (at[1 - along],)
    return found


def steps(figure: Figure) -> Marks:
    """Level lines by the number that they stand over."""
    axes = figure.axes[0]
    own = {id(bar) for each in whiskered(axes) for bar in each.lines[2]}
    return {
        (0, each.get_label(), f"{round(float(segment[:, 0].mean()))}"): (
            segment[0, 1],
            segment[1, 1],
        )
        for each in axes.collections
        if isinstance(each, LineCollection) and id(each) not in own
        for segment in each.get_segments()
    }


def ordered(figure: Figure) -> Marks:
    """The marks of one line in the order drawn: where they stand."""
    (line,) = (line for line in figure.axes[0].lines if line.get_marker() not in ("None", ""))
    places = np.asarray(line.get_xydata(), dtype=float)
    return {(order,): tuple(at) for order, at in enumerate(places)}


def cells(figure: Figure) -> Marks:
    """The cells of heat maps by panel, row and column: the colour's value, the number, its half width."""
    found: Marks = {}
    for panel, axes in enumerate(figure.axes):
        (mesh,) = (each for each in axes.collections if isinstance(each, QuadMesh))
        values: NDArray[np.float64] = np.ma.filled(np.ma.asarray(mesh.get_array()), np.nan)
        for text in axes.texts:
            x, y = text.get_position()
            number, half = map(float, text.get_text().split("\n±"))
            key = (panel, _place(axes, y, 1), _place(axes, x, 0))
            found[key] = (values[int(y), int(x)], number, half)
        assert np.isfinite(values).sum() == len(axes.texts)
    return found


def blocks(figure: Figure) -> Marks:
    """The blocks of a flow from the top down, by column and order."""
    columns: dict[int, list[Rectangle]] = defaultdict(list)
    for patch in _rectangles(figure.axes[0]):
        columns[round(patch.get_x() + patch.get_width() / 2)].append(patch)
    return {
        (column, order): (patch.get_height(),)
        for column, patches in columns.items()
        for order, patch in enumerate(sorted(patches, key=Rectangle.get_y))
    }


def named_blocks(figure: Figure) -> Iterator[tuple[str, float, float]]:
    """The names in a flow, each with the share that it says and the share of the block beside it."""
    axes = figure.axes[0]
    for text in axes.texts:
        assert isinstance(text, Annotation)
        name, share = text.get_text().rsplit("  ", 1)
        x, y = text.xy
        (block,) = (
            patch
            for patch in _rectangles(axes)
            if abs(patch.get_x() + patch.get_width() / 2 - x) < 0.5
            and patch.get_y() < y < patch.get_y() + patch.get_height()
        )
        yield name, float(share.rstrip("%")) / 100, block.get_height()


def bands(figure: Figure) -> dict[int, list[float]]:
    """The bands of a flow by the column that they leave: how broad each is, the narrowest first."""
    found = defaultdict(list)
    for band in figure.axes[0].collections:
        assert isinstance(band, PolyCollection)
        for path in band.get_paths():
            vertices = np.asarray(path.vertices)
            edge = vertices[np.isclose(vertices[:, 0], vertices[:, 0].min())]
            found[int(edge[0, 0])].append(float(np.ptp(edge[:, 1])))
    return {column: sorted(widths) for column, widths in found.items()}
