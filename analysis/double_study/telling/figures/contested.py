"""Figures of the fourth hand's part: all doubles as a flow, its calls by level, who plays at the end."""

from __future__ import annotations

import pandas as pd
from matplotlib.figure import Figure

from double_study.cards.bids import PASS
from double_study.columns import COLUMNS, named
from double_study.telling.figures.captions import counted, empty_places
from double_study.telling.figures.draw import dot_rows, in_order, row_figure, rows_text
from double_study.telling.figures.flow import LABELLED, flow
from double_study.telling.figures.style import COLOURS, HATCHES, canvas, caption, legend_above

_STEPS = ("advancer", "answer", "final_contract")


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
        f"n = {table['deals'].sum():,} doubles. A block under {LABELLED:.0%} of them has no name here; "
        "ways_to_contract.csv has them all, with 95% intervals.",
    )
    return figure


def ways_alt(table: pd.DataFrame) -> str:
    """The flow in words: the largest blocks of each column."""
    total = table["deals"].sum()
    parts = []
    for step in _STEPS:
        sums = table.groupby(step, observed=True)["deals"].sum().sort_values(ascending=False)
        text = ", ".join(
            f"{named(step).wording(n)} {d / total:.1%}" for n, d in sums.head(4).items()
        )
        parts.append(f"{named(step).heading}: {text}")
    return f"A flow of all doubles through three columns of blocks. {'; '.join(parts)}."


def advancer(table: pd.DataFrame) -> Figure:
    """The advancer's calls over the double, a dot for each level."""
    title = "What the fourth hand does over the double"
    return row_figure(table, "advancer", "level", "share of the level's doubles (%)", title)


def advancer_alt(table: pd.DataFrame) -> str:
    """The calls in words."""
    text = rows_text(table, "advancer", "level")
    return f"Rows of the advancer's calls with a dot for each level of the overcall. {text}."


def trumps(table: pd.DataFrame) -> Figure:
    """Our contracts in a suit at levels 2 to 4 by trumps, a dot for each level."""
    table = _at_levels(table)
    return row_figure(
        table,
        "trumps",
        "last_level",
        "share of our contracts in a suit at that level (%)",
        "How many trumps at which level",
        "contracts in a suit",
        "trumps in both hands",
    )


def trumps_alt(table: pd.DataFrame) -> str:
    """The trumps in words."""
    text = rows_text(_at_levels(table), "trumps", "last_level")
    return f"Rows of trumps with a dot for each level of the contract. {text}."


def _at_levels(table: pd.DataFrame) -> pd.DataFrame:
    return table[table["last_level"].between(2, 4)]


def penalties(table: pd.DataFrame) -> Figure:
    """What becomes of a penalty: a panel for five cards and one for four, a dot for each level."""
    panels = _by_cards(table)
    figure, axes = canvas(3.6, columns=len(panels), sharex=True, sharey=True, squeeze=False)
    for axis, (held, part) in zip(axes[0], panels.items(), strict=True):
        dot_rows(axis, part, "penalty", "level")
        axis.set_title(f"{COLUMNS['cards_in_theirs'].wording(held)} cards")
        axis.set_xlabel("share of such hands\nat the level (%)")
    legend_above(axes[0][0], columns=4)
    missing = empty_places("penalty", "level", *panels.values())
    counted(
        figure,
        f"{table['deals'].sum():,} hands that would double for penalties, by their cards in the suit "
        "overcalled",
        missing,
    )
    return figure


def penalties_alt(table: pd.DataFrame) -> str:
    """The same in words."""
    parts = [
        f"With {COLUMNS['cards_in_theirs'].wording(held)} cards, {rows_text(part, 'penalty', 'level')}"
        for held, part in _by_cards(table).items()
    ]
    return f"Panels of rows, one row for each end of a penalty, a dot for each level. {'. '.join(parts)}."


def _by_cards(table: pd.DataFrame) -> dict[object, pd.DataFrame]:
    """What each panel is drawn from: by cards in their suit, the most first."""
    return {
        held: table[table["cards_in_theirs"] == held]
        for held in reversed(in_order(table, "cards_in_theirs"))
    }
