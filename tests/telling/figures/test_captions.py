"""Captions and alternative text say what the figure shows: its whiskers, its gaps, its panels. Seconds."""

import re

import numpy as np
import pandas as pd
import pytest
from double_study.columns import COLUMNS
from double_study.telling.figures.captions import counted, empty_places, off_zero
from double_study.telling.figures.draw import dots
from double_study.telling.figures.style import canvas
from matplotlib.figure import Figure
from readers import figure_marks as read
from shared.study_figures import FIGURES, drawn

ALL_SEEN = "Whiskers: 95% intervals (Wilson, pointwise)."
SOME_SEEN = ALL_SEEN[:-1] + "; a mark without them is wider than its interval."
NONE_SEEN = "Every mark is wider than its 95% interval (Wilson, pointwise)."
MARKS_ALONE = {"odds", "explorer", "z"}
FILLED = {"funnel", "heat map", "ways"}
WHISKERED = sorted(set(FIGURES) - MARKS_ALONE)
"""Figures whose caption is asked; of these the filled ones have no whiskers and must not speak of any."""


def caption_of(figure: Figure) -> str:
    return " ".join(figure.get_supxlabel().split())


@pytest.mark.parametrize(
    ("halves", "said"),
    [((0.1, 0.2), ALL_SEEN), ((0.1, 0.0001), SOME_SEEN), ((0.0001, 0.0002), NONE_SEEN)],
)
@pytest.mark.parametrize("upright", [True, False])
def test_a_caption_promises_the_whiskers_that_can_be_seen(
    halves: tuple[float, float], said: str, upright: bool
) -> None:
    figure, axes = canvas()
    table = pd.DataFrame(
        [(0.5, 0.5 - half, 0.5 + half) for half in halves], columns=[*COLUMNS["estimate"].columns]
    )
    dots(axes, [0, 1], table, upright=upright)
    (axes.set_ylim if upright else axes.set_xlim)(0, 100)
    counted(figure, "8 deals", "", "More.")
    assert caption_of(figure) == f"n = 8 deals. {said} More."


@pytest.mark.parametrize("name", WHISKERED)
def test_what_a_caption_says_of_whiskers_is_true_of_the_picture(name: str) -> None:
    _, figure = drawn(name)
    figure.draw_without_rendering()
    outside = [
        np.ptp(axes.transData.transform(segment), axis=0).max() / 2
        > container.lines[0].get_markersize() / 2 * figure.dpi / 72 + 1  # a pixel of the edge
        for axes in figure.axes
        for container in read.whiskered(axes)
        for segment in container.lines[2][0].get_segments()
        if len(segment)
    ]
    said = caption_of(figure)
    assert ("Whiskers" in said or "Every mark" in said) == bool(outside)
    if "Every mark" in said:
        assert not any(outside)
    elif "without them" in said:
        assert not all(outside)


def test_a_caption_of_a_figure_without_marks_promises_no_whiskers() -> None:
    figure, _ = canvas()
    counted(figure, "8 deals")
    assert caption_of(figure) == "n = 8 deals. There is nothing to draw."


def test_a_missing_mark_is_explained_and_a_full_table_is_not() -> None:
    full = pd.DataFrame([(1, "pass"), (1, "double"), (2, "pass"), (2, "double")])
    full.columns = ["level", "call"]
    assert empty_places("call", "level", full) == ""
    assert empty_places("call", "level", full, full) == ""
    assert empty_places("call", "level", full, full[1:]) == "No mark: no such deal came up."


@pytest.mark.parametrize(
    ("limits", "said"), [((18.7, 23), "It begins at 18, not at 0."), ((-1, 9), ""), ((0.4, 9), "")]
)
def test_an_axis_that_does_not_begin_at_nothing_says_so(
    limits: tuple[float, float], said: str
) -> None:
    _, axes = canvas()
    axes.set_ylim(*limits)
    assert off_zero(axes, "y", "It") == said
    assert axes.get_ylim()[0] == (np.floor(limits[0]) if limits[0] > 0 else limits[0])


@pytest.mark.parametrize("name", ["over trumps", "quoted"])
def test_these_axes_begin_above_nothing_and_say_so(name: str) -> None:
    _, figure = drawn(name)
    assert "not at 0." in caption_of(figure)


@pytest.mark.parametrize(
    "name", sorted(set(WHISKERED) - FILLED - {"over trumps", "quoted", "until met"})
)
def test_an_axis_of_values_takes_in_nothing(name: str) -> None:
    _, figure = drawn(name)
    scales = [
        axes.get_ylim() if container.has_yerr else axes.get_xlim()
        for axes in figure.axes
        for container in read.whiskered(axes)
    ]
    assert scales
    assert all(low <= 0 <= high for low, high in scales)


def test_the_words_for_the_lengths_name_their_panels_and_no_other() -> None:
    table, figure = drawn("lengths")
    titles = [axes.get_title("left") for axes in figure.axes]
    alt = FIGURES["lengths"].alt(table)
    found = sorted(
        (alt.index(f"{w}: "), w) for w in COLUMNS["role"].wordings.values() if f"{w}: " in alt
    )
    assert [wording for _, wording in found] == titles


def test_the_words_for_the_shapes_name_shapes_that_are_drawn() -> None:
    table, figure = drawn("patterns")
    (axes,) = figure.axes
    rows = {label.get_text() for label in axes.get_yticklabels()}
    named = set(re.findall(r"\d-\d-\d-\d", FIGURES["patterns"].alt(table)))
    assert named
    assert named <= rows


@pytest.mark.parametrize("name", ["agreements", "settings"])
def test_the_words_name_every_row_and_what_is_left_out(name: str) -> None:
    table, figure = drawn(name)
    alt = FIGURES[name].alt(table)
    assert all(label.get_text() in alt for label in figure.axes[0].get_yticklabels())
    left_out = {
        "agreements": "Not drawn: “never”, with no doubles (-4.00 points).",
        "settings": "Settings not drawn: 1 that change less, which the table has, and 3 that change "
        "nothing.",
    }
    assert left_out[name] in caption_of(figure)
