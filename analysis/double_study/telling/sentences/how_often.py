"""Sentences of the first notebook: how often the double arises."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import log1p, nan

import pandas as pd

from double_study.checking.comparison import FALSE_ALARM
from double_study.columns import COLUMNS, Row, named
from double_study.combinatorics.table import ANY
from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.counting.sessions import BOARDS_PER_SESSION
from double_study.escape import markdown
from double_study.rules.response import DOUBLE
from double_study.rules.terms import sequence_wording
from double_study.stats import CERTAINTY, CONFIDENCE
from double_study.tables import Run, first_seat_fit, rows
from double_study.telling.sentences import in_words
from double_study.telling.sentences.phrases import INTERVALS, about_doubles, farthest, tied
from double_study.telling.sentences.reading import markdown_table
from double_study.words import listed


def method(run: Run) -> str:
    """How the numbers were made, in a paragraph."""
    record = run.record
    return (
        f"The study dealt {record.deals:,} hands at random (seed {record.seed}), bid each by the "
        f"rules of the agreement “{markdown(record.agreement.name)}”, and counted. A bracket in a table "
        f"holds an interval: Wilson's at {CONFIDENCE:.0%}, for its own number and not for a whole table at "
        "once. A sentence gives no more figures than that supports. A deal "
        "counts whichever side opens. One partnership opens on half of the deals in the long run, "
        "since over a session either side deals equally often: numbers per session are for one "
        "partnership, and so are half of what the table sees."
    )


def precision_text(run: Run) -> str:
    """How near the counted figures are, and what other numbers of deals would make of that."""
    said = (
        "Figures called exact have no interval. A counted one has, and ten times as many deals make "
        "it three times narrower."
    )
    table = run.table("doubles_by_auction")
    table = table[table["of"] > 0]
    if table.empty:
        return said
    (doubled,) = rows(run.table("funnel"), step="doubled")
    _, low, high = COLUMNS["estimate"].columns
    widest = max(rows(table), key=lambda row: row[high] - row[low])
    return (
        f"{said} On {run.tally.deals:,} deals the double's share of the overcalls within its reach "
        f"is known to {_either_way(doubled, 'given')} either way. Of single auctions it is known least well "
        f"after {sequence_wording(widest)}, to {_either_way(widest, 'estimate')}."
    )


def _either_way(row: Row, share: str) -> str:
    """Half the width of a share's interval, in percentage points."""
    _, low, high = named(share).columns
    return f"{50 * (row[high] - row[low]):.2g} percentage points"


def rule(run: Run) -> str:
    """The rule of the double as the agreement in force has it."""
    return f"The rule for the double in this agreement: {DOUBLE.sentence(run.agreement)}."


@about_doubles
def answer(run: Run) -> str:
    """The answer in a paragraph."""
    (last,) = rows(run.table("funnel"), step="doubled")
    most, ties = _most(run.table("doubles_by_auction"), sequence_wording)
    first = _first_seat(run)
    exact: str = (
        f"Where the dealer opens, that is on {first['exact']:.4%}, an exact figure by these rules. It is the "
        "smaller, for it leaves out the openings of the other three seats. "
        if pd.notna(first["exact"])
        else ""
    )
    return (
        f"**The responder doubles on {in_words.share(last['estimate'], 'deal')}.** As a share of all "
        f"deals it is {COLUMNS['estimate'].rounded(last)}. {exact}Of the overcalls in a suit within its reach the "
        f"responder doubles {in_words.share(last['given'], 'overcall')}. One partnership makes the "
        f"call {in_words.in_evenings(last['per_session'])}. An evening is {BOARDS_PER_SESSION} boards. "
        f"Most of all the double comes up after {sequence_wording(most)}{ties}."
    )


@about_doubles
def headline_table(run: Run) -> str:
    """The figures behind the answer with their intervals, as Markdown: for all seats, and the dealer's."""
    (every,) = rows(run.table("funnel"), step="doubled")
    first = _first_seat(run)
    measures: tuple[str, ...] = ("estimate", "exact", "given", "per_session", "boards")
    heading = [
        "the responder doubles",
        "of all deals",
        COLUMNS["exact"].heading,
        "of the overcalls within reach",
    ]
    heading += [COLUMNS["per_session"].heading, COLUMNS["boards"].heading]
    whose: dict[str, Row] = {
        "whoever opens": {**every, "exact": nan},
        "where the dealer opens": first,
    }
    cells = [[name, *(named(column).of(row) for column in measures)] for name, row in whose.items()]
    return f"{markdown_table([heading, *cells], range(1, len(heading)))}\n\n{INTERVALS}"


def _first_seat(run: Run) -> Row:
    """The double after an opening in first seat; exact too where the calls were worked out."""
    table = run.table("funnel_by_seat")
    (row,) = rows(table, seat=1, step="doubled")
    return row


def funnel_text(run: Run) -> str:
    """The funnel in a sentence."""
    table = run.table("funnel")
    opened, overcalled, within, doubled = table.to_dict("records")
    out = overcalled["deals"] - within["deals"]
    beyond = (
        f"{out:,} overcalls were higher than {run.agreement.response.double_through.symbol}, "
        "beyond which the agreement says nothing."
        if out
        else "No overcall was beyond the reach of the double."
    )
    return (
        f"{in_words.share(opened['estimate'], 'deal').capitalize()} are opened with one of a suit. The "
        f"next hand then overcalls in a suit {in_words.share(overcalled['given'], 'time')}. {beyond} Within "
        f"its reach the responder doubles {in_words.share(doubled['given'], 'overcall')}."
    )


