"""Numbers in words: near what they stand for, and the same words for no two shares that differ."""

from collections.abc import Callable

import pytest
from double_study.numbers_in_words import from_to, in_sessions, number, one_in, overcalls, share

# 0.364 is as far as a tenth from a third, and said otherwise than 0.330.
SAID: dict[Callable[[float], str], str] = {
    share: "0 none; 1 all; 0.5 about half; 0.330 about a third; 0.364 36%; 0.2265 23%; 0.545 55%; "
    "0.554 55%; 0.76 about three quarters; 0.0376 3.8%; 0.99 99.0%; 0.0004 0.040%",
    lambda part: one_in(part, "deal"): "0 no deal; 1 every deal; 0.0376 one deal in 27; "
    "0.2109 one deal in five; 0.2265 23% of deals; 0.7 70% of deals; 0.000123 one deal in 8,100",
    in_sessions: "0 never; 0.4507 about every other session; 1.02 about once a session; "
    "0.417 about twice in five sessions; 0.68 about twice in three sessions; "
    "0.58 0.58 times a session; 0.294 about once in three sessions; "
    "0.0321 about once in 31 sessions; 2.04 2.0 times a session",
    number: "0 no; 2.4 two; 12 twelve; 13 13; 1234 1,200",
}
FRACTIONS = {
    **{"a fifth": 1 / 5, "a quarter": 1 / 4, "a third": 1 / 3, "half": 1 / 2},
    **{"two thirds": 2 / 3, "three quarters": 3 / 4, "four fifths": 4 / 5},
}


@pytest.mark.parametrize(
    ("function", "case"),
    [(each, case) for each, cases in SAID.items() for case in cases.split("; ")],
)
def test_a_number_in_words(function: Callable[[float], str], case: str) -> None:
    value, _, said = case.partition(" ")
    assert function(float(value)) == said


def test_words_for_a_share_are_within_a_tenth_of_it() -> None:
    for thousandths in range(1, 1000):
        part = thousandths / 1000
        said = share(part)
        if said.startswith("about "):
            assert abs(part - FRACTIONS[said.removeprefix("about ")]) < 0.1 * part
        else:
            # Half a unit of the last figure shown.
            assert abs(100 * part - float(said.removesuffix("%"))) <= 0.5


def test_ranges() -> None:
    assert from_to("4% of A", "5% of B") == "from 4% of A to 5% of B"
    assert overcalls(2) == "two-level overcalls"
    assert from_to("4% of A", "4% of A") == "4% of A"
