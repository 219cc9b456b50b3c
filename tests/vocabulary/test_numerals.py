"""Numbers with their intervals, as printed: what the words cover, and how they read."""

import re

import numpy as np
import pytest
from double_study.numbers_in_words import aligned, decimals, interval, percent, points
from double_study.stats import paired_difference, wilson
from shared.table_rows import cases

RUNS = 20_000
CASES = {
    "doubled, first seat": (0.0149703, 20_000_000),
    "doubled, all seats": (0.0375447, 20_000_000),
    "doubled, all seats, a long run": (0.0375447, 1_000_000_000),
    "doubled, all seats, a short run": (0.0375447, 120_000),
    "of the overcalls at level 1": (0.2431169, 1_760_000),
    "five or more, of a rare case": (0.3183099, 4_321),
    "a rare call": (0.0000271828, 20_000_000),
}
"""Shares as the pages have them, and the deals they are shares of. None lies on a round figure, where
a rounded limit would meet it and the words would cover it more often."""


def printed(text: str) -> list[float]:
    """Estimate, low and high as a reader reads them."""
    return [float(number) for number in re.findall(r"[+-]?\d[\d,]*\.?\d*", text.replace(",", ""))]


@pytest.mark.parametrize("case", CASES)
def test_what_is_printed_covers_what_it_says(case: str) -> None:
    # Of 20,000 runs of a right 95% interval 95% cover, give or take 0.15 points; rounding may take
    # half a point. From 94 to 96% is allowed, six standard deviations from either.
    share, deals = CASES[case]
    counts = np.random.default_rng(95).binomial(deals, share, RUNS)
    covered = at_limit = 0
    for count, low, high in zip(counts, *wilson(counts, deals), strict=True):
        middle, lower, upper = printed(percent(count / deals, low, high))
        covered += lower <= 100 * share <= upper
        at_limit += middle in (lower, upper)
    assert 0.94 <= covered / RUNS <= 0.96
    assert at_limit == 0


def test_what_is_printed_of_a_session_covers_what_it_says() -> None:
    share, deals = CASES["doubled, all seats"]
    counts = np.random.default_rng(96).binomial(deals, share, RUNS)
    numbers = 12 * np.stack([counts / deals, *wilson(counts, deals)], axis=1)
    texts = [printed(interval(*number)) for number in numbers]
    covered = np.mean([low <= 12 * share <= high for _, low, high in texts])
    assert 0.94 <= covered <= 0.96


def test_what_is_printed_of_a_difference_covers_what_it_says() -> None:
    # Both, one alone, the other alone, neither: Newcombe's interval covers a little more than 95%.
    cells, deals = np.array([0.0341, 0.00341234, 0.00112, 0.0]), 2_000_000
    cells[3] = 1 - cells.sum()
    tables = np.random.default_rng(97).multinomial(deals, cells, RUNS).T
    texts = [printed(points(*found)) for found in zip(*paired_difference(*tables), strict=True)]
    true = 100 * (cells[1] - cells[2])
    assert 0.94 <= np.mean([low <= true <= high for _, low, high in texts]) <= 0.96


def test_a_limit_is_rounded_to_a_tenth_of_the_width_or_less() -> None:
    widths = [(3.74, 3.79), (3, 4), (30, 55), (0.02, 0.98), (5.0, 5.0), (1, np.inf)]
    assert [decimals(low, high) for low, high in widths] == [3, 1, 0, 2, 2, 2]


def test_shares_and_numbers_read_with_their_intervals() -> None:
    for share, low, high, text in cases("""
        0.0376  | 0.03744 | 0.03781   | 3.760% (3.744 to 3.781)
        0.5     | 0.1     | 0.9       | 50.0% (10.0 to 90.0)
        0       | 0       | 0.0000038 | 0% (0 to 0.00038)
        1       | 0.72    | 1         | 100% (72.0 to 100)
        0.12345 | 0.12345 | 0.12345   | 12.35%
    """):
        assert percent(float(share), float(low), float(high)) == text
    for value, low, high, text in cases("""
        0.4512 | 0.4493 | 0.4531 | 0.4512 (0.4493 to 0.4531)
        122    | 122    | 122    | 122
        122    | 121    | 123    | 122 (121 to 123)
        5.08   | 5.08   | 5.08   | 5.08
        1234.5 | 1200   | 1270   | 1,234 (1,200 to 1,270)
        inf    | 12     | inf    | ∞ (12.00 to ∞)
    """):
        assert interval(float(value), float(low), float(high)) == text
    assert interval(3.0, np.nan, np.nan, least=1) == "3.00 (no interval)"


def test_lines_for_a_terminal_are_set_out_by_hand() -> None:
    assert aligned([["call", "deals", ""], ["the double", "7", "3%"], ["♠", "1,024", "–"]]) == [
        "call        deals",
        "the double      7  3%",
        "♠           1,024   –",
    ]
