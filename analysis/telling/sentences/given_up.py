"""Sentences of the fifth notebook: what the double gives up."""

from __future__ import annotations

from analysis.bidding.after_overcall import LEVEL
from analysis.bidding.response import CALL, RESPONSE
from analysis.cards.bids import PASS
from analysis.counting.auction_counts import ABOVE_CEILING_CALL
from analysis.counting.run import Run
from analysis.counting.sessions import BOARDS_PER_SESSION, SESSION
from analysis.counting.tally import DEALS
from analysis.statistics.intervals import ESTIMATE
from analysis.telling.sentences.phrases import INTERVALS, about_doubles
from analysis.telling.tables import given_up
from analysis.telling.tables.given_up import DOUBLES, RATIO
from analysis.telling.tables.shares import rows
from analysis.vocabulary.numerals import listed

(_PENALTY_PASS,) = (rule for rule in RESPONSE.rules if rule.name == given_up.PENALTY_PASS)


@about_doubles
def answer(run: Run) -> str:
    """The answer in a paragraph."""
    table = given_up.penalty_passes(run)
    ratios = [
        f"{RATIO.of(row, least=1)} over level {row[LEVEL]}"
        for row in table.to_dict("records")
        if row[DEALS]
    ]
    if not ratios:
        return "**No responder held a hand for a penalty pass in this run.**"
    return f"**For every penalty pass there are doubles: {listed(ratios)}.** {INTERVALS}"


def penalties_text(run: Run) -> str:
    """The penalty passes in a sentence."""
    table = given_up.penalty_passes(run)
    if not table[DEALS].sum():
        return "*This does not apply: no responder held a hand for a penalty pass.*"
    shown = listed(
        f"{ESTIMATE.of(row)} of the overcalls at level {row[LEVEL]}"
        for row in table.to_dict("records")
    )
    sessions = listed(
        f"{SESSION.of(row)} times over level {row[LEVEL]}" for row in table.to_dict("records")
    )
    doubled = (
        f" Against {table[DEALS].sum():,} of them stand {table[DOUBLES].sum():,} doubles."
        if table[DOUBLES].sum()
        else ""
    )
    return (
        f"The rule: {_PENALTY_PASS.sentence(run.agreement)}. Such a hand is held on {shown}. In a session of "
        f"{BOARDS_PER_SESSION} boards one partnership holds it {sessions}.{doubled}"
    )


@about_doubles
def opener_passes_text(run: Run) -> str:
    """How often the opener turns the double into a penalty, in a sentence."""
    table = given_up.doubles_passed(run)
    shown = listed(
        f"{ESTIMATE.of(row)} over level {row[LEVEL]}" for row in table.to_dict("records")
    )
    return (
        f"There is a second way to the penalty: the opener passes the double on {shown} of the "
        "doubles, holding five good cards or more in the overcaller's suit."
    )


def calls_text(run: Run) -> str:
    """What the responder does with the hands, in a sentence."""
    table = given_up.calls_by_level(run)
    table = table[table[CALL] != ABOVE_CEILING_CALL]
    parts = []
    for level, part in table.groupby(LEVEL):
        ranked = part.sort_values(DEALS, ascending=False, kind="stable").to_dict("records")[:3]
        sentence = listed(f"{CALL.of(row)} {ESTIMATE.of(row)}" for row in ranked)
        parts.append(f"over level {level}, {sentence}")
    text = f"What the responder does most: {'; '.join(parts)}."
    passed = [f"{ESTIMATE.of(row)} over level {row[LEVEL]}" for row in rows(table, **{CALL: PASS})]
    return f"{text} It passes, other than for penalties, on {listed(passed)}." if passed else text
