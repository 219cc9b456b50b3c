"""Sentences of the first notebook: how often the double arises."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import log1p

import pandas as pd

from analysis.bidding.after_overcall import LEVEL, sequence_wording
from analysis.bidding.double import DOUBLE
from analysis.bidding.response import CALL
from analysis.cards.bids import SEAT
from analysis.checking.comparison import FALSE_ALARM
from analysis.checking.family import CASE
from analysis.counting.run import Run
from analysis.counting.sessions import BOARDS_PER_SESSION, SESSION, UNTIL
from analysis.counting.tally import DEALS
from analysis.exact.opener_majors import AFTER_OVERCALL, NAIVE
from analysis.exact.table import ANY, exact_table, next_hands_table
from analysis.runtime.escape import markdown
from analysis.statistics.goodness_of_fit import EXACT
from analysis.statistics.intervals import CERTAINTY, CONFIDENCE, ESTIMATE, OF
from analysis.telling.sentences.phrases import INTERVALS, about_doubles, farthest, tied
from analysis.telling.tables import doubles, funnel
from analysis.telling.tables.doubles import GROUPING
from analysis.telling.tables.exact_doubles import DOUBLED, GIVEN_DOUBLE, OF_OVERCALLS, exact_doubles
from analysis.telling.tables.funnel import GIVEN, STEP
from analysis.telling.tables.shares import rows
from analysis.vocabulary.column import Row
from analysis.vocabulary.dimension import Dimension
from analysis.vocabulary.measure import Estimate
from analysis.vocabulary.numerals import listed


def method(run: Run) -> str:
    """How the numbers were made, in a paragraph."""
    record = run.record
    return (
        f"The study dealt {record.deals:,} hands at random (seed {record.seed}), bid each by the "
        f"rules of the agreement “{markdown(record.agreement.name)}”, and counted. An interval is Wilson's "
        f"at {CONFIDENCE:.0%}, and holds for its own number, not for a whole table at once. A deal "
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
    table = doubles.doubles_by_auction(run)
    table = table[table[OF] > 0]
    if table.empty:
        return said
    (doubled,) = rows(funnel.funnel(run), **{STEP: "doubled"})
    rarest = table.sort_values(OF, kind="stable").to_dict("records")[0]
    return (
        f"{said} On {run.tally.deals:,} deals the double's share of the overcalls within its reach "
        f"is known to {_either_way(doubled, GIVEN)} either way. Over the rarest of these overcalls, "
        f"{sequence_wording(rarest)}, it is known to {_either_way(rarest, ESTIMATE)}."
    )


def _either_way(row: Row, share: Estimate) -> str:
    """Half the width of a share's interval, in percentage points."""
    _, low, high = share.columns
    return f"{50 * (row[high] - row[low]):.2g} percentage points"


def rule(run: Run) -> str:
    """The rule of the double as the agreement in force has it."""
    return f"The rule for the double in this agreement: {DOUBLE.sentence(run.agreement)}."


@about_doubles
def answer(run: Run) -> str:
    """The answer in a paragraph."""
    (last,) = rows(funnel.funnel(run), **{STEP: funnel.DOUBLED})
    most, ties = _most(doubles.doubles_by_auction(run), sequence_wording)
    return (
        f"**The responder doubles on {ESTIMATE.of(last)} of all deals.** {_first_seat(run)}Once the "
        "next hand has overcalled in a suit within the double's reach, it is "
        f"{GIVEN.of(last)}. One partnership makes the call {SESSION.of(last)} "
        f"times in a session of {BOARDS_PER_SESSION} boards; after {UNTIL.of(last)} boards "
        f"it has met it with {CERTAINTY:.0%} certainty. Most of all it comes up after "
        f"{sequence_wording(most)}{ties}. {INTERVALS}"
    )


def _first_seat(run: Run) -> str:
    """The exact figure beside the counted one, where the responder's calls were worked out."""
    exact = exact_table(run.agreement, run.exact_calls)
    table = funnel.funnel_by_seat(run, exact, next_hands_table(run.agreement))
    (row,) = rows(table, **{SEAT: 1, STEP: funnel.DOUBLED})
    if pd.isna(row[EXACT]):
        return ""
    return (
        f"**The dealer opens, the next hand overcalls and the responder doubles on {row[EXACT]:.6%} "
        f"of all deals: that figure is exact, by these rules.** Counted, it is "
        f"{ESTIMATE.of(row)}. It is the smaller, for it leaves out the openings of the other three seats. "
    )


