"""Sentences of the fourth notebook: what partner holds, and where it ends."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import PASS
from double_study.counting.counts import BOTH_HCP, COMBINED_HCP, LAST_LEVEL, SPADE_RAISES
from double_study.counting.run import Run
from double_study.counting.tally import DEALS
from double_study.escape import markdown
from double_study.rules.advancer import ADVANCER_CALL
from double_study.rules.contested import ANSWER_GIVEN
from double_study.rules.contested_end import FINAL_CONTRACT, FIT_TRUMPS
from double_study.rules.terms import (
    FOUR_OR_MORE,
    FOUR_SPADES,
    LEVEL,
    MANY,
    MESSAGE,
    OPENER_CARDS,
    OPENING_BID,
)
from double_study.stats import ESTIMATE, OF, with_intervals
from double_study.telling.sentences.phrases import about_doubles, doubles_counted, tied
from double_study.telling.tables import contested, partner, responder
from double_study.telling.tables.partner import OPENER_SPADES, OUTCOME
from double_study.telling.tables.responder import MEASURE
from double_study.telling.tables.shares import MEAN, merged, rows, share_of, shares, with_facts
from double_study.words import listed

_EXACTLY_FOUR = MESSAGE.names[FOUR_SPADES]
GAME_POINTS = 25
"""Points in both hands that are usually enough for 3NT: WBF teaching, lesson 8 (see the notebook)."""


def _levels(table: pd.DataFrame) -> str:
    """A share for each level of the overcall, as a list in a sentence."""
    return listed(
        f"{ESTIMATE.rounded(row)} over level {row[LEVEL]}" for row in table.to_dict("records")
    )


@about_doubles
def lengths_text(run: Run) -> str:
    """The opener's length in a sentence."""
    table = partner.opener_lengths(run)
    four = share_of(table, table[OPENER_CARDS] >= MANY, [MESSAGE])
    eight = merged(partner.promised_fits(run), [MESSAGE])
    held = listed(
        f"{ESTIMATE.rounded(row)} where the double promised {MESSAGE.of(row)}"
        for row in four.to_dict("records")
    )
    fitting = listed(
        f"{ESTIMATE.rounded(row)} where it promised {MESSAGE.of(row)}"
        for row in eight.to_dict("records")
    )
    return (
        f"The opener has four cards or more in a promised suit on {held}. With the cards that the "
        f"doubler really holds, the two hands have {FIT_TRUMPS} or more in it on {fitting}."
    )


@about_doubles
def answers_text(run: Run) -> str:
    """The answers in a sentence for each of the fourth hand's two ways."""
    cells = contested.ways_to_contract(run)
    quiet = cells[ADVANCER_CALL] == PASS
    parts = []
    for part, when in (
        (cells[~quiet], "Where the fourth hand has bid, the opener need not speak"),
        (cells[quiet], "Where it has passed, a pass would leave the double in"),
    ):
        if part.empty:
            continue
        ranked = shares(part, [ANSWER_GIVEN]).sort_values(DEALS, kind="stable")
        *others, top = ranked.to_dict("records")
        ties = tied(top, others, ANSWER_GIVEN.of, parts=True)
        parts.append(
            f"{when}: the commonest answer is “{ANSWER_GIVEN.of(top)}”, on {ESTIMATE.rounded(top)}{ties}."
        )
    passed = rows(shares(cells, [ANSWER_GIVEN]), **{ANSWER_GIVEN: "penalty_pass"})
    defended = f"{ESTIMATE.rounded(passed[0])} of all doubles" if passed else "none of the doubles"
    return f"{' '.join(parts)} A penalty pass is the answer on {defended}."


@about_doubles
def points_text(run: Run) -> str:
    """Both hands' points in a sentence."""
    by_level = rows(responder.values(run), **{MEASURE: BOTH_HCP})
    means = listed(f"{MEAN.rounded(row)} over level {row[LEVEL]}" for row in by_level)
    cells = with_facts(run.tally.frame(COMBINED_HCP), run.agreement, LEVEL)
    enough = _levels(share_of(cells, cells[BOTH_HCP] >= GAME_POINTS, [LEVEL]))
    return (
        f"The two hands together have on average {means} HCP. The {GAME_POINTS} that are usually "
        f"enough for 3NT are there on {enough}."
    )


