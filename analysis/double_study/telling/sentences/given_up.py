"""Sentences of the fifth notebook: what the double gives up."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import PASS
from double_study.columns import COLUMNS
from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.counting.sessions import per_session
from double_study.rules.response import RESPONSE
from double_study.tables import Run, rows
from double_study.telling.sentences import in_words
from double_study.telling.sentences.phrases import about_doubles, doubles_counted
from double_study.words import listed

FIVE_OR_MORE = COLUMNS["cards_in_theirs"].names[1]

(_PENALTY_PASS,) = (rule for rule in RESPONSE.rules if rule.name == "penalty_pass")


@about_doubles
def answer(run: Run) -> str:
    """The answer in a paragraph: the penalty had after all, or lost, and to what."""
    table = run.table("penalties")
    if table.empty:
        return "**No responder held a hand for a penalty pass in this run.**"
    five = table[table["cards_in_theirs"] == FIVE_OR_MORE]
    had = (
        "**The penalty is had after all on "
        f"{_part(five, 'had')} that would double for it.** The fourth hand passes, the "
        "opener reopens with a double, and the responder passes that."
        if len(five)
        else "**No responder held five good cards in the overcaller's suit in this run.**"
    )
    lost = (
        f" On {_part(five, 'opener_bids')} the opener bids instead. On "
        f"{_part(five, 'advancer_bids')} the fourth hand bids, and on {_part(five, 'taken_out')} it "
        "takes the opener's double out. On "
        f"{_part(five, 'passed_out')} the overcall is passed out, undoubled."
        if len(five)
        else ""
    )
    often = per_session(five["deals"].sum() / run.tally.deals)
    suits = per_session(doubles_counted(run) / run.tally.deals)
    return (
        f"{had}{lost} One partnership holds such a hand {in_words.in_evenings(float(often))}. It "
        f"doubles to show suits {in_words.in_evenings(float(suits))}."
    )


def _part(table: pd.DataFrame, outcome: str) -> str:
    """The hands with one outcome, as a share in words."""
    part = table.loc[table["penalty"] == outcome, "deals"].sum() / table["deals"].sum()
    return in_words.in_hundred(part, "hand")


@about_doubles
def outcomes_text(run: Run) -> str:
    """Had and lost, with five cards and with four, and by level."""
    table = run.table("penalties")
    if table.empty:
        return "*This does not apply: no responder held a hand for a penalty pass.*"
    parts = []
    for cards, part in table.groupby("cards_in_theirs", observed=True):
        levels = listed(
            f"{_part(at, 'had')} over level {level}" for level, at in part.groupby("level")
        )
        parts.append(
            f"With {COLUMNS['cards_in_theirs'].wording(cards)} cards in their suit the penalty is had on {levels}."
        )
    four = (
        "By this agreement four cards are enough for a penalty pass"
        if run.agreement.response.penalty_cards == 4
        else "The hands with four are those that would pass if four were enough; the agreement asks five"
    )
    return (
        f"{' '.join(parts)} {four}. The higher the overcall, the less the fourth hand has to say, and "
        "the more often the penalty is still there."
    )


@about_doubles
def penalties_text(run: Run) -> str:
    """The penalty passes in a sentence."""
    table = run.table("penalty_passes")
    if not table["deals"].sum():
        return "*This does not apply: no responder held a hand for a penalty pass.*"
    shown = listed(
        f"{COLUMNS['estimate'].rounded(row)} of the overcalls at level {row['level']}"
        for row in table.to_dict("records")
    )
    sessions = listed(
        f"{in_words.in_evenings(row['per_session'])} over level {row['level']}"
        for row in table.to_dict("records")
    )
    return (
        f"The rule: {_PENALTY_PASS.sentence(run.agreement)}. Such a hand is held on {shown}. One "
        f"partnership holds it {sessions}. Against {table['deals'].sum():,} of them stand "
        f"{table['doubles'].sum():,} doubles."
    )


@about_doubles
def opener_passes_text(run: Run) -> str:
    """How often the opener turns the double into a penalty, in a sentence."""
    table = run.table("doubles_passed")
    shown = listed(
        f"{in_words.share(row['estimate'], 'double')} over level {row['level']}"
        for row in table.to_dict("records")
    )
    return (
        "There is a second way to the penalty: the opener passes the double, holding five good cards "
        f"or more in the overcaller's suit. It takes {shown}."
    )


def calls_text(run: Run) -> str:
    """What the responder does with the hands, in a sentence."""
    table = run.table("calls_by_level")
    table = table[table["call"] != ABOVE_CEILING_CALL]
    parts = []
    for level, part in table.groupby("level"):
        ranked = part.sort_values("deals", ascending=False, kind="stable").to_dict("records")[:3]
        sentence = listed(
            f"{COLUMNS['call'].of(row)} {COLUMNS['estimate'].rounded(row)}" for row in ranked
        )
        parts.append(f"over level {level}, {sentence}")
    text = f"What the responder does most: {'; '.join(parts)}."
    passed = [
        f"{COLUMNS['estimate'].rounded(row)} over level {row['level']}"
        for row in rows(table, call=PASS)
    ]
    return f"{text} It passes, other than for penalties, on {listed(passed)}." if passed else text
