"""Every figure shows its table: the marks are read back from the artists and compared with it.

That the comparison can fail is seen on each figure: with a value of the table changed after the
drawing, and with the marks, whiskers, bars or cells moved.
"""

import re
from collections.abc import Callable, Iterator
from functools import partial

import numpy as np
import pytest
from double_study.cards.bids import PASS
from double_study.columns import COLUMNS
from double_study.telling.figures.flow import LABELLED
from double_study.telling.figures.style import MARKERS
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection, QuadMesh
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from readers import figure_marks as read
from shared.study_figures import FIGURES, drawn

WRONG = 1.01
"""By what a value or a mark is multiplied where the comparison must notice it."""
TRIED = 5
"""Values of a column whose change must be noticed, if so many are drawn."""

every_figure = pytest.mark.parametrize("name", FIGURES)


@every_figure
def test_the_marks_are_those_of_the_table(name: str) -> None:
    table, figure = drawn(name)
    read.assert_same(FIGURES[name].read(figure), FIGURES[name].marks(table))


@pytest.mark.parametrize("agreement", ["one major will do", "through 1♠"])
@every_figure
def test_under_other_agreements_too(name: str, agreement: str) -> None:
    table, figure = drawn(name, agreement)
    read.assert_same(FIGURES[name].read(figure), FIGURES[name].marks(table))


@every_figure
def test_another_value_in_the_table_is_noticed(name: str) -> None:
    table, figure = drawn(name)
    shown = FIGURES[name].read(figure)
    for column in FIGURES[name].columns:
        noticed = 0
        for row in table.index[np.isfinite(table[column].astype(float)) & (table[column] != 0)]:
            other = table.copy()
            other.loc[row, column] = wrong(table.loc[row, column])
            try:
                read.assert_same(shown, FIGURES[name].marks(other))
            except AssertionError:
                noticed += 1
            if noticed == TRIED:
                break
        assert noticed, f"no other {column} is noticed"


def wrong(value: float) -> float:
    return value + 1 if isinstance(value, int | np.integer) else WRONG * value


@every_figure
def test_a_wrong_mark_is_noticed(name: str) -> None:
    table, figure = drawn(name)
    marks = FIGURES[name].marks(table)
    moved = 0
    for put_back in marks_moved(figure):
        with pytest.raises(AssertionError):
            read.assert_same(FIGURES[name].read(figure), marks)
        put_back()
        moved += 1
    assert moved
    read.assert_same(FIGURES[name].read(figure), marks)


def marks_moved(figure: Figure) -> Iterator[Callable[[], object]]:
    """Move what shows values, one artist at a time; each must be put back before the next.

    What is empty or stands at 0 has nothing that could be moved.
    """
    for axes in figure.axes:
        for line in axes.lines:
            before, value = np.array(line.get_xydata()), read.value_axis(axes, line)
            if line.get_marker() in MARKERS and before[:, value].any():
                after = before.copy()
                after[:, value] *= WRONG
                line.set_data(*after.T)
                yield partial(line.set_data, *before.T)
        for bars in axes.collections:
            if isinstance(bars, LineCollection) and bars.get_segments():
                ends, value = bars.get_segments(), read.value_axis(axes, bars)
                bars.set_segments([end * np.where(np.arange(2) == value, WRONG, 1) for end in ends])
                yield partial(bars.set_segments, ends)
            if isinstance(bars, QuadMesh):
                cells = bars.get_array()
                assert cells is not None
                bars.set_array(cells * WRONG)
                yield partial(bars.set_array, cells)
        yield from bars_moved(axes)


def bars_moved(axes: Axes) -> Iterator[Callable[[], object]]:
    for patch in axes.patches:
        assert isinstance(patch, Rectangle)
        width, height = patch.get_width(), patch.get_height()
        if not width * height:
            continue
        patch.set_width(width * WRONG)
        patch.set_height(height * WRONG)
        yield partial(patch.set, width=width, height=height)


@pytest.mark.parametrize(
    "name", ["levels", "seats", "until met", "ranking", "pitfalls", "values", "penalties"]
)
def test_the_number_beside_a_mark_is_its_value(name: str) -> None:
    _, figure = drawn(name)
    numbers = read.numbers(figure)
    assert len(numbers) == len(read.dots(figure))
    for off, half_a_digit in numbers:
        assert abs(off) <= half_a_digit * (1 + read.ROUNDING)


def test_the_numbers_beside_the_funnel_are_its_values() -> None:
    table, figure = drawn("funnel")
    texts = [text.get_text() for text in figure.axes[0].texts]
    for row, text in zip(table.to_dict("records"), texts, strict=True):
        for number, column in zip(
            re.findall(r"[\d.]+", text), FIGURES["levels"].columns[:3], strict=True
        ):
            half_a_digit = 0.5 * 10.0 ** -len(number.partition(".")[2])
            assert abs(float(number) - 100 * row[column]) <= half_a_digit * (1 + read.ROUNDING)
        assert row["low"] < row["high"]


def test_the_flow_names_its_blocks_and_its_bands_fill_them() -> None:
    table, figure = drawn("ways")
    total = table["deals"].sum()
    steps = ("advancer", "answer", "final_contract")
    expected = {
        (COLUMNS[step].wording(name), deals / total)
        for step in steps
        for name, deals in table.groupby(step, observed=True)["deals"].sum().items()
        if deals / total >= LABELLED
    }
    named = list(read.named_blocks(figure))
    assert len(named) == len(expected)
    for name, said, share in named:
        assert any(name == wording and np.isclose(share, true) for wording, true in expected)
        assert abs(said - share) <= 0.0005 * (1 + read.ROUNDING)  # said to a tenth of a per cent
    passed = (table["advancer"] == PASS).rename("passed")
    bands = read.bands(figure)
    assert sorted(bands) == [0, 1]
    for column, widths in bands.items():
        between = [table[step] for step in steps[column : column + 2]]
        deals = table.groupby([*between, passed], observed=True)["deals"].sum()
        assert widths == pytest.approx(sorted(deals / total), abs=read.ROUNDING)
