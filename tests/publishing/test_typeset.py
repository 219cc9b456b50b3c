"""Text and tables as readers see them."""

import re

from double_study.report.typeset import text_html, with_suits


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
    assert re.findall(r"<t[dh](.*?)>(.*?)</t[dh]>", html) == [
        ("", "auction"),
        (' style="text-align:right"', "share"),
        ("", "two"),
        (' style="text-align:right"', "2%"),
    ]