@about_doubles
def fits_text(run: Run) -> str:
    """The fit found or missed, in a sentence."""
    table = partner.fits(run)
    missed = _levels(share_of(table, table[OUTCOME] == partner.MISSED, [LEVEL]))
    left = _levels(share_of(table, table[OUTCOME] == partner.LEFT, [LEVEL]))
    return (
        f"A suit of eight cards was there but another suit was played on {missed}; it was there but "
        f"notrump was played on {left}. Notrump is not always the worse for it: the eight cards may "
        "be in a minor."
    )


@about_doubles
def final_contracts_text(run: Run) -> str:
    """The final contracts in a sentence."""
    table = partner.final_contracts(run)
    parts = []
    for level, part in table.groupby(LEVEL):
        *others, top = part.sort_values(DEALS, kind="stable").to_dict("records")
        ties = tied(top, others, FINAL_CONTRACT.of, parts=True)
        parts.append(
            f"over level {level}, “{FINAL_CONTRACT.of(top)}” on {ESTIMATE.rounded(top)}{ties}"
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
    table = partner.spade_raises(run)
    three_cards = share_of(table, table[OPENER_SPADES] == OPENER_SPADES.names[1], [OPENING_BID])
    more = share_of(table, table[OPENER_SPADES] == FOUR_OR_MORE, [OPENING_BID])
    text = (
        f"{reserved}Because 1♠ shows five, an opener with three spades knows of eight and raises: that "
        "is so on "
        + listed(
            f"{ESTIMATE.rounded(r)} after {OPENING_BID.of(r)}"
            for r in three_cards.to_dict("records")
        )
        + ". On another "
        + listed(
            f"{ESTIMATE.rounded(r)} after {OPENING_BID.of(r)}" for r in more.to_dict("records")
        )
        + " it has four or more and would raise anyway."
    )
    held = partner.opener_lengths(run)
    four = rows(share_of(held, held[OPENER_CARDS] >= MANY, [MESSAGE]), **{MESSAGE: _EXACTLY_FOUR})
    if not four:
        return text
    return (
        f"{text} Opposite the double, which shows exactly four, the opener needs four itself for a "
        f"fit of eight, and has them on {ESTIMATE.rounded(four[0])}. A partnership whose 1♠ may be "
        "four cards could not raise it on three with that knowledge."
    )


@about_doubles
def without_fit_text(run: Run) -> str:
    """How often the partnership lands too high without a fit, in a sentence."""
    table = partner.without_fit(run)
    parts = []
    for level in (2, 3):
        deals = table.loc[table[LAST_LEVEL] == level, DEALS].sum()
        counted = pd.DataFrame({DEALS: [deals], OF: doubles_counted(run)})
        (row,) = rows(with_intervals(counted, DEALS, OF))
        parts.append(f"{ESTIMATE.rounded(row)} at level {level}")
    return (
        f"Of all doubles, the partnership ends in a suit with fewer than {FIT_TRUMPS} trumps on "
        f"{listed(parts)}."
    )


@about_doubles
def trumps_text(run: Run) -> str:
    """The level against the trumps, and both hands' points there, in a sentence."""
    table = partner.above_trumps(run)
    if table.empty:
        return "*This does not apply: no double came to rest in a part-score in a suit.*"
    points = listed(f"{MEAN.rounded(row)} over level {row[LEVEL]}" for row in rows(table))
    return (
        f"Of the part-scores in a suit, {_levels(table)} are above the level of the trumps, beyond "
        "what the rule of thumb calls safe. Both hands' HCP in the part-scores are on average "
        f"{points}. What asking more at a higher level buys these means do not tell, for each level "
        "has hands of its own: the page on other agreements has, on the same deals, “seven throughout”, "
        "which asks the same at every level."
    )
