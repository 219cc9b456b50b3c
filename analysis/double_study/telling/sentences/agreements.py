"""Sentences that read the tables of agreements compared; true of whatever agreement stands first."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from double_study.agreements.reader import REFERENCE, condition, origin, title
from double_study.columns import COLUMNS, Row
from double_study.comparing import MEASURED, NO_RESPONDER, Comparison, Moved
from double_study.counting.sessions import per_session
from double_study.escape import markdown
from double_study.rules.response import RESPONSE
from double_study.tables_compared import (
    doubles_compared,
    fits_compared,
    instead,
    no_longer_reached,
    without_effect,
)
from double_study.telling.sentences import in_words
from double_study.telling.sentences.phrases import INTERVALS, farthest
from double_study.words import listed

_WORTH_TELLING = 0.005
"""A smaller share of what hands did instead is left to the table."""

NOT_PLAYED = "By the agreement *{}* the responder's double is not played"
"""To be filled in with its name."""


def doubles_text(comparisons: Sequence[Comparison], most: int = 2) -> str:
    """How often the first agreement doubles, and which of the others differ most, either way."""
    first, *others = doubles_compared(comparisons).to_dict("records")
    if first["deals"]:
        begin = (
            f"**By the agreement *{markdown(first['agreement'])}* the responder doubles on "
            f"{in_words.share(first['estimate'], 'deal')}.**"
        )
    else:
        begin = f"**{NOT_PLAYED.format(markdown(first['agreement']))}.**"
    others = sorted((row for row in others if row["deals"]), key=lambda row: -row["difference"])
    parts = others if len(others) <= 2 * most else [*others[:most], *others[-most:]]
    moves = " ".join(_times(row, first) for row in parts)
    return (
        f"{begin} {moves} These are the furthest from it, on the same deals. The page has fewer deals "
        f"than the rest of the report, {first['of']:,}, so its shares may differ from those in the last "
        "figures."
    )


def _times(row: Row, first: Row) -> str:
    """How often an agreement doubles, for 100 times under the first."""
    where = markdown(condition(row["agreement"]))
    start = f"{where[0].upper()}{where[1:]}"
    if not first["deals"]:
        return f"{start} the responder doubles on {in_words.share(row['estimate'], 'deal')}."
    return (
        f"{start} you double {100 * row['deals'] / first['deals']:.0f} times instead of a hundred."
    )


def method_text(compared: Comparison, moved: Sequence[Moved], seed: int) -> str:
    """How the comparison and the sweep were made."""
    steps = moved[0].first_seat.deals
    return (
        f"{compared.deals:,} deals (seed {seed}) were each bid by every agreement, and the first "
        f"{steps:,} of them once more for each setting moved by one. {INTERVALS} Those of a share are "
        "Wilson's, those of a difference Newcombe's for paired data. The p-value beside a difference "
        "is exact however few the deals on which two agreements part: if neither did it more often, "
        "each such deal would be as likely to be the one's as the other's."
    )


def origins_text(comparisons: Sequence[Comparison]) -> str:
    """A line for each shipped agreement that is compared: what it is, and from what source."""
    names = (c.second.name for c in comparisons if c.second.name != REFERENCE.name)
    return "\n".join(f"- *{markdown(title(name))}*: {origin(name)}" for name in names)


def instead_text(comparison: Comparison) -> str:
    """What the deals doubled under the first agreement come to under the second."""
    first, second = (
        markdown(condition(agreement.name)) for agreement in (comparison.first, comparison.second)
    )
    rows = instead(comparison).to_dict("records")
    if not rows:
        return f"{first[0].upper()}{first[1:]} there is no double that could become something else."
    parts = [
        f"{COLUMNS['estimate'].rounded(row)} {_came_to(row)}"
        for row in rows
        if row["deals"] > _WORTH_TELLING * row["of"]
    ]
    return f"Of the {rows[0]['of']:,} deals doubled {first}, {second} there are: {listed(parts)}."


def _came_to(row: Row) -> str:
    if row["came_to"] in NO_RESPONDER:
        return f"reach no responder: {COLUMNS['came_to'].of(row)}"
    return COLUMNS["came_to"].of(row) + ("" if row["same_hand"] else " by another hand")


def fits_text(comparison: Comparison) -> str:
    """How many eight-card fits in a major go without mention under either agreement."""
    first, second = fits_compared([comparison]).to_dict("records")
    session = per_session(second["difference"])
    return (
        "Opener and responder hold eight or more cards of an unbid major that the responder's call "
        f"neither bids nor shows on {COLUMNS['estimate'].rounded(first)} of deals "
        f"{markdown(condition(first['agreement']))} and on {COLUMNS['estimate'].rounded(second)} "
        f"{markdown(condition(second['agreement']))}: on the same deals a difference of "
        f"{COLUMNS['difference'].rounded(second)} percentage points, for one partnership {session:+.2f} a session."
    )


def reach_text(comparisons: Sequence[Comparison]) -> str:
    """Which agreements keep deals from the responder that came to one under the first."""
    table = no_longer_reached(comparisons)
    first = markdown(condition(comparisons[0].first.name))
    if table.empty:
        return f"Every deal that comes to a responder {first} does so under all of them."
    parts = []
    for name, part in table.groupby("agreement", sort=False):
        doubled = part["doubled_before"].sum()
        parts.append(
            f"{markdown(condition(str(name)))}: {part['deals'].sum():,}, of which {doubled:,} had been doubled"
        )
    return (
        f"Deals that come to a responder {first} and no longer do are these: {'; '.join(parts)}. Under "
        "the others every such deal still does."
    )


def _above(row: Row) -> str:
    return f"overcalls above {row['ceiling']}"


def _moved(row: Row) -> str:
    return f"“{row['meaning']}” from {row['standing']} to {row['moved']}"


def ceilings_text(table: pd.DataFrame) -> str:
    """What the table of overcalls above each ceiling finds."""
    return (
        "Exact by these rules, for an opening in first seat: what share of all deals has an overcall "
        "above each ceiling, for which the agreement has no call. "
        f"{farthest(table, _above)}"
    )


def exact_changes_text(table: pd.DataFrame) -> str:
    """What the table of exact changes finds, or how to have it."""
    if table.empty:
        return (
            "What a step of the responder's settings changes is known exactly too, where a run works "
            "the responder's calls out. This one goes without."
        )
    return (
        "What a step of the responder's settings changes after an opening in first seat is known "
        "exactly by these rules. "
        f"{farthest(table, _moved)}"
    )


def sweep_text(table: pd.DataFrame, measure: str, most: int = 3) -> str:
    """Which settings move the measure, which hardly do, and how many not at all."""
    settings, idle = table.drop_duplicates("setting"), without_effect(table)
    if not table["of"].any():
        return f"These settings do not apply: there are none of {MEASURED[measure]} that they could change."
    if len(idle) == len(settings):
        return f"On these deals no setting, moved by one, changes the {measure}."
    moved = settings[~settings["setting"].isin(idle)]
    top = [_moves(table[table["setting"] == setting]) for setting in moved["setting"].head(most)]
    return (
        f"Moved by one, in percentage points of {MEASURED[measure]}: {'; '.join(top)}. Settings that "
        f"change nothing at all: {len(idle)} of {len(settings)}."
    )


def _moves(steps: pd.DataFrame) -> str:
    parts = [
        f"from {row['standing']} to {row['moved']}: {COLUMNS['difference'].rounded(row)}"
        for row in steps.sort_values("by").to_dict("records")
    ]
    return f"**{steps['meaning'].iloc[0]}** {listed(parts)}"


def idle_text(table: pd.DataFrame) -> str:
    """The settings that changed nothing, in words."""
    idle = without_effect(table)
    if not idle:
        return "Every setting changed something."
    if len(idle) == table["setting"].nunique():
        return "None of the settings changed anything."
    meanings = table.drop_duplicates("setting").set_index("setting")["meaning"]
    return f"On these deals nothing changed with {listed(f'“{meanings[key]}”' for key in idle)}."


def after_the_double() -> str:
    """Which of the responder's settings cannot take a double away, and why."""
    later = RESPONSE.names[RESPONSE.names.index("double") + 1 : -2]
    return (
        f"The rules of {listed(f'`{name}`' for name in later)} are tried after the double, so their "
        "settings, as far as they are theirs alone, cannot change how often it is made; nor can the "
        "settings of the opener's answer and of what follows."
    )
