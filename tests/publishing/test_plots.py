"""Figures show the numbers of their tables, tables those that they were given; text as readers see it."""

import re
from typing import Any, cast

import pandas as pd
import pytest
from double_study import plots
from double_study.cards.notation import with_suits
from double_study.errors import InputError
from double_study.report.typeset import text_html
from double_study.stats import with_intervals
from double_study.table_format import NOTHING, styled
from matplotlib.colors import to_rgb
from matplotlib.patches import Rectangle

CALLS = pd.DataFrame({"call": ["double", "pass"], "deals": [30, 70], "of": [100, 100]})
TABLE = with_intervals(CALLS, "deals", "of")


def data_of(styler: Any) -> pd.DataFrame:
    return styler.data


def test_bars_are_as_long_as_their_values() -> None:
    axis = plots.bar_figure(TABLE, "call").axes[0]
    assert [cast(Rectangle, patch).get_width() for patch in axis.patches] == [30, 70]
    assert [label.get_text() for label in axis.get_yticklabels()] == ["the double", "pass"]
    assert [text.get_text() for text in axis.texts] == ["30%", "70%"]
    whiskers: Any
    [whiskers] = [c for c in axis.containers if hasattr(c, "has_xerr")]
    (segments,) = (bars.get_segments() for bars in whiskers.lines[2])
    assert segments[0][:, 0] == pytest.approx(100 * TABLE.loc[0, ["low", "high"]].to_numpy(float))


def test_panels_have_one_scale() -> None:
    table = pd.concat([TABLE.assign(level=1), TABLE[:1].assign(level=2)], ignore_index=True)
    first, second = plots.bar_figure(table, "call", panels="level").axes
    assert (first.get_title("left"), second.get_title("left")) == ("level 1", "level 2")
    assert first.get_xlim() == second.get_xlim()


def test_a_flow_has_the_shares_of_its_table() -> None:
    rows = [("bids", "double", 1), ("bids", "pass", 3), ("passes", "pass", 6)]
    table = pd.DataFrame(rows, columns=["hand", "call", "deals"])
    axis = plots.flow(table, "hand", "call").axes[0]
    said = {text.get_text() for text in axis.texts}
    assert said == {"bids 40.0%", "passes 60.0%", "the double 10.0%", "pass 90.0%"}


def test_figures_without_rows_are_drawn() -> None:
    plots.picture(plots.bar_figure(TABLE[:0], "call"), "png")
    assert "nothing to show" in plots.alt("Bars", TABLE[:0], "call")


def test_words_for_a_figure_have_its_values() -> None:
    assert plots.alt("Bars", TABLE, "call") == "Bars: the double 30%; pass 70%."
    with pytest.raises(InputError, match="needs alternative text"):
        plots.show(plots.bar_figure(TABLE, "call"), " ")


def test_colours_keep_apart_in_grey() -> None:
    # The first four, which stand beside each other: luminance by ITU-R BT.601.
    grey = sorted(0.299 * r + 0.587 * g + 0.114 * b for r, g, b in map(to_rgb, plots.COLOURS[:2]))
    assert grey[1] - grey[0] > 0.15


def test_an_interval_is_a_column_of_its_own() -> None:
    shown = data_of(styled(TABLE, "call", "estimate", estimate="of these calls"))
    assert list(shown) == ["responder's call", "of these calls", "95% interval"]
    assert shown.iloc[0].to_list() == ["the double", "30%", "22 to 40"]
    assert "hide-intervals" in styled(TABLE).to_html()


def test_text_from_outside_is_escaped_and_an_empty_table_says_so() -> None:
    assert "<img" not in styled(pd.DataFrame({"agreement": ["<img src=x>"]})).to_html()
    assert NOTHING in styled(TABLE[:0]).to_html()


def test_columns_of_a_notebooks_own() -> None:
    wide = pd.DataFrame({"call": ["pass"], "passes": [0.25], "n": [1234]})
    assert data_of(styled(wide)).iloc[0].to_list() == ["pass", "25.0%", "1,234"]


def test_an_interval_stays_on_one_line() -> None:
    html = text_html("It is −3.8% (−4.1 to −3.5) of 1,200 (1,100 to 1,300). See `calls.csv`.")
    assert "−3.8% (−4.1&nbsp;to&nbsp;−3.5) of 1,200 (1,100&nbsp;to&nbsp;1,300). See" in html
    assert '<a href="tables/calls.csv"><code>calls.csv</code></a>' in html


def test_suits_are_black_and_red_in_text_and_untouched_in_tags() -> None:
    html = with_suits('<p title="1♥">1♥ over 1♣</p>')
    assert html.startswith('<p title="1♥">1<span class="red-suit">♥')
    assert 'over 1<span class="black-suit">♣' in html


def test_numbers_stand_to_the_right_as_the_text_says() -> None:
    html = text_html("| auction | share |\n| --- | ---: |\n| two | 2% |")
    right = ' style="text-align:right"'
    cells = [("", "auction"), (right, "share"), ("", "two"), (right, "2%")]
    assert re.findall(r"<t[dh](.*?)>(.*?)</t[dh]>", html) == cells
