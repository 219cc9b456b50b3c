"""The tables of an answer as lines of text: lengths, points, fits, values for game, what comes next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pandas as pd

from analysis.asking import odds as on
from analysis.asking.what_next import WHAT, WhatNext
from analysis.cards.bids import NOTRUMP, SUIT, SUIT_NAMES, SUIT_SYMBOLS, SUITS
from analysis.statistics.intervals import ESTIMATE, HIGH, LOW
from analysis.vocabulary.numerals import aligned

RARE = 0.0005
"""Lengths rarer than this, by both figures, are not printed: they would read 0.0%."""

GIVEN_HEAD, PLAIN_HEAD = "given", "plain"
_BESIDE = 2
"""Suits beside each other: four with their intervals would pass the width of a page."""


def odds_tables(chances: on.Odds) -> Iterator[list[str]]:
    """The tables of the odds, each as aligned lines."""
    suits = list(reversed(SUITS))
    step = len(suits) if chances.kept is None else _BESIDE
    for at in range(0, len(suits), step):
        yield aligned(_lengths(chances, suits[at : at + step]))
    for table in (_points(chances), _fits(chances), _games(chances)):
        yield aligned(table)


def next_tables(follows: WhatNext) -> Iterator[list[str]]:
    """The tables of what comes next, each as aligned lines."""
    for head, table in (
        ("the next hand's call", follows.advancer),
        ("partner's answer", follows.opener),
        ("the final contract", follows.contracts),
    ):
        yield aligned([[head, ""], *zip(table[WHAT], _shares(table), strict=True)])


def _lengths(chances: on.Odds, suits: Sequence[int]) -> list[list[str]]:
    """Rows of cards, two columns a suit; lengths too rare to show in any suit are left out."""
    table = on.lengths(chances)
    columns = [["cards", *map(str, range(14))]]
    shown = {0}
    for suit in suits:
        part = table[table[SUIT] == SUIT_NAMES[suit]]
        common = (part[ESTIMATE] >= RARE) | (part[on.PLAIN] >= RARE)
        shown |= set((part.loc[common, on.CARDS] + 1).tolist())
        symbol = SUIT_SYMBOLS[suit]
        if chances.bid_against is not None:
            columns.append([f"{symbol} {GIVEN_HEAD}", *_given(chances, part)])
        columns.append([f"{symbol} {PLAIN_HEAD}", *_plain(part)])
    return [list(row) for at, row in enumerate(zip(*columns, strict=True)) if at in shown]


def _points(chances: on.Odds) -> list[list[str]]:
    table = on.point_ranges(chances)
    labels = [
        f"{low}–{high} HCP" for low, high in zip(table[on.LOWEST], table[on.HIGHEST], strict=True)
    ]
    return _two_columns("points", labels, chances, table)


def _fits(chances: on.Odds) -> list[list[str]]:
    table = on.fits(chances)
    labels = [
        suit + (" (promised by a double)" if promised else "")
        for suit, promised in zip(table[SUIT], table[on.PROMISED], strict=True)
    ]
    return _two_columns("a fit of eight or more", labels, chances, table)


def _games(chances: on.Odds) -> list[list[str]]:
    table = on.games(chances)
    labels = [
        f"{on.GAME.wording(game)}: {needs}+ HCP together"
        + ("" if on.GAME.code(game) == NOTRUMP else " and a fit")
        for game, needs in zip(table[on.GAME], table[on.NEEDS_HCP], strict=True)
    ]
    return _two_columns("values for game", labels, chances, table)


def _two_columns(
    head: str, labels: Sequence[str], chances: on.Odds, table: pd.DataFrame
) -> list[list[str]]:
    columns = [[head, *labels], [PLAIN_HEAD, *_plain(table)]]
    if chances.bid_against is not None:
        columns.insert(1, [GIVEN_HEAD, *_given(chances, table)])
    return [list(row) for row in zip(*columns, strict=True)]


def _given(chances: on.Odds, table: pd.DataFrame) -> list[str]:
    """The chances given the bidding, with their intervals unless they are exact."""
    if chances.kept is None:
        return [f"{chance:.1%}" for chance in table[ESTIMATE]]
    return _shares(table)


def _shares(table: pd.DataFrame) -> list[str]:
    parts = zip(table[ESTIMATE], table[LOW], table[HIGH], strict=True)
    return [f"{chance:.1%} ({100 * low:.1f}–{100 * high:.1f})" for chance, low, high in parts]


def _plain(table: pd.DataFrame) -> list[str]:
    return [f"{chance:.1%}" for chance in table[on.PLAIN]]