@about_doubles
def auctions_text(run: Run) -> str:
    """The heat map in a sentence."""
    table = run.table("doubles_by_auction")
    ranked = table.sort_values("estimate", kind="stable").to_dict("records")
    least, most_often = (
        _with_ties(row, ranked, sequence_wording) for row in (ranked[0], ranked[-1])
    )
    most, ties = _most(table, sequence_wording)
    part = most["deals"] / table["deals"].sum()
    return (
        f"The responder doubles on the smallest share of the overcalls after {least}. That is "
        f"{COLUMNS['estimate'].rounded(ranked[0])} of them. The share is largest after {most_often}. There it is "
        f"{COLUMNS['estimate'].rounded(ranked[-1])}. {_largest_exactly(run, ranked[-1])}How often the auction "
        "itself comes up is another matter. In number, more doubles come after "
        f"{sequence_wording(most)} than after any other auction{ties}. They are "
        f"{in_words.share(part, 'double')}."
    )


def _largest_exactly(run: Run, counted: Row) -> str:
    """Where the exact share of overcalls doubled is the largest, if not where the counted one is."""
    exact = run.table("exact_by_auction").nlargest(1, "of_overcalls").to_dict("records")
    return "".join(
        f"After an opening in first seat alone, worked out exactly, it is largest after "
        f"{sequence_wording(row)}: {COLUMNS['of_overcalls'].of(row)}. "
        for row in exact
        if sequence_wording(row) != sequence_wording(counted)
    )


@about_doubles
def levels_text(run: Run) -> str:
    """The double by level in a sentence."""
    return _by_case(run.table("doubles_by_level"), "level", "an overcall at ")


@about_doubles
def seats_text(run: Run) -> str:
    """The double by the opener's seat in a sentence."""
    text = _by_case(run.table("doubles_by_seat"), "seat", "an opening in ")
    return (
        f"{text} A later seat opens only where those before it passed, so it opens less often; "
        "and a hand that passed at its first turn is known to lack an opening."
    )


@about_doubles
def until_met_text(run: Run) -> str:
    """The boards until each case is met in a sentence."""
    table = run.table("meetings")
    every, *_ = rows(table, grouping="call")
    levels = rows(table, grouping="level")
    each = listed(
        f"about {COLUMNS['boards'].rounded(row)} over level {row['case']}" for row in levels
    )
    return (
        f"To have met the double at all with {CERTAINTY:.0%} certainty takes one partnership "
        f"about {COLUMNS['boards'].rounded(every)} boards. By level it takes {each}. A session has "
        f"{BOARDS_PER_SESSION}. A case that takes a hundred sessions to be met with such certainty comes up "
        f"once in {100 / -log1p(-CERTAINTY):.0f} on the average: about once a year for a partnership that "
        "plays every week."
    )


def exact_text(table: pd.DataFrame) -> str:
    """What the check against exact values found; ``table`` is that of ``first_seat_calls``."""
    fit = first_seat_fit(table)
    # A call that no hand makes has no count, and above the ceiling the one call repeats the overcall.
    free = (table[["exact", "deals"]] > 0).any(axis=1) & (table["call"] != ABOVE_CEILING_CALL)
    verdict = "no sign" if fit.p_value >= FALSE_ALARM else "a sign"
    what = (
        "every overcall, and every call of the responder over it,"
        if set(COLUMNS["call"].names) & set(table["call"])
        else "every overcall"
    )
    return (
        f"After an opening in first seat the chance of {what} is known exactly by these rules, without "
        f"dealing. Compared in {fit.cells} cells, of which all other deals are one, the counts give a "
        f"chi-square of {fit.statistic:.1f} on {fit.df} degrees of freedom, p = {fit.p_value:.3f}: {verdict} "
        f"of a fault (a sound machine falls below {FALSE_ALARM} about once in {1 / FALSE_ALARM:,.0f} runs). "
        f"{farthest(table[free], _call_named)}"
    )


def _call_named(row: Row) -> str:
    calls = "" if row["call"] == ANY else f", {COLUMNS['call'].of(row)}"
    return f"{sequence_wording(row)}{calls}"


def _most(table: pd.DataFrame, name: Callable[[Row], str]) -> tuple[Row, str]:
    """The row with most deals, and which others are not told apart from it."""
    ranked = table.sort_values("deals", kind="stable").to_dict("records")
    return ranked[-1], tied(ranked[-1], ranked, name, parts=True)


def _with_ties(row: Row, ranked: Iterable[Row], name: Callable[[Row], str]) -> str:
    return f"{name(row)}{tied(row, ranked, name)}"


def _by_case(table: pd.DataFrame, key: str, before: str) -> str:
    def name(row: Row) -> str:
        return named(key).label(row[key])

    ranked = table.sort_values("estimate", kind="stable").to_dict("records")
    low, high = ranked[0], ranked[-1]
    most, ties = _most(table, name)
    return (
        f"The share of overcalls doubled is lowest after {before}{_with_ties(low, ranked, name)}. It is "
        f"{COLUMNS['estimate'].rounded(low)}. It is highest after {before}{_with_ties(high, ranked, name)}. There it "
        f"is {COLUMNS['estimate'].rounded(high)}. In number, more doubles follow {before}{name(most)} than any "
        f"other{ties}. One partnership makes them {in_words.in_evenings(most['per_session'])}."
    )
