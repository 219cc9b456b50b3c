"""An answer about a hand and an auction, as text for readers and as JSON for programs."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

import pandas as pd

from analysis.asking import odds as on
from analysis.asking.conditional_deals import enough
from analysis.asking.question import PassedOver, Question, Reply
from analysis.cards.bids import NOTRUMP, SUIT, SUIT_NAMES, SUIT_SYMBOLS, SUITS, call_symbol
from analysis.cards.notation import hand_symbols, write_hand
from analysis.statistics.intervals import CONFIDENCE, ESTIMATE, HIGH, LOW

_RARE = 0.0005
"""Lengths rarer than this, by both figures, are not printed: they would read 0.0%."""

AUCTION_CHANCE = ("auction_chance", "auction_chance_low", "auction_chance_high")
"""In JSON: the chance of the auction, given the hand, and its limits."""

GIVEN_HEAD, PLAIN_HEAD = "given", "plain"


def as_json(question: Question | None, answer: Reply | None, chances: on.Odds) -> dict[str, object]:
    """The answer for programs; probabilities are numbers from 0 to 1."""
    lengths = on.lengths(chances)

    def by_suit(column: str) -> dict[str, list[float | None]]:
        return {
            str(suit): [None if value != value else float(value) for value in part[column]]
            for suit, part in lengths.groupby(SUIT, sort=False)
        }

    return {
        "hand": write_hand(chances.cards),
        "auction": str(question.auction) if question else None,
        "agreement": question.agreement.name if question else None,
        "call": answer.call if answer else None,
        "rule": answer.rule if answer else None,
        "sentence": answer.sentence if answer else None,
        "rules_above": [vars(above) for above in answer.above] if answer else [],
        "opener_length": by_suit(ESTIMATE),
        "opener_length_low": by_suit(LOW),
        "opener_length_high": by_suit(HIGH),
        "opener_length_ignoring_bidding": by_suit(on.PLAIN),
        "opener_hcp": _records(on.points(chances)),
        "fits": _records(on.fits(chances)),
        "games": _records(on.games(chances)),
        "seed": None if chances.kept is None else on.SEED,
        "confidence": None if chances.kept is None else CONFIDENCE,
        "kept": chances.kept,
        "dealt": chances.dealt,
        **dict(zip(AUCTION_CHANCE, chances.chance if question else (None,) * 3, strict=True)),
    }


def _records(table: pd.DataFrame) -> list[dict[str, object]]:
    # Through pandas' own JSON, which turns NumPy numbers into plain ones and NaN into null.
    return json.loads(table.to_json(orient="records", double_precision=15))


def as_text(question: Question | None, answer: Reply | None, chances: on.Odds) -> list[str]:
    """The answer for readers, line by line."""
    title = hand_symbols(chances.cards)
    lines = [f"{title} after {question.auction.symbols}" if question else title]
    if question and answer:
        lines += ["", *why(answer)]
    lines += ["", basis(chances)]
    for table in (_lengths(chances), _points(chances), _fits(chances), _games(chances)):
        lines += ["", *_aligned(table)]
    return lines


def why(answer: Reply) -> list[str]:
    """The call, the rule in words, and one line for each rule above it that did not hold."""
    lines = [f"The call: {call_symbol(answer.call)}", f"The rule: {answer.sentence}"]
    if answer.above:
        lines += ["Rules above it that did not hold:", *map(_line, answer.above)]
    return lines


def _line(above: PassedOver) -> str:
    return f"  {above.rule.replace('_', ' ')}: {above.lacking}"


def basis(chances: on.Odds) -> str:
    """What the odds rest on, in a sentence."""
    if chances.bid_against is None:
        return "The odds on partner's hand before any bidding (plain), exact:"
    told = (
        "The odds on opener's hand: given that it opened and the next hand overcalled, and plain, by "
        "this hand alone"
    )
    _, low, high = chances.chance
    came = f"This auction comes up on {_share(chances)} of the deals around this hand"
    if chances.kept is None:
        return f"{came}. {told}; all exact:"
    reached = "" if chances.kept >= enough() else f" (a rare auction: {enough()} deals were wanted)"
    return (
        f"{came} ({100 * low:.2f}–{100 * high:.2f}). {told}. Given: from {chances.kept} such deals"
        f"{reached}, in brackets the {CONFIDENCE:.0%} interval. Plain: exact:"
    )


def _share(chances: on.Odds) -> str:
    return f"{chances.chance[0]:.2%}" if chances.chance[0] >= _RARE else "less than 0.05%"


def lesson(chances: on.Odds) -> str:
    """The fits that the double looks for, given the bidding and plain, in a sentence each."""
    table = on.fits(chances)
    parts = [
        f"A fit of eight or more {row[SUIT]} has a chance of {row[ESTIMATE]:.1%} given the bidding, "
        f"of {row[on.PLAIN]:.1%} by one's own length alone."
        for _, row in table[table[on.PROMISED]].iterrows()
    ]
    return " ".join(parts) or "The agreement has no double here, so no suit is promised."


def _lengths(chances: on.Odds) -> list[list[str]]:
    """Rows of cards, two columns a suit; lengths too rare to show in any suit are left out."""
    table = on.lengths(chances)
    columns = [["cards", *map(str, range(14))]]
    shown = {0}
    for suit in reversed(SUITS):
        part = table[table[SUIT] == SUIT_NAMES[suit]]
        common = (part[ESTIMATE] >= _RARE) | (part[on.PLAIN] >= _RARE)
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
    parts = zip(table[ESTIMATE], table[LOW], table[HIGH], strict=True)
    return [f"{chance:.1%} ({100 * low:.1f}–{100 * high:.1f})" for chance, low, high in parts]


def _plain(table: pd.DataFrame) -> list[str]:
    return [f"{chance:.1%}" for chance in table[on.PLAIN]]


def _aligned(rows: Iterable[Sequence[str]]) -> list[str]:
    """Rows as lines: the first column to the left, the others to the right."""
    table = list(rows)
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    return [
        "  ".join(
            cell.rjust(width) if at else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        for row in table
    ]