def exact_method(run: Run) -> str:
    """How the exact figure for the responder's calls is reached, for a reader who teaches bridge."""
    if not run.exact_calls:
        return (
            "The responder's calls can be worked out exactly as well, in less than a minute: the main "
            "command does it unless it is told `--no-exact`. This run goes without."
        )
    return (
        "How the responder's calls are worked out: three hands are looked at together, the opener's, "
        "the overcaller's and the responder's; the fourth takes the cards that are left. Take one "
        "suit. For every way to share its length among the hands, list the ways in which its "
        "honours can fall, and with each the points that every hand gets from it. Nothing is left "
        "to chance: each such case is a known number of ways to deal that suit.\n\n"
        "Then put the suits together, two and two. Whatever the rules ask of a hand, its shape, its "
        "points, a good suit, a stopper, can be read from these lists, so each combination either "
        "belongs to the auction or does not, and those that do are added up. The same rules that bid "
        "the dealt hands decide it. The sum, divided by the number of all deals, is the exact figure."
    )


@about_doubles
def exact_doubles_text(run: Run) -> str:
    """The exact table by auction, and how its three chances of the opener's cards differ."""
    if not run.exact_calls:
        return (
            "The exact figures by opening and overcall, and what the opener holds opposite the double, "
            "need the responder's calls worked out exactly. This run goes without, so the table is "
            "not shown."
        )
    table = exact_doubles(run).sort_values(DOUBLED, kind="stable")
    row = table.to_dict("records")[-1]
    said = (
        "Every figure here is exact, by these rules, for an opening in first seat. In number most "
        f"doubles come after {sequence_wording(row)}: {DOUBLED.of(row)} of all deals. Of the overcalls "
        f"in that auction the responder doubles {OF_OVERCALLS.of(row)}.\n\n"
        "The last three columns are chances of one thing, that the opener has four or more cards in "
        "the promised suit. Where two suits are promised it is the longer of them. They differ in "
        "what is taken as known.\n"
        f"- **{NAIVE.heading.capitalize()}**: the plain split that players quote. You look at four "
        "cards of your own in each promised suit, and at nothing else.\n"
        f"- **{AFTER_OVERCALL.heading.capitalize()}**: still your own four cards, but partner has opened "
        "and the next hand has overcalled. It is there where a single suit is promised.\n"
        f"- **{GIVEN_DOUBLE.heading.capitalize()}**: the double has been made, and the responder may "
        "hold any hand that doubles by these rules. This is the figure for the convention as played."
    )
    single = table[table[AFTER_OVERCALL].notna() & (table[DOUBLED] > 0)]
    if single.empty:
        return said
    row = single.to_dict("records")[-1]
    return (
        f"{said}\n\nTake {sequence_wording(row)}. The plain split says {NAIVE.of(row)}. With the two "
        f"bids known it is {AFTER_OVERCALL.of(row)}. Opposite the double it is {GIVEN_DOUBLE.of(row)}."
    )


def funnel_text(run: Run) -> str:
    """The funnel in a sentence."""
    table = funnel.funnel(run)
    opened, overcalled, within, doubled = table.to_dict("records")
    out = overcalled[DEALS] - within[DEALS]
    beyond = (
        f"{out:,} overcalls were higher than {run.agreement.response.double_through.symbol}, "
        "beyond which the agreement says nothing"
        if out
        else "no overcall was beyond the reach of the double"
    )
    return (
        f"Of {opened[OF]:,} deals, {opened[DEALS]:,} were opened with one of a suit; the next hand "
        f"overcalled in a suit on {overcalled[DEALS]:,}, {GIVEN.of(overcalled)} of those; "
        f"{beyond}; the responder doubled on {doubled[DEALS]:,}."
    )


