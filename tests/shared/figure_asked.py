"""The marks that a table asks of its figure, worked out without the figures' own code."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd
from double_study.columns import COLUMNS, named
from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.rules.terms import (
    FOUR_OR_MORE,
    sequence_wording,
)
from double_study.stats import wilson
from readers.figure_marks import Marks
from scipy.stats import norm
from shared.small_runs import DEALS as ALL_DEALS

Place = Callable[[Mapping[Any, Any]], str]


def asked(
    table: pd.DataFrame,
    place: Place,
    series: Callable[[Mapping[Any, Any]], str] = lambda row: "",
    estimate: str = "estimate",
    panel: int = 0,
) -> Marks:
    """A mark a row with its whisker; where there is no interval both ends are at the value."""
    marks: Marks = {}
    for row in table.to_dict("records"):
        value, low, high = (
            named(estimate).scale * float(row[column]) for column in named(estimate).columns
        )
        ends = [value if np.isnan(end) else end for end in (low, high)]
        if np.isfinite(value):
            marks[panel, series(row), " ".join(place(row).split())] = (value, *ends)
    return marks


def rows_of(place: str, series: str) -> Callable[[pd.DataFrame], Marks]:
    return lambda table: asked(table, named(place).of, lambda row: named(series).label(row[series]))


def both_panels(place: str, left: str, right: str) -> Callable[[pd.DataFrame], Marks]:
    return lambda table: (
        asked(table, named(place).of, estimate=left)
        | asked(table, named(place).of, estimate=right, panel=1)
    )


def panels(
    by: str, names: Sequence[object], place: str, series: str
) -> Callable[[pd.DataFrame], Marks]:
    """A panel for each name that came up, in this order."""

    def marks(table: pd.DataFrame) -> Marks:
        found: Marks = {}
        for panel, name in enumerate(name for name in names if name in set(table[by])):
            part = table[table[by] == name]
            found |= asked(
                part, named(place).of, lambda row: named(series).label(row[series]), panel=panel
            )
        return found

    return marks


def funnel_marks(table: pd.DataFrame) -> Marks:
    return {
        (0, "bar", COLUMNS["step"].of(r)): (100 * r["estimate"],) for r in table.to_dict("records")
    }


def estimated(table: pd.DataFrame, hits: pd.Series, of: pd.Series | int) -> pd.DataFrame:
    """The table with another share in the place of its own."""
    table = table.copy()
    table["estimate"] = hits / of
    table["low"], table["high"] = wilson(hits, of)
    return table


def cell_marks(table: pd.DataFrame) -> Marks:
    """Both heat maps; numbers with the decimals that their cell shows, one or two."""
    marks: Marks = {}
    often = estimated(table, table["deals"], ALL_DEALS)
    for panel, (part, scale) in enumerate(((table, 100), (often, 10_000))):
        for row in part.to_dict("records"):
            half = scale * (row["high"] - row["low"]) / 2
            places = 1 if half >= 1 else 2
            key = (panel, COLUMNS["opening"].of(row), COLUMNS["overcall"].of(row))
            number = float(f"{scale * row['estimate']:.{places}f}")
            marks[key] = (row["estimate"], number, float(f"{half:.{places}f}"))
    return marks


def shapes_drawn(table: pd.DataFrame) -> pd.DataFrame:
    deals = table.groupby("pattern")["deals"].sum().sort_values(ascending=False, kind="stable")
    return table[table["pattern"].isin(deals.index[:8])]


def value_marks(table: pd.DataFrame) -> Marks:
    measure = "measure"
    marks = asked(table, COLUMNS["level"].of, named(measure).of, "mean")
    for row in table[table[measure] == "total_points"].to_dict("records"):
        marks[0, "total points asked, at least", COLUMNS["level"].of(row)] = (
            row["asked"],
            row["asked"],
        )
    return marks


def trump_marks(table: pd.DataFrame) -> Marks:
    enough = table[table["deals"] >= 30]
    return rows_of("over_trumps", "level")(table) | asked(
        enough,
        COLUMNS["over_trumps"].of,
        lambda row: COLUMNS["level"].label(row["level"]),
        "mean",
        1,
    )


def penalty_marks(table: pd.DataFrame) -> Marks:
    doubled = estimated(table, table["doubles"], table["of"])
    return (
        asked(doubled, COLUMNS["level"].of, lambda row: "double")
        | asked(table, COLUMNS["level"].of, lambda row: "penalty pass")
        | asked(table, COLUMNS["level"].of, estimate="ratio", panel=1)
    )


def block_marks(table: pd.DataFrame) -> Marks:
    marks: Marks = {}
    for column, step in enumerate(("advancer", "answer", "final_contract")):
        deals = table.groupby(step, observed=True)["deals"].sum()
        for order, number in enumerate(
            deals.reindex([n for n in named(step).names if n in deals.index])
        ):
            marks[column, order] = (number / table["deals"].sum(),)
    return marks


AUCTIONS = 8


def quoted_marks(table: pd.DataFrame) -> Marks:
    rows = table[(table["opener_holds"] == FOUR_OR_MORE) & table["estimate"].notna()]
    rows = rows.nlargest(AUCTIONS, "probability")

    def place(row: Mapping[Any, Any]) -> str:
        return f"{sequence_wording(row)} {row['major']}"

    marks = asked(rows, place, lambda row: "counted")
    for column, label in (
        ("naive", "by one's own cards alone"),
        ("after_opening", "with the opening"),
        ("exact", "with opening and overcall (exact)"),
    ):
        marks |= {(0, label, place(r)): (100 * r[column],) for r in rows.to_dict("records")}
    return marks


def difference_marks(table: pd.DataFrame) -> Marks:
    drawn = table.iloc[1:]
    drawn = drawn[drawn["deals"] > 0]
    return asked(
        drawn,
        lambda row: row["agreement"],
        estimate="difference",
    )


def sweep_marks(table: pd.DataFrame) -> Marks:
    twelve = list(dict.fromkeys(table["setting"]))[:12]
    return asked(
        table[table["setting"].isin(twelve)],
        lambda row: f"{row['meaning']} ({row['standing']})",
        lambda row: {1: "one higher", -1: "one lower"}[row["by"]],
        "difference",
    )


def length_marks(table: pd.DataFrame) -> Marks:
    marks: Marks = {}
    for panel, suit in enumerate(("spades", "hearts", "diamonds", "clubs")):
        part = table[table["suit"] == suit]
        for row in part[part[["estimate", "ignoring_bidding"]].max(axis=1) > 0.001].to_dict(
            "records"
        ):
            cards = str(row["cards"])
            marks[panel, "bar", cards] = (100 * row["estimate"],)
            marks[panel, "whisker", cards] = (100 * row["low"], 100 * row["high"])
            marks[panel, "by the split of the suit alone", cards] = (100 * row["ignoring_bidding"],)
    return marks


def call_marks(table: pd.DataFrame) -> Marks:
    marks: Marks = {}
    for row in table.to_dict("records"):
        call = COLUMNS["call"].of(row)
        marks[0, "bar", call] = (100 * row["share"],)
        marks[0, "whisker", call] = (100 * row["share_low"], 100 * row["share_high"])
        marks[0, "as the agreement stands", call] = (100 * row["standing"],)
    return marks


def z_marks(table: pd.DataFrame) -> Marks:
    z = np.sort(table.loc[table["exact"] > 0.01, "z"])
    places = norm.ppf((np.arange(len(z)) + 0.5) / len(z))
    return {(order,): at for order, at in enumerate(zip(places, z, strict=True))}


def calls_drawn(table: pd.DataFrame) -> Marks:
    return rows_of("call", "level")(table[table["call"] != ABOVE_CEILING_CALL])


ROLES = ("promised", "opened", "overcalled", "other")


OUTCOMES = "penalty"
