"""Frequencies in words: read back as numbers, they are within a fifth of what they stand for."""

import re

import pytest
from double_study.telling.sentences import in_words
from hypothesis import given
from hypothesis import strategies as st

NUMBERS = (
    {"once": 1.0, "twice": 2.0, "an": 1.0, "hundred": 100.0}
    | {w: float(n) for n, w in enumerate("one two three four five six seven".split(), 1)}
    | {w: float(n) for n, w in enumerate("eight nine ten eleven twelve".split(), 8)}
)


def read_back(words: str) -> float:
    """The two numbers of a phrase, one divided by the other."""
    said = [
        NUMBERS.get(word) or float(word.replace(",", ""))
        for word in re.findall(r"[a-z]+|[\d,]+", words)
        if word in NUMBERS or word[0].isdigit()
    ]
    some, many = said
    return 1 - some / many if words.startswith("all but") else some / many


@given(st.floats(1e-5, 0.99))
def test_a_share_reads_as_the_number_it_is(of_all: float) -> None:
    read = read_back(in_words.share(of_all, "deal"))
    assert abs(read - of_all) <= 0.2 * of_all
    if of_all > 0.5:  # what is left is no less well told
        assert abs(read - of_all) <= 0.2 * (1 - of_all)


@given(st.floats(1e-5, 0.99))
def test_shares_in_a_hundred_read_so_too_and_so_do_their_complements(of_all: float) -> None:
    for part in (of_all, 1 - of_all):
        assert read_back(in_words.in_hundred(part, "hand")) == pytest.approx(part, rel=0.2)


@given(st.floats(1e-4, 12))
def test_times_in_an_evening_read_as_the_number_they_are(per_session: float) -> None:
    assert read_back(in_words.in_evenings(per_session)) == pytest.approx(per_session, rel=0.2)


def test_the_words_are_those_of_the_table() -> None:
    assert in_words.share(1 / 26.6, "deal") == "about one deal in 27"
    assert in_words.share(0.29, "hand") == "about three hands in ten"
    assert in_words.share(0.5, "double") == "about one double in two"
    assert in_words.share(0.97, "double") == "all but about one double in 33"
    assert in_words.share(1, "double") == "every double"
    assert in_words.share(0, "double") == "no double"
    assert in_words.in_hundred(0.4518, "hand") == "about 45 hands in a hundred"
    assert in_words.in_hundred(0.5482, "hand") == "about 55 hands in a hundred"
    assert in_words.in_hundred(0, "hand") == "no hand"
    assert in_words.in_evenings(0.45) == "about once in two evenings"
    assert in_words.in_evenings(2.1) == "about twice in an evening"
    assert in_words.in_evenings(1 / 143) == "about once in 140 evenings"
    assert in_words.in_evenings(0) == "never"