@about_doubles
def auctions_text(run: Run) -> str:
    """The heat map in a sentence."""
    table = doubles.doubles_by_auction(run)
    ranked = table.sort_values(ESTIMATE, kind="stable").to_dict("records")
    least, most_often = (
        _with_ties(row, ranked, sequence_wording) for row in (ranked[0], ranked[-1])
    )
    most, ties = _most(table, sequence_wording)
    return (
        f"The responder doubles least often after {least}, on {ESTIMATE.of(ranked[0])} of the "
        f"overcalls, and most often after {most_often}, on {ESTIMATE.of(ranked[-1])}. How often the "
        f"auction itself comes up is another matter: most doubles, {most[DEALS]:,} of "
        f"{table[DEALS].sum():,}, come after {sequence_wording(most)}{ties}."
    )


@about_doubles
def levels_text(run: Run) -> str:
    """The double by level in a sentence."""
    return _by_case(doubles.doubles_by_level(run), LEVEL, "an overcall at ")


@about_doubles
def seats_text(run: Run) -> str:
    """The double by the opener's seat in a sentence."""
    text = _by_case(doubles.doubles_by_seat(run), SEAT, "an opening in ")
    return (
        f"{text} A later seat opens only where those before it passed, so it opens less often; "
        "and a hand that passed at its first turn is known to lack an opening."
    )


@about_doubles
def until_met_text(run: Run) -> str:
    """The boards until each case is met in a sentence."""
    table = doubles.meetings(run)
    every, *_ = rows(table, **{GROUPING: CALL})
    levels = rows(table, **{GROUPING: LEVEL})
    each = listed(f"over level {row[CASE]} {UNTIL.of(row)}" for row in levels)
    return (
        f"To have met the double at all with {CERTAINTY:.0%} certainty takes one partnership "
        f"{UNTIL.of(every)} boards; {each}. A session has {BOARDS_PER_SESSION}. A case that takes a "
        "hundred sessions to be met with such certainty comes up once in "
        f"{100 / -log1p(-CERTAINTY):.0f} on the average: about once a year for a partnership that plays "
        "every week."
    )


def exact_text(table: pd.DataFrame) -> str:
    """What the check against exact values found; ``table`` is that of ``first_seat_calls``."""
    fit = funnel.first_seat_fit(table)
    verdict = "no sign" if fit.p_value >= FALSE_ALARM else "a sign"
    what = (
        "every overcall, and every call of the responder over it,"
        if set(CALL.names) & set(table[CALL])
        else "every overcall"
    )
    return (
        f"After an opening in first seat the chance of {what} is known exactly by these rules, without "
        f"dealing. Compared in {fit.cells} cells, of which all other deals are one, the counts give a "
        f"chi-square of {fit.statistic:.1f} on {fit.df} degrees of freedom, p = {fit.p_value:.3f}: {verdict} "
        f"of a fault (a sound machine falls below {FALSE_ALARM} about once in {1 / FALSE_ALARM:,.0f} runs). "
        f"{farthest(table, _call_named)}"
    )


def _call_named(row: Row) -> str:
    calls = "" if row[CALL] == ANY else f", {CALL.of(row)}"
    return f"{sequence_wording(row)}{calls}"


def _most(table: pd.DataFrame, name: Callable[[Row], str]) -> tuple[Row, str]:
    """The row with most deals, and which others are not told apart from it."""
    ranked = table.sort_values(DEALS, kind="stable").to_dict("records")
    return ranked[-1], tied(ranked[-1], ranked, name, parts=True)


def _with_ties(row: Row, ranked: Iterable[Row], name: Callable[[Row], str]) -> str:
    return f"{name(row)}{tied(row, ranked, name)}"


def _by_case(table: pd.DataFrame, key: Dimension, before: str) -> str:
    def name(row: Row) -> str:
        return key.label(row[key])

    ranked = table.sort_values(ESTIMATE, kind="stable").to_dict("records")
    low, high = ranked[0], ranked[-1]
    most, ties = _most(table, name)
    return (
        f"The share of overcalls doubled is lowest after {before}{_with_ties(low, ranked, name)}, "
        f"{ESTIMATE.of(low)}, and highest after {before}{_with_ties(high, ranked, name)}, "
        f"{ESTIMATE.of(high)}. In number most doubles follow {before}{name(most)}{ties}: "
        f"{SESSION.of(most)} in a session for one partnership."
    )
