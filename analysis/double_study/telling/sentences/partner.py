"""Sentences of the fourth notebook: what partner holds, and where it ends."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import PASS
from double_study.columns import COLUMNS
from double_study.counting.counts import COMBINED_HCP, SPADE_RAISES
from double_study.escape import markdown
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import (
    FOUR_OR_MORE,
    FOUR_SPADES,
    MANY,
)
from double_study.stats import with_intervals
from double_study.tables import Run, merged, rows, share_where, shares, with_facts
from double_study.telling.sentences.phrases import about_doubles, doubles_counted, tied
from double_study.words import listed

_EXACTLY_FOUR = COLUMNS["message"].names[FOUR_SPADES]
GAME_POINTS = 25
"""Points in both hands that are usually enough for 3NT: WBF teaching, lesson 8 (see the notebook)."""


def _levels(table: pd.DataFrame) -> str:
    """A share for each level of the overcall, as a list in a sentence."""
    return listed(
        f"{COLUMNS['estimate'].rounded(row)} over level {row['level']}"
        for row in table.to_dict("records")
    )


@about_doubles
def lengths_text(run: Run) -> str:
    """The opener's length in a sentence."""
    table = run.table("opener_lengths")
    four = share_where(table, table["opener_cards"] >= MANY, ["message"])
    eight = merged(run.table("promised_fits"), ["message"])
    held = listed(
        f"{COLUMNS['estimate'].rounded(row)} where the double promised {COLUMNS['message'].of(row)}"
        for row in four.to_dict("records")
    )
    fitting = listed(
        f"{COLUMNS['estimate'].rounded(row)} where it promised {COLUMNS['message'].of(row)}"
        for row in eight.to_dict("records")
    )
    return (
        f"The opener has four cards or more in a promised suit on {held}. With the cards that the "
        f"doubler really holds, the two hands have {FIT_TRUMPS} or more in it on {fitting}."
    )


@about_doubles
def answers_text(run: Run) -> str:
    """The answers in a sentence for each of the fourth hand's two ways."""
    cells = run.table("ways_to_contract")
    quiet = cells["advancer"] == PASS
    parts = []
    for part, when in (
        (cells[~quiet], "Where the fourth hand has bid, the opener need not speak"),
        (cells[quiet], "Where it has passed, a pass would leave the double in"),
    ):
        if part.empty:
            continue
        ranked = shares(part, ["answer"]).sort_values("deals", kind="stable")
        *others, top = ranked.to_dict("records")
        ties = tied(top, others, COLUMNS["answer"].of, parts=True)
        parts.append(
            f"{when}: the commonest answer is “{COLUMNS['answer'].of(top)}”, on {COLUMNS['estimate'].rounded(top)}{ties}."
        )
    passed = rows(shares(cells, ["answer"]), answer="penalty_pass")
    defended = (
        f"{COLUMNS['estimate'].rounded(passed[0])} of all doubles"
        if passed
        else "none of the doubles"
    )
    return f"{' '.join(parts)} A penalty pass is the answer on {defended}."


@about_doubles
def points_text(run: Run) -> str:
    """Both hands' points in a sentence."""
    by_level = rows(run.table("values"), measure="combined_hcp")
    means = listed(f"{COLUMNS['mean'].rounded(row)} over level {row['level']}" for row in by_level)
    cells = with_facts(run.tally.frame(COMBINED_HCP), run.agreement, "level")
    enough = _levels(share_where(cells, cells["combined_hcp"] >= GAME_POINTS, ["level"]))
    return (
        f"The two hands together have on average {means} HCP. The {GAME_POINTS} that are usually "
        f"enough for 3NT are there on {enough}."
    )


@about_doubles
def fits_text(run: Run) -> str:
    """The fit found or missed, in a sentence."""
    table = run.table("fits")
    missed = _levels(share_where(table, table["outcome"] == "fit_missed", ["level"]))
    left = _levels(share_where(table, table["outcome"] == "fit_but_notrump", ["level"]))
    return (
        f"A suit of eight cards was there but another suit was played on {missed}; it was there but "
        f"notrump was played on {left}. Notrump is not always the worse for it: the eight cards may "
        "be in a minor."
    )


