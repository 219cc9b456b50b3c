"""Text and tables as readers see them."""

import re

import pandas as pd

from analysis.publishing.typeset import text_html, typeset, with_suits


def test_an_interval_stays_on_one_line() -> None:
    html = text_html("It is −3.8% (−4.1 to −3.5) of 1,200 (1,100 to 1,300). See `calls.csv`.")
    assert "−3.8% (−4.1&nbsp;to&nbsp;−3.5) of 1,200 (1,100&nbsp;to&nbsp;1,300). See" in html
    assert '<a href="tables/calls.csv"><code>calls.csv</code></a>' in html


def test_suits_are_black_and_red_in_text_and_untouched_in_tags() -> None:
    html = with_suits('<p title="1♥">1♥ over 1♣</p>')
    assert html.startswith('<p title="1♥">1<span class="red-suit">♥')
    assert 'over 1<span class="black-suit">♣' in html


def test_columns_of_words_are_marked_and_columns_of_numbers_are_not() -> None:
    html = text_html(
        "| rank | auction | share | z |\n|---|---|---|---|\n"
        "| 1 | 1♣ (1♦) | 2.5% (2.1 to 2.9) | – |\n| 2 | 1♥ (2♦) | 3% | -1.25 |"
    )
    marked = re.findall(r"<t[dh] class=\"words\">(.*?)</t[dh]>", html)
    assert len(marked) == 3  # the heading and two cells of one column
    assert marked[0] == "auction"
    assert all("suit" in cell for cell in marked[1:])


def test_a_heading_over_several_columns_keeps_the_count_of_columns() -> None:
    columns = pd.MultiIndex.from_tuples([("a", "x"), ("a", "y"), ("b", "z")])
    table = pd.DataFrame([[1, 2, "word"], [3, 4.5e-9, "more"]], columns=columns)
    html = typeset(table.to_html())
    assert re.findall(r"<t[dh] class=\"words\">(.*?)</t[dh]>", html) == ["b", "z", "word", "more"]
