"""Sentences that read the tables of agreements compared; true of whatever agreement stands first."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from analysis.bidding.response import CALLS
from analysis.compare import NO_RESPONDER, Comparison
from analysis.estimates import ESTIMATE, HIGH, LOW, per_session
from analysis.sweep import DOUBLE_MEASURE
from analysis.tables.agreements import (
    AGREEMENT,
    BY,
    CAME_TO,
    DIFFERENCE,
    DIFFERENCE_HIGH,
    DIFFERENCE_LOW,
    DOUBLED_BEFORE,
    MEANING,
    MOVED,
    SETTING,
    STANDING,
    doubles_compared,
    fits_compared,
    instead,
    no_longer_reached,
    without_effect,
)
from analysis.tally import DEALS

_WORTH_TELLING = 0.005
"""A smaller share of what hands did instead is left to the table."""

_NOT_PLAYED = "By the agreement *{}* the responder's double is not played"


def doubles_said(comparisons: Sequence[Comparison]) -> str:
    """How often the first agreement doubles, and which of the others differ most."""
    table = doubles_compared(comparisons)
    first, others = table.iloc[0], table.iloc[1:].sort_values(DIFFERENCE)
    if not first[DEALS]:
        begin = f"{_NOT_PLAYED.format(first[AGREEMENT])}; the others are held against none at all."
    else:
        begin = (
            f"By the agreement *{first[AGREEMENT]}* the responder doubles on **{first[ESTIMATE]:.2%}** "
            f"of all deals ({first[LOW]:.2%} to {first[HIGH]:.2%})."
        )
    told = [
        f"*{row[AGREEMENT]}* {_points(row)}"
        for _, row in pd.concat([others.iloc[:2], others.iloc[:-3:-1]]).drop_duplicates().iterrows()
    ]
    return f"{begin} On the same deals, in percentage points of all deals: {'; '.join(told)}."


def _points(row: pd.Series) -> str:
    """A difference with its interval, in percentage points."""
    middle, low, high = (100 * row[c] for c in (DIFFERENCE, DIFFERENCE_LOW, DIFFERENCE_HIGH))
    return f"{middle:+.2f} ({low:+.2f} to {high:+.2f})"


def instead_said(comparison: Comparison) -> str:
    """What the hands that doubled under the first agreement do under the second."""
    first, second = comparison.first.name, comparison.second.name
    table = instead(comparison)
    if table.empty:
        return f"{_NOT_PLAYED.format(first)}: no hand doubled that could do something else."
    told = [
        f"{row[ESTIMATE]:.0%} {_came_to(str(row[CAME_TO]), bool(row['same_hand']))}"
        for _, row in table.iterrows()
        if row[ESTIMATE] > _WORTH_TELLING
    ]
    return (
        f"Of the {comparison.doubles.both + comparison.doubles.first_only:,} deals doubled under "
        f"*{first}*, under *{second}*: {', '.join(told)}."
    )


def _came_to(name: str, same_hand: bool) -> str:
    words = name.replace("_", " ")
    if name in NO_RESPONDER:
        return f"reach no responder ({words})"
    return f"`{name}`" + ("" if same_hand else " by another hand")


def fits_said(comparison: Comparison) -> str:
    """How many eight-card fits in a major go without mention under either agreement."""
    first, second = fits_compared([comparison]).to_dict("records")
    more = pd.Series(second)
    session = per_session(more[DIFFERENCE] / 2)
    return (
        f"Opener and responder hold eight or more cards of an unbid major that the responder's call "
        f"neither bids nor shows on {first[ESTIMATE]:.2%} of deals under *{first[AGREEMENT]}* "
        f"({first[LOW]:.2%} to {first[HIGH]:.2%}) and on {second[ESTIMATE]:.2%} under "
        f"*{second[AGREEMENT]}* ({second[LOW]:.2%} to {second[HIGH]:.2%}): a difference of "
        f"{_points(more)} percentage points on the same deals, for one partnership "
        f"{session:+.2f} a session."
    )


def reach_said(comparisons: Sequence[Comparison]) -> str:
    """Which agreements keep deals from the responder that came to one under the first."""
    table = no_longer_reached(comparisons)
    if table.empty:
        return "Every deal that comes to a responder under the first agreement does so under all."
    told = []
    for name, part in table.groupby(AGREEMENT, sort=False):
        ways = ", ".join(
            f"{row[DEALS]:,} {str(row[CAME_TO]).replace('_', ' ')}" for _, row in part.iterrows()
        )
        told.append(f"*{name}*: {ways} ({part[DOUBLED_BEFORE].sum():,} of them had been doubled)")
    return (
        f"Deals that came to a responder under *{comparisons[0].first.name}* and no longer do: "
        f"{'; '.join(told)}. Under the others every such deal still does."
    )


def sweep_said(table: pd.DataFrame, measure: str, most: int = 3) -> str:
    """Which settings move the measure, which hardly do, and which not at all."""
    settings = table.drop_duplicates(SETTING)
    idle = without_effect(table)
    if len(idle) == len(settings):
        return "There are no doubles for these settings to change: they do not apply."
    moved = settings[~settings[SETTING].isin(idle)]
    of = "of all deals" if measure == DOUBLE_MEASURE else "of the doubles"
    top = [_moves(table[table[SETTING] == setting]) for setting in moved[SETTING].head(most)]
    least = moved.iloc[-1]
    return (
        f"Moved by one, in percentage points {of}: {'; '.join(top)}. Of {len(settings)} settings "
        f"{len(idle)} change no deal at all, and the one that changes least of the others is "
        f"“{least[MEANING]}”."
    )


def _moves(steps: pd.DataFrame) -> str:
    told = [
        f"{row[STANDING]} to {row[MOVED]} {_points(row)}"
        for _, row in steps.sort_values(BY).iterrows()
    ]
    return f"**{steps[MEANING].iloc[0]}** (`{steps[SETTING].iloc[0]}`) {', '.join(told)}"


def idle_said(table: pd.DataFrame) -> str:
    """The settings that changed nothing, by name."""
    idle = without_effect(table)
    if not idle:
        return "Every setting changed some deal."
    return f"On these deals nothing changed with: {', '.join(f'`{key}`' for key in idle)}."


def calls_after_the_double() -> str:
    """The responder's calls whose rules are tried after the double, so that it takes none away."""
    later = CALLS[CALLS.index("double") + 1 : CALLS.index("pass")]
    return ", ".join(f"`{call}`" for call in later)
