"""The double by opening and overcall without dealing: how often, and what opener holds opposite it.

Three chances that opener has four or more in the promised suit stand side by side. The first knows
the responder's own four cards, the second the two bids as well, the third that the responder doubled.
"""

from __future__ import annotations

import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE
from double_study.columns import Share
from double_study.combinatorics.hands import HAND_CARDS
from double_study.combinatorics.responses import PROBABILITY
from double_study.combinatorics.table import (
    AFTER_OVERCALL,
    ANY,
    NAIVE,
    doubles_table,
    exact_table,
    opener_majors,
)
from double_study.combinatorics.two_hands import PARTNERSHIP_CARDS, chance_of_holding
from double_study.counting.run import Run
from double_study.rules.response import CALL, PROMISED_CARDS
from double_study.rules.terms import (
    FOUR_OR_MORE,
    MANY,
    MESSAGE,
    OPENER_CARDS,
    OPENER_HOLDS,
    RESPONDER_CARDS,
    SEQUENCE,
    every_sequence,
)
from double_study.telling.tables.shares import ABOVE, sequence_facts

OVERCALLED = Share(
    "overcalled",
    "overcalls of all deals",
    "Exact, the opening in first seat and the overcall as a share of all deals.",
)
OF_OVERCALLS = Share(
    "of_overcalls",
    "doubles of these overcalls",
    "Exact, the doubles as a share of the overcalls in the row.",
    form=".2%",
)
DOUBLED = Share(
    "doubled", "doubles of all deals", "Exact, the doubles as a share of all deals.", form=".6%"
)
GIVEN_DOUBLE = Share(
    "given_double",
    "once the double is made",
    "Exact, the chance that the opener holds four or more in its longest promised suit, given the "
    "double; empty where there is none.",
    optional=True,
    form=".2%",
)
_AUCTION = [*SEQUENCE.columns]
_CHANCES = [OVERCALLED, OF_OVERCALLS, DOUBLED, NAIVE, AFTER_OVERCALL, GIVEN_DOUBLE]


def exact_doubles(run: Run) -> pd.DataFrame:
    """One row an overcall within the double's reach that can come up, opening in first seat.

    Columns ``opening``, ``overcall``, ``message``, ``overcalled``, ``of_overcalls``, ``doubled`` and
    three chances of four or more in opener's longest promised suit: ``naive`` and ``after_overcall``
    opposite four of responder's in each promised suit, and ``given_double``, whatever its lengths.
    ``after_overcall`` is NaN where two suits are promised. No rows where the run goes without the
    responder's calls.
    """
    facts = sequence_facts(run.agreement)
    if not run.exact_calls:
        return facts[:0].reindex(columns=[*_AUCTION, MESSAGE, *_CHANCES])
    table = facts.assign(**{NAIVE: _naive(run.agreement)})[~facts[ABOVE]].set_index(_AUCTION)
    exact, doubles = exact_table(run.agreement, calls=True), doubles_table(run.agreement)
    table[OVERCALLED] = _by_auction(exact[exact[CALL] == ANY])
    table[DOUBLED] = _by_auction(exact[exact[CALL] == DOUBLE])
    many = _by_auction(doubles[doubles[OPENER_CARDS] >= MANY])
    table = table[table[OVERCALLED] > 0].fillna({DOUBLED: 0.0})
    table[OF_OVERCALLS] = table[DOUBLED] / table[OVERCALLED]
    table[GIVEN_DOUBLE] = many.reindex(table.index) / table[DOUBLED]
    table[AFTER_OVERCALL] = _after_overcall(run.agreement)
    return table.reset_index()[[*_AUCTION, MESSAGE, *_CHANCES]]


def _two_suits_naive() -> float:
    """Chance of four or more in one of two suits at least, opposite four in each: cards unseen alone."""
    unseen, elsewhere = HAND_CARDS - PROMISED_CARDS, PARTNERSHIP_CARDS
    short = sum(
        chance_of_holding(one, unseen, HAND_CARDS, elsewhere)
        * chance_of_holding(other, unseen, HAND_CARDS - one, elsewhere - unseen + one)
        for one in range(MANY)
        for other in range(MANY)
    )
    return float(1 - short)


def _naive(agreement: Agreement) -> list[float]:
    """The chance from the responder's cards alone, for every sequence."""
    unseen = HAND_CARDS - PROMISED_CARDS
    one = sum(
        chance_of_holding(cards, unseen, HAND_CARDS, PARTNERSHIP_CARDS)
        for cards in range(MANY, HAND_CARDS + 1)
    )
    chances = {True: float(one), False: _two_suits_naive()}
    return [chances[bool(single)] for single in every_sequence(agreement).one_suit_promised]


def _after_overcall(agreement: Agreement) -> pd.Series[float]:
    """The chance with both bids known, by auction, where one suit, a major, is promised."""
    table = opener_majors(agreement)
    table = table[(table[RESPONDER_CARDS] == PROMISED_CARDS) & table[AFTER_OVERCALL].notna()]
    table = table[table[OPENER_HOLDS] == FOUR_OR_MORE]
    # Both majors unbid are two promised suits.
    table = table[~table.duplicated(_AUCTION, keep=False)]
    return table.set_index(_AUCTION)[AFTER_OVERCALL]


def _by_auction(table: pd.DataFrame) -> pd.Series[float]:
    return table.groupby(_AUCTION, observed=True)[PROBABILITY].sum()
