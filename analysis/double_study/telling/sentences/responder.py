"""Sentences of the third notebook: what the double looks like."""

from __future__ import annotations

from math import hypot

import pandas as pd

from double_study import words as numerals
from double_study.columns import COLUMNS, Row
from double_study.tables import Run, rows, share_where, shares
from double_study.telling.sentences import in_words
from double_study.telling.sentences.phrases import about_doubles, tied
from double_study.words import listed

SHORT = 2
"""Cards in the overcaller's suit that count as short in it."""


def _values(run: Run, measure: str = "total_points") -> list[Row]:
    return [*rows(run.table("values"), measure=measure)]


@about_doubles
def answer(run: Run) -> str:
    """The answer in a paragraph."""
    first, *later = _values(run)
    more = "".join(
        f" Over level {row['level']} it has {COLUMNS['mean'].rounded(row)}." for row in later
    )
    ranked = shares(run.table("patterns"), ["pattern"]).sort_values("estimate", kind="stable")
    *others, pattern = ranked.to_dict("records")
    ties = tied(pattern, others, COLUMNS["pattern"].of, parts=True)
    return (
        f"**Over an overcall at level {first['level']} the doubler has {COLUMNS['mean'].rounded(first)} total points, "
        f"on the average.**{more} {rise(run)} The commonest shape is {pattern['pattern']}{ties}. It is "
        f"that of {in_words.share(pattern['estimate'], 'double')}."
    )


@about_doubles
def rise(run: Run) -> str:
    """How much the values rise with the level, beside how much more is asked."""
    by_level = _values(run)
    first, last = by_level[0], by_level[-1]
    if first is last:
        return f"All doubles came over level {first['level']}, so no rise can be measured."
    middle = last["mean"] - first["mean"]
    # The levels are different deals, so the standard errors of their means add as squares.
    reach = hypot(*(row["mean_high"] - row["mean"] for row in (first, last)))
    asked = int(last["asked"] - first["asked"])
    return (
        f"From level {first['level']} to level {last['level']} the agreement asks "
        f"{_change(asked, in_words.number(abs(asked)))}. On the average the hands hold "
        f"{_change(middle, numerals.rounded(abs(middle), middle - reach, middle + reach))}."
    )


def _change(by: float, said: str) -> str:
    """A change in points, ``said`` being its size: ``four points more``."""
    if by == 0:
        return "the same"
    return f"{said} point{'' if said == 'one' else 's'} {'more' if by > 0 else 'fewer'}"


@about_doubles
def check_text(run: Run) -> str:
    """The fewest points seen beside what is asked, in a sentence."""
    fewest = run.table("points").groupby("level")["total_points"].min()
    seen = listed(
        f"{fewest[row['level']]} over level {row['level']}, where {row['asked']} are asked"
        for row in _values(run)
    )
    return f"The fewest total points that any doubler had: {seen}."


@about_doubles
def points_text(run: Run) -> str:
    """The points by level in a sentence."""
    by_level, table = _values(run), run.table("points")
    last = by_level[-1]
    parts = [
        f"Over level {row['level']} a tenth of the doublers have at most {row['tenth']}, half at most "
        f"{row['median']}, nine tenths at most {row['ninetieth']}."
        for row in by_level
    ]
    enough = share_where(table, table["total_points"] >= last["asked"], ["level"])
    shown = (
        listed(
            f"{in_words.share(row['estimate'], 'doubler')} over level {row['level']}"
            for row in enough.to_dict("records")
            if row["level"] < last["level"]
        )
        if len(by_level) > 1
        else ""
    )
    more = (
        f" The {last['asked']} points that level {last['level']} asks are held by {shown}."
        if shown
        else ""
    )
    return " ".join(parts) + more


@about_doubles
def messages_text(run: Run) -> str:
    """The points by what is promised, in a sentence."""
    means = listed(
        f"{COLUMNS['mean'].rounded(row)} where it promises {COLUMNS['message'].of(row)}"
        for row in rows(run.table("values_by_message"), measure="total_points")
    )
    return f"By what the double promises, the mean of the total points is {means}."


@about_doubles
def values_text(run: Run) -> str:
    """How far the mean lies above what is asked, in a sentence."""
    by_level = _values(run)
    above = listed(
        f"{row['mean'] - row['asked']:.1f} points over level {row['level']}" for row in by_level
    )
    return (
        "Nothing bounds the double from above, so the mean lies above the least that is asked, by "
        f"{above}."
    )


@about_doubles
def patterns_text(run: Run) -> str:
    """The shapes in a sentence."""
    table = run.table("patterns")
    parts = []
    for message, part in table.groupby("message", observed=True):
        top = part.sort_values("deals", ascending=False, kind="stable").to_dict("records")[:2]
        text = listed(f"{row['pattern']} on {COLUMNS['estimate'].rounded(row)}" for row in top)
        parts.append(f"where it promises {COLUMNS['message'].wording(message)}, {text}")
    return f"The commonest shapes: {'; '.join(parts)}."


@about_doubles
def lengths_text(run: Run) -> str:
    """The lengths in a sentence."""
    table = run.table("lengths")
    promised = table[table["role"] == "promised"]
    five = share_where(promised, promised["cards"] > 4, ["level"])
    theirs = table[table["role"] == "overcalled"]
    short = share_where(theirs, theirs["cards"] <= SHORT, ["level"])
    longer = listed(
        f"{COLUMNS['estimate'].rounded(r)} over level {r['level']}" for r in five.to_dict("records")
    )
    shorter = listed(
        f"{COLUMNS['estimate'].rounded(r)} over level {r['level']}"
        for r in short.to_dict("records")
    )
    return (
        f"The longest promised suit has five cards or more on {longer} of the doubles. In the "
        f"overcaller's suit the doubler has {SHORT} cards or fewer on {shorter}."
    )


def by_level(table: pd.DataFrame) -> pd.DataFrame:
    """The table of lengths or of points with what is promised left aside."""
    keys = [key for key in ("role", "level") if key in table]
    along = "cards" if "cards" in table else "total_points"
    return shares(table, [*keys, along], within=keys)
