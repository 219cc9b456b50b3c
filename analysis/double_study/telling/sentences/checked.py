"""Sentences and tables about the check of the machine: exact counterparts, splits, claims."""

from __future__ import annotations

import pandas as pd

from double_study.checking.claims import ID, STUDY
from double_study.checking.comparison import (
    FALSE_ALARM,
)
from double_study.checking.families import independence_families
from double_study.checking.power import SHARES, power
from double_study.columns import Row
from double_study.counting.counts import CHECKED_SHARE
from double_study.escape import markdown
from double_study.rules.terms import FOUR_OR_MORE, SEQUENCE, sequence_wording
from double_study.tables import Run
from double_study.telling.sentences import in_words
from double_study.telling.sentences.reading import reading_table
from double_study.words import listed


def verdict(run: Run, tests: pd.DataFrame) -> str:
    """Whether the machine passes, on how much evidence, and how often a right one would fail."""
    failed = tests.loc[~tests["passes"], "family"].to_list()
    lowest = tests.iloc[int(tests["p_value"].argmin())]
    passes = f"**The machine fails: {listed(failed)}.**" if failed else "**The machine passes.**"
    passed = f"{len(failed)} failed" if failed else "all passed"
    independence = {family.name for family in independence_families(run.tally)}
    spread = tests["family"].isin(independence)
    return (
        f"{passes} What was counted was checked against figures worked out without dealing, in "
        f"{len(tests)} tests; {passed}. It was counted on {run.tally.deals:,} deals. "
        f"The dealing was looked at on one deal in {in_words.number(CHECKED_SHARE)}. "
        f"Beside exact values stand {tests.loc[~spread, 'cells'].sum():,} counts. "
        f"Another {tests.loc[spread, 'cells'].sum():,} have none: of them is asked whether the deals know "
        "nothing of each other. The least likely of the tests had a chance of "
        f"{lowest['p_value']:.2g}. A test fails at a chance of less than once in "
        f"{1 / lowest['fails_below']:,.0f}. A machine that is right fails about once in "
        f"{1 / FALSE_ALARM:,.0f} such checks."
    )


def tests_table(tests: pd.DataFrame) -> str:
    """The joint tests as a Markdown table."""
    return reading_table(
        tests, "family", "deals", "cells", "pooled", "statistic", "df", "p_value", "passes"
    )


def power_text() -> str:
    """What the check can see: which share of each fault it finds nine times in ten, as Markdown."""
    return (
        "What such a check can see was tried out: faults were planted in the machine, each in a share of "
        "the places where it could show. The table states from which share on a run is found out "
        "nine times in ten. It is the same for a longer run where a fault is sought in the first "
        "million deals only, or by its fingerprint.\n\n"
        + reading_table(power(), "fault", *SHARES, "seen_by")
        + "\n\nA rule that is itself wrong is seen by none of these checks, for the exact values follow "
        "the same rules. Against that the tests hold a second reading of the rules, written apart."
    )


def misquoted(run: Run, table: pd.DataFrame, responder_cards: int) -> str:
    """How far the figure by one's own cards alone is from the true one, over all auctions.

    ``table`` is :func:`double_study.tables.opener_in_major` for that many cards.
    """
    rows = table[table["opener_holds"] == FOUR_OR_MORE]
    if rows.empty:
        return f"*This does not apply: by “{markdown(run.agreement.name)}” no auction leaves a major unbid.*"
    common = rows.to_dict("records")[0]
    in_order = rows.sort_values("exact").to_dict("records")
    low, high = (_with_equals(in_order, row) for row in (in_order[0], in_order[-1]))
    return (
        f"With {in_words.number(responder_cards)} cards of an unbid major and nothing else known, the "
        f"opener holds four or more on {common['naive']:.1%} of deals. The auction that comes up most is "
        f"{sequence_wording(common)}. By these rules the opener then holds four or more "
        f"{common['major']} on **{common['exact']:.1%}**. The opening alone would make it "
        f"{common['after_opening']:.1%}. Of all auctions the figure is lowest for {low}. It is "
        f"highest for {high}. All of them are exact, for an opening in "
        "first seat."
    )


_ROUNDING = 1e-9
"""Exact values that differ by less are equal: sums of as many terms in another order."""


def _with_equals(rows: list[Row], row: Row) -> str:
    """A row's major, auction and figure, and those whose figure is the same."""
    same = [other for other in rows if abs(other["exact"] - row["exact"]) < _ROUNDING]
    parts = [f"{other['major']} after {sequence_wording(other)}" for other in same]
    return f"{listed(parts)}, at {row['exact']:.1%}"


def majors_table(table: pd.DataFrame, auctions: int) -> str:
    """The commonest auctions of ``table`` with opener's chance of four or more, as Markdown."""
    rows = table[table["opener_holds"] == FOUR_OR_MORE].head(auctions)
    columns = [
        *SEQUENCE.columns,
        "major",
        "naive",
        "after_opening",
        "exact",
        "estimate",
        "z",
        "p_value",
    ]
    return reading_table(rows, *columns)


def claims_text(claims: pd.DataFrame) -> str:
    """Every claim as a paragraph: what was said, this study's figure, and what either counts."""
    parts = []
    for claim in claims.drop(columns=ID).to_dict("records"):
        parts.append(
            f"**{claim['claim']}**\n"
            f"- published: {claim['published']} ({claim['source']})\n"
            f"- this study: {claim[STUDY]}\n"
            f"- they count: {claim['they_count']}\n"
            f"- we count: {claim['we_count']}"
        )
    return "\n\n".join(parts)
