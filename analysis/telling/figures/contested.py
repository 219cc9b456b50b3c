"""Figures of the fourth hand's part: all doubles as a flow, its calls by level, who plays at the end."""

from __future__ import annotations

import pandas as pd
from matplotlib.figure import Figure

from analysis.bidding.advancer import ADVANCER_CALL
from analysis.bidding.after_overcall import LEVEL
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.final_contract import FINAL_CONTRACT
from analysis.cards.bids import PASS
from analysis.counting.contract_counts import LAST_LEVEL, TRUMPS
from analysis.counting.pass_counts import CARDS_IN_THEIRS
from analysis.counting.tally import DEALS
from analysis.telling.figures.draw import INTERVALS, dot_rows, in_order, rows_text
from analysis.telling.figures.flow import LABELLED, flow
from analysis.telling.figures.style import COLOURS, HATCHES, canvas, caption, legend_above
from analysis.telling.tables.contested import PENALTY_OUTCOME

_STEPS = (ADVANCER_CALL, ANSWER_GIVEN, FINAL_CONTRACT)


def ways(table: pd.DataFrame) -> Figure:
    """All doubles, from the advancer's call over the opener's answer to the final contract."""
    figure, axis = canvas(6.2)
    flow(axis, table, _STEPS, PASS, ("the advancer", "the opener", "the end"))
    axis.set_title("From the double to the final contract", pad=22)
    for series, text in enumerate(("the advancer passes", "the advancer bids")):
        axis.fill_between(
            [], [], [], facecolor=COLOURS[series], alpha=0.45, hatch=HATCHES[series], label=text
        )
    legend_above(axis, columns=2)
    caption(
        figure,
        f"n = {table[DEALS].sum():,} doubles. A block under {LABELLED:.0%} of them has no name here;\n"
        "ways_to_contract.csv has them all, with 95% intervals.",
    )
    return figure


def ways_alt(table: pd.DataFrame) -> str:
    """The flow in words: the largest blocks of each column."""
    total = table[DEALS].sum()
    parts = []
    for step in _STEPS:
        sums = table.groupby(step, observed=True)[DEALS].sum().sort_values(ascending=False)
        text = ", ".join(f"{step.wording(n)} {d / total:.1%}" for n, d in sums.head(4).items())
        parts.append(f"{step.heading}: {text}")
    return f"A flow of all doubles through three columns of blocks. {'; '.join(parts)}."


def advancer(table: pd.DataFrame) -> Figure:
    """The advancer's calls over the double, a dot for each level."""
    figure, axis = canvas(0.38 * table[ADVANCER_CALL].nunique() + 1.5)
    dot_rows(axis, table, ADVANCER_CALL, LEVEL)
    axis.set_xlim(left=-1)
    axis.set_xlabel("share of the level's doubles (%)")
    axis.set_title("What the fourth hand does over the double")
    legend_above(axis, columns=4)
    caption(figure, f"n = {table[DEALS].sum():,} doubles. {INTERVALS}")
    return figure


def advancer_alt(table: pd.DataFrame) -> str:
    """The calls in words."""
    text = rows_text(table, ADVANCER_CALL, LEVEL)
    return f"Rows of the advancer's calls with a dot for each level of the overcall. {text}."


def trumps(table: pd.DataFrame) -> Figure:
    """Our contracts in a suit at levels 2 to 4 by trumps, a dot for each level."""
    table = table[table[LAST_LEVEL].between(2, 4)]
    figure, axis = canvas(0.36 * table[TRUMPS].nunique() + 1.5)
    dot_rows(axis, table, TRUMPS, LAST_LEVEL)
    axis.set_xlim(left=-1)
    axis.set_xlabel("share of our contracts in a suit at that level (%)")
    axis.set_ylabel("trumps in both hands")
    axis.set_title("How many trumps at which level")
    legend_above(axis, columns=3)
    caption(figure, f"n = {table[DEALS].sum():,} contracts in a suit. {INTERVALS}")
    return figure


def trumps_alt(table: pd.DataFrame) -> str:
    """The trumps in words."""
    text = rows_text(table[table[LAST_LEVEL].between(2, 4)], TRUMPS, LAST_LEVEL)
    return f"Rows of trumps with a dot for each level of the contract. {text}."


def penalties(table: pd.DataFrame) -> Figure:
    """What becomes of a penalty: a panel for five cards and one for four, a dot for each level."""
    cards = in_order(table, CARDS_IN_THEIRS)[::-1]
    figure, axes = canvas(3.6, columns=len(cards), sharey=True, squeeze=False)
    for axis, held in zip(axes[0], cards, strict=True):
        dot_rows(axis, table[table[CARDS_IN_THEIRS] == held], PENALTY_OUTCOME, LEVEL)
        axis.set_xlim(-2, 102)
        axis.set_title(f"{CARDS_IN_THEIRS.wording(held)} cards")
        axis.set_xlabel("share of such hands\nat the level (%)")
    legend_above(axes[0][0], columns=4)
    caption(
        figure, f"n = {table[DEALS].sum():,} hands that would double for penalties. {INTERVALS}"
    )
    return figure


def penalties_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    parts = []
    for held in in_order(table, CARDS_IN_THEIRS)[::-1]:
        text = rows_text(table[table[CARDS_IN_THEIRS] == held], PENALTY_OUTCOME, LEVEL)
        parts.append(f"With {CARDS_IN_THEIRS.wording(held)} cards, {text}")
    return f"Panels of rows, one row for each end of a penalty, a dot for each level. {'. '.join(parts)}."
