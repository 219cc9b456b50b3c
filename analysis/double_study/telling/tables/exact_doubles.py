"""The double by opening and overcall without dealing: how often, and what opener holds opposite it.

Three chances that opener has four or more in the promised suit stand side by side. The first knows
the responder's own four cards, the second the two bids as well, the third that the responder doubled.
"""

from __future__ import annotations

import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE
from double_study.combinatorics.hands import HAND_CARDS
from double_study.combinatorics.table import (
    ANY,
    doubles_table,
    exact_table,
    opener_majors,
)
from double_study.combinatorics.two_hands import PARTNERSHIP_CARDS, chance_of_holding
from double_study.counting.run import Run
from double_study.rules.response import PROMISED_CARDS
from double_study.rules.terms import (
    FOUR_OR_MORE,
    MANY,
    SEQUENCE,
    every_sequence,
)
from double_study.telling.tables.shares import ABOVE, sequence_facts

_AUCTION = [*SEQUENCE.columns]
_CHANCES = ["overcalled", "of_overcalls", "doubled", "naive", "after_overcall", "given_double"]


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
        return facts[:0].reindex(columns=[*_AUCTION, "message", *_CHANCES])
    table = facts.assign(naive=_naive(run.agreement))[~facts[ABOVE]].set_index(_AUCTION)
    exact, doubles = exact_table(run.agreement, calls=True), doubles_table(run.agreement)
    table["overcalled"] = _by_auction(exact[exact["call"] == ANY])
    table["doubled"] = _by_auction(exact[exact["call"] == DOUBLE])
    many = _by_auction(doubles[doubles["opener_cards"] >= MANY])
    table = table[table["overcalled"] > 0].fillna({"doubled": 0.0})
    table["of_overcalls"] = table["doubled"] / table["overcalled"]
    table["given_double"] = many.reindex(table.index) / table["doubled"]
    table["after_overcall"] = _after_overcall(run.agreement)
    return table.reset_index()[[*_AUCTION, "message", *_CHANCES]]


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
    table = table[(table["responder_cards"] == PROMISED_CARDS) & table["after_overcall"].notna()]
    table = table[table["opener_holds"] == FOUR_OR_MORE]
    # Both majors unbid are two promised suits.
    table = table[~table.duplicated(_AUCTION, keep=False)]
    return table.set_index(_AUCTION)["after_overcall"]


def _by_auction(table: pd.DataFrame) -> pd.Series[float]:
    return table.groupby(_AUCTION, observed=True)["probability"].sum()
