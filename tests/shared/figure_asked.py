"""The marks that a table asks of its figure, worked out without the figures' own code."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd
from double_study.asking import odds as on
from double_study.cards.bids import SUIT
from double_study.columns import Column, Estimate
from double_study.combinatorics.responses import PROBABILITY
from double_study.combinatorics.table import AFTER_OPENING, NAIVE
from double_study.counting import responder_hands as held
from double_study.counting.counts import ABOVE_CEILING_CALL, OVER_TRUMPS, POINTS
from double_study.counting.tally import DEALS
from double_study.rules.advancer import ADVANCER_CALL
from double_study.rules.contested import ANSWER_GIVEN
from double_study.rules.contested_end import FINAL_CONTRACT
from double_study.rules.response import CALL
from double_study.rules.terms import (
    FOUR_OR_MORE,
    LEVEL,
    MAJOR,
    OPENER_HOLDS,
    OPENING_BID,
    OVERCALL_BID,
    sequence_wording,
)
from double_study.stats import ESTIMATE, EXACT, HIGH, LOW, OF, Z, wilson
from double_study.telling.tables import agreements as agreement_tables
from double_study.telling.tables import contested as contested_tables
from double_study.telling.tables import responder as responder_tables
from double_study.telling.tables.funnel import STEP
from double_study.telling.tables.given_up import DOUBLES, RATIO
from double_study.telling.tables.shares import ASKED, MEAN
from readers.figure_marks import Marks
from scipy.stats import norm
from shared.small_runs import DEALS as ALL_DEALS

Place = Callable[[Mapping[Any, Any]], str]


def asked(
    table: pd.DataFrame,
    place: Place,
    series: Callable[[Mapping[Any, Any]], str] = lambda row: "",
    estimate: Estimate = ESTIMATE,
    panel: int = 0,
) -> Marks:
    """A mark a row with its whisker; where there is no interval both ends are at the value."""
    marks: Marks = {}
    for row in table.to_dict("records"):
        value, low, high = (estimate.scale * float(row[column]) for column in estimate.columns)
        ends = [value if np.isnan(end) else end for end in (low, high)]
        if np.isfinite(value):
            marks[panel, series(row), " ".join(place(row).split())] = (value, *ends)
    return marks


def rows_of(place: Column, series: Any) -> Callable[[pd.DataFrame], Marks]:
    return lambda table: asked(table, place.of, lambda row: series.label(row[series]))


def both_panels(place: Column, left: Estimate, right: Estimate) -> Callable[[pd.DataFrame], Marks]:
    return lambda table: (
        asked(table, place.of, estimate=left) | asked(table, place.of, estimate=right, panel=1)
    )


def panels(
    by: Column, names: Sequence[object], place: Column, series: Any
) -> Callable[[pd.DataFrame], Marks]:
    """A panel for each name that came up, in this order."""

    def marks(table: pd.DataFrame) -> Marks:
        found: Marks = {}
        for panel, name in enumerate(name for name in names if name in set(table[by])):
            part = table[table[by] == name]
            found |= asked(part, place.of, lambda row: series.label(row[series]), panel=panel)
        return found

    return marks


def funnel_marks(table: pd.DataFrame) -> Marks:
    return {(0, "bar", STEP.of(r)): (100 * r[ESTIMATE],) for r in table.to_dict("records")}


def estimated(table: pd.DataFrame, hits: pd.Series, of: pd.Series | int) -> pd.DataFrame:
    """The table with another share in the place of its own."""
    table = table.copy()
    table[ESTIMATE] = hits / of
    table[LOW], table[HIGH] = wilson(hits, of)
    return table


def cell_marks(table: pd.DataFrame) -> Marks:
    """Both heat maps; numbers with the decimals that their cell shows, one or two."""
    marks: Marks = {}
    often = estimated(table, table[DEALS], ALL_DEALS)
    for panel, (part, scale) in enumerate(((table, 100), (often, 10_000))):
        for row in part.to_dict("records"):
            half = scale * (row[HIGH] - row[LOW]) / 2
            places = 1 if half >= 1 else 2
            key = (panel, OPENING_BID.of(row), OVERCALL_BID.of(row))
            number = float(f"{scale * row[ESTIMATE]:.{places}f}")
            marks[key] = (row[ESTIMATE], number, float(f"{half:.{places}f}"))
    return marks


def shapes_drawn(table: pd.DataFrame) -> pd.DataFrame:
    deals = table.groupby("pattern")[DEALS].sum().sort_values(ascending=False, kind="stable")
    return table[table["pattern"].isin(deals.index[:8])]


def value_marks(table: pd.DataFrame) -> Marks:
    measure = responder_tables.MEASURE
    marks = asked(table, LEVEL.of, measure.of, MEAN)
    for row in table[table[measure] == POINTS].to_dict("records"):
        marks[0, "total points asked, at least", LEVEL.of(row)] = (row[ASKED], row[ASKED])
    return marks


def trump_marks(table: pd.DataFrame) -> Marks:
    enough = table[table[DEALS] >= 30]
    return rows_of(OVER_TRUMPS, LEVEL)(table) | asked(
        enough, OVER_TRUMPS.of, lambda row: LEVEL.label(row[LEVEL]), MEAN, 1
    )


def penalty_marks(table: pd.DataFrame) -> Marks:
    doubled = estimated(table, table[DOUBLES], table[OF])
    return (
        asked(doubled, LEVEL.of, lambda row: "double")
        | asked(table, LEVEL.of, lambda row: "penalty pass")
        | asked(table, LEVEL.of, estimate=RATIO, panel=1)
    )


def block_marks(table: pd.DataFrame) -> Marks:
    marks: Marks = {}
    for column, step in enumerate((ADVANCER_CALL, ANSWER_GIVEN, FINAL_CONTRACT)):
        deals = table.groupby(step, observed=True)[DEALS].sum()
        for order, number in enumerate(deals.reindex([n for n in step.names if n in deals.index])):
            marks[column, order] = (number / table[DEALS].sum(),)
    return marks


AUCTIONS = 8


def quoted_marks(table: pd.DataFrame) -> Marks:
    rows = table[(table[OPENER_HOLDS] == FOUR_OR_MORE) & table[ESTIMATE].notna()]
    rows = rows.nlargest(AUCTIONS, PROBABILITY)

    def place(row: Mapping[Any, Any]) -> str:
        return f"{sequence_wording(row)} {row[MAJOR]}"

    marks = asked(rows, place, lambda row: "counted")
    for column, label in (
        (NAIVE, "by one's own cards alone"),
        (AFTER_OPENING, "with the opening"),
        (EXACT, "with opening and overcall (exact)"),
    ):
        marks |= {(0, label, place(r)): (100 * r[column],) for r in rows.to_dict("records")}
    return marks


def difference_marks(table: pd.DataFrame) -> Marks:
    drawn = table.iloc[1:]
    drawn = drawn[drawn[DEALS] > 0]
    return asked(
        drawn,
        lambda row: row["agreement"],
        estimate=agreement_tables.DIFFERENCE,
    )


def sweep_marks(table: pd.DataFrame) -> Marks:
    twelve = list(dict.fromkeys(table[agreement_tables.SETTING]))[:12]
    return asked(
        table[table[agreement_tables.SETTING].isin(twelve)],
        lambda row: f"{row[agreement_tables.MEANING]} ({row[agreement_tables.STANDING]})",
        lambda row: {1: "one higher", -1: "one lower"}[row[agreement_tables.BY]],
        agreement_tables.DIFFERENCE,
    )


def length_marks(table: pd.DataFrame) -> Marks:
    marks: Marks = {}
    for panel, suit in enumerate(("spades", "hearts", "diamonds", "clubs")):
        part = table[table[SUIT] == suit]
        for row in part[part[[ESTIMATE, on.PLAIN]].max(axis=1) > 0.001].to_dict("records"):
            cards = str(row[on.CARDS])
            marks[panel, "bar", cards] = (100 * row[ESTIMATE],)
            marks[panel, "whisker", cards] = (100 * row[LOW], 100 * row[HIGH])
            marks[panel, "by the split of the suit alone", cards] = (100 * row[on.PLAIN],)
    return marks


def call_marks(table: pd.DataFrame) -> Marks:
    marks: Marks = {}
    for row in table.to_dict("records"):
        call = CALL.of(row)
        marks[0, "bar", call] = (100 * row[held.SHARE],)
        marks[0, "whisker", call] = (100 * row[held.SHARE.low], 100 * row[held.SHARE.high])
        marks[0, "as the agreement stands", call] = (100 * row["standing"],)
    return marks


def z_marks(table: pd.DataFrame) -> Marks:
    z = np.sort(table.loc[table[EXACT] > 0.01, Z])
    places = norm.ppf((np.arange(len(z)) + 0.5) / len(z))
    return {(order,): at for order, at in enumerate(zip(places, z, strict=True))}


def calls_drawn(table: pd.DataFrame) -> Marks:
    return rows_of(CALL, LEVEL)(table[table[CALL] != ABOVE_CEILING_CALL])


ROLES = ("promised", "opened", "overcalled", "other")


OUTCOMES = contested_tables.PENALTY_OUTCOME