@about_doubles
def final_contracts_text(run: Run) -> str:
    """The final contracts in a sentence."""
    table = run.table("final_contracts")
    parts = []
    for level, part in table.groupby("level"):
        *others, top = part.sort_values("deals", kind="stable").to_dict("records")
        ties = tied(top, others, COLUMNS["final_contract"].of, parts=True)
        parts.append(
            f"over level {level}, “{COLUMNS['final_contract'].of(top)}” on {COLUMNS['estimate'].rounded(top)}{ties}"
        )
    return (
        f"The commonest final contract: {'; '.join(parts)}. The higher the overcall, the less "
        "room is left below game: a raise may be game by its level alone, whatever the strength."
    )


def spades_text(run: Run) -> str:
    """The special case over 1♥ from its other side: 1♠ shows five."""
    if not run.tally[SPADE_RAISES.name].sum():
        return (
            f"*This does not apply: by the agreement “{markdown(run.agreement.name)}” no responder bid 1♠ "
            "over 1♥ after a minor.*"
        )
    reserved = (
        "After a minor and 1♥ the double shows exactly four spades, so that 1♠ can show five. "
        if run.agreement.response.double
        else "After a minor and 1♥ a bid of 1♠ shows five cards or more. "
    )
    table = run.table("spade_raises")
    three_cards = share_where(
        table, table["opener_spades"] == COLUMNS["opener_spades_held"].names[1], ["opening"]
    )
    more = share_where(table, table["opener_spades"] == FOUR_OR_MORE, ["opening"])
    text = (
        f"{reserved}Because 1♠ shows five, an opener with three spades knows of eight and raises: that "
        "is so on "
        + listed(
            f"{COLUMNS['estimate'].rounded(r)} after {COLUMNS['opening'].of(r)}"
            for r in three_cards.to_dict("records")
        )
        + ". On another "
        + listed(
            f"{COLUMNS['estimate'].rounded(r)} after {COLUMNS['opening'].of(r)}"
            for r in more.to_dict("records")
        )
        + " it has four or more and would raise anyway."
    )
    held = run.table("opener_lengths")
    four = rows(share_where(held, held["opener_cards"] >= MANY, ["message"]), message=_EXACTLY_FOUR)
    if not four:
        return text
    return (
        f"{text} Opposite the double, which shows exactly four, the opener needs four itself for a "
        f"fit of eight, and has them on {COLUMNS['estimate'].rounded(four[0])}. A partnership whose 1♠ may be "
        "four cards could not raise it on three with that knowledge."
    )


@about_doubles
def without_fit_text(run: Run) -> str:
    """How often the partnership lands too high without a fit, in a sentence."""
    table = run.table("without_fit")
    parts = []
    for level in (2, 3):
        deals = table.loc[table["last_level"] == level, "deals"].sum()
        counted = pd.DataFrame({"deals": [deals], "of": doubles_counted(run)})
        (row,) = rows(with_intervals(counted, "deals", "of"))
        parts.append(f"{COLUMNS['estimate'].rounded(row)} at level {level}")
    return (
        f"Of all doubles, the partnership ends in a suit with fewer than {FIT_TRUMPS} trumps on "
        f"{listed(parts)}."
    )


@about_doubles
def trumps_text(run: Run) -> str:
    """The level against the trumps, and both hands' points there, in a sentence."""
    table = run.table("above_trumps")
    if table.empty:
        return "*This does not apply: no double came to rest in a part-score in a suit.*"
    points = listed(
        f"{COLUMNS['mean'].rounded(row)} over level {row['level']}" for row in rows(table)
    )
    return (
        f"Of the part-scores in a suit, {_levels(table)} are above the level of the trumps, beyond "
        "what the rule of thumb calls safe. Both hands' HCP in the part-scores are on average "
        f"{points}. What asking more at a higher level buys these means do not tell, for each level "
        "has hands of its own: the page on other agreements has, on the same deals, “seven throughout”, "
        "which asks the same at every level."
    )
