"""Sentences of the second notebook: what to teach first, and what a class gets wrong."""

from __future__ import annotations

import pandas as pd

from double_study.cards.notation import hand_symbols
from double_study.columns import COLUMNS, Row
from double_study.counting.sessions import BOARDS_PER_SESSION
from double_study.escape import markdown
from double_study.lessons.case import LEFT_OUT, TOPICS
from double_study.lessons.examples import Example, examples
from double_study.lessons.pitfalls import PITFALLS, Pitfall
from double_study.rules.settle import DEFENDED
from double_study.tables import Run, rows
from double_study.telling.sentences import in_words
from double_study.telling.sentences.phrases import INTERVALS, about_doubles, tied
from double_study.telling.sentences.reading import markdown_table
from double_study.words import listed

FIRST_TOPICS = 5
"""Topics that a first lesson has room for."""


def _quoted(row: Row) -> str:
    return f"“{COLUMNS['topic'].of(row)}”"


def _begun(sentence: str) -> str:
    """A sentence that follows a colon."""
    return sentence[0].lower() + sentence[1:]


@about_doubles
def answer(run: Run) -> str:
    """The answer in a paragraph."""
    table = run.table("topics")
    first, later = (
        some.to_dict("records") for some in (table[:FIRST_TOPICS], table[FIRST_TOPICS:])
    )
    start, *more = first
    [topic] = [topic for topic in TOPICS if topic.name == start["topic"]]
    then = f" Then come {listed(map(_quoted, more))}, in this order." if more else ""
    return (
        f"**Teach {_quoted(start)} first: it is {in_words.share(start['estimate'], 'double')}.** "
        f"The rule there: {_begun(topic.rule(run.agreement))}{then} "
        f"Together these are {in_words.share(first[-1]['cumulated'], 'double')}"
        f"{tied(first[-1], later, _quoted, parts=True)}. The shares themselves, with their "
        "intervals, are in the tables."
    )


@about_doubles
def ranking_text(run: Run) -> str:
    """The ranking in sentences: how many topics make up nine doubles in ten, and which is rarest."""
    table = run.table("topics")
    most = table[table["cumulated"] >= 0.9].to_dict("records")[0]
    *others, rare = table.to_dict("records")
    ties = tied(rare, others, _quoted, parts=True)
    return (
        f"It takes the first {in_words.number(most['rank'])} of the {in_words.number(len(table))} topics "
        f"to cover nine doubles in ten. The rarest is {_quoted(rare)}{ties}: one partnership meets it "
        f"{in_words.in_evenings(rare['per_session'])}. An evening is {BOARDS_PER_SESSION} boards. {INTERVALS}"
    )


@about_doubles
def pitfalls_text(run: Run) -> str:
    """The cases easily got wrong, in a sentence."""
    table = run.table("pitfalls")
    if table.empty:
        return "None of the cases that are easily got wrong came up in this run."
    ranked = table.sort_values("deals", kind="stable").to_dict("records")
    most, rare = ranked[-1], ranked[0]
    closest = min(ranked, key=lambda row: abs(row["right"] - 0.5))
    first, last = (
        f"“{COLUMNS['pitfall'].of(row)}”{tied(row, ranked, COLUMNS['pitfall'].of, parts=True)}"
        for row in (most, rare)
    )
    return (
        f"The most frequent is {first}, {COLUMNS['estimate'].rounded(most)} of all doubles; "
        f"the least frequent {last}, {COLUMNS['estimate'].rounded(rare)}. The cases overlap: "
        "a jump overcall, say, may find a strong hand with four cards. Where the case and the hand "
        "that looks like it come up almost equally often, a habit will not do and the partnership "
        f"has to look: that is most so for “{COLUMNS['pitfall'].of(closest)}”, which is "
        f"{COLUMNS['right'].rounded(closest)} of the two together."
    )


def pitfall_text(run: Run, case: Pitfall, table: pd.DataFrame) -> str:
    """One case: what is right, what looks like it, how often; ``table`` is that of ``pitfalls``."""
    head = f"**{case.title}.** {case.lesson}"
    found = rows(table, pitfall=case.name)
    if not found:
        if not case.after(run.agreement).any():
            name = markdown(run.agreement.name)
            return f"**{case.title}.** *By the agreement “{name}” no double says this.*"
        return f"{head} *It does not come up in this run of the agreement “{markdown(run.agreement.name)}”.*"
    (row,) = found
    return (
        f"{head} It is {in_words.share(row['estimate'], 'double')}. One partnership meets it "
        f"{in_words.in_evenings(row['per_session'])}. What looks like it: {case.alike_title}. Where either "
        f"comes up, the double is right {in_words.in_hundred(row['right'], 'time')}."
    )


def example_text(example: Example) -> str:
    """An example deal: where it was dealt, the three hands, the auction and the final contract."""
    bidding = example.auction
    hands = (
        ("opener", bidding.seat_of_opener),
        ("overcaller", bidding.seat_of_overcaller),
        ("responder", bidding.seat_of_responder),
    )
    cells = [[name, hand_symbols(example.cards[seat - 1])] for name, seat in hands]
    bid = f"{example.answer_bid.symbol}, " if example.answer_bid else ""
    end = (
        f"they defend {example.last_bid.symbol} doubled"
        if example.final_contract == COLUMNS["final_contract"].names[DEFENDED]
        else f"the final contract is {example.last_bid.symbol}"
    )
    return "\n".join(
        [
            f"Example, deal {example.deal} of block {example.block}: {bidding.symbols}. The "
            f"responder doubled with {example.total_points} total points. The opener's answer: "
            f"{bid}{COLUMNS['answer'].wording(example.answer)}; {end}.",
            "",
            markdown_table([["hand", "cards"], *cells]),
        ]
    )


def examples_rule(run: Run) -> str:
    """How the examples were drawn."""
    return (
        "The examples are drawn by rule, not by taste: for each case in turn, the first deal of the "
        f"run (seed {run.record.seed}), by block and by deal within the block, that belongs to it and "
        f"was not shown before. {LEFT_OUT}"
    )


@about_doubles
def lesson(run: Run) -> str:
    """Every case that is easily got wrong, each with its numbers and its example, in Markdown."""
    table, drawn = run.table("pitfalls"), examples(run)
    parts = []
    for case in PITFALLS:
        parts.append(pitfall_text(run, case, table))
        if case.name in drawn:
            parts.append(example_text(drawn[case.name]))
    return "\n\n".join(parts)
