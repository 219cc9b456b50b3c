"""Sentences of the first notebook: how often the double arises."""

from __future__ import annotations

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
from analysis.exact.table import ANY, exact_table, next_hands_table
from analysis.statistics.goodness_of_fit import EXACT, Z
from analysis.statistics.intervals import CERTAINTY, CONFIDENCE, ESTIMATE, OF
from analysis.telling.sentences.words import INTERVALS, about_doubles
from analysis.telling.tables import doubles, funnel
from analysis.telling.tables.doubles import GROUPING
from analysis.telling.tables.funnel import GIVEN, STEP
from analysis.telling.tables.shares import rows
from analysis.vocabulary.column import Row
from analysis.vocabulary.dimension import Dimension
from analysis.vocabulary.numerals import listed


def method(run: Run) -> str:
    """How the numbers were made, in a paragraph."""
    record = run.record
    return (
        f"The study dealt {record.deals:,} hands at random (seed {record.seed}), bid each by the "
        f"rules of the agreement “{record.agreement.name}”, and counted. An interval is Wilson's "
        f"at {CONFIDENCE:.0%}, and holds for its own number, not for a whole table at once. A deal "
        "counts whichever side opens. One partnership opens on half of the deals in the long run, "
        "since over a session either side deals equally often: numbers per session are for one "
        "partnership, and so are half of what the table sees."
    )


def rule(run: Run) -> str:
    """The rule of the double as the agreement in force has it."""
    return f"The rule for the double in this agreement: {DOUBLE.sentence(run.agreement)}."


@about_doubles
def answer(run: Run) -> str:
    """The answer in a paragraph."""
    (last,) = rows(funnel.funnel(run), **{STEP: funnel.DOUBLED})
    most = _most(doubles.doubles_by_auction(run))
    return (
        f"{_first_seat(run)}**The responder doubles on {ESTIMATE.of(last)} of all deals.** Once the "
        "next hand has overcalled in a suit within the double's reach, it is "
        f"{GIVEN.of(last)}. One partnership makes the call {SESSION.of(last)} "
        f"times in a session of {BOARDS_PER_SESSION} boards; after {UNTIL.of(last)} sessions "
        f"it has met it with {CERTAINTY:.0%} certainty. Most of all it comes up after "
        f"{sequence_wording(most)}. {INTERVALS}"
    )


def _first_seat(run: Run) -> str:
    """The exact figure beside the counted one, where the responder's calls were worked out."""
    exact = exact_table(run.agreement)
    table = funnel.funnel_by_seat(run, exact, next_hands_table(run.agreement))
    (row,) = rows(table, **{SEAT: 1, STEP: funnel.DOUBLED})
    if pd.isna(row[EXACT]):
        return ""
    return (
        f"**The dealer opens, the next hand overcalls and the responder doubles on {row[EXACT]:.6%} "
        f"of all deals: that figure is exact.** Counted, it is {ESTIMATE.of(row)}. Over all four seats "
        "the figures are counted. "
    )


def exact_method(run: Run) -> str:
    """How the exact figure for the responder's calls is reached, for a reader who teaches bridge."""
    if (exact_table(run.agreement)[CALL] == ANY).all():
        return (
            "The responder's calls can be worked out exactly as well, in some minutes: "
            "`double-study exact` does it, and a report made after that states them."
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
    most, all_doubles = _most(table), table[DEALS].sum()
    return (
        f"The responder doubles least often after {sequence_wording(ranked[0])}, on "
        f"{ESTIMATE.of(ranked[0])} of the overcalls, and most often after {sequence_wording(ranked[-1])}, on "
        f"{ESTIMATE.of(ranked[-1])}. How often the auction itself comes up is another matter: most "
        f"doubles, {most[DEALS]:,} of {all_doubles:,}, come after {sequence_wording(most)}."
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
def sessions_text(run: Run) -> str:
    """The sessions until each case is met in a sentence."""
    table = doubles.meetings(run)
    every, *_ = rows(table, **{GROUPING: CALL})
    levels = rows(table, **{GROUPING: LEVEL})
    each = listed(f"over level {row[CASE]} {UNTIL.of(row)}" for row in levels)
    return (
        f"To have met the double at all with {CERTAINTY:.0%} certainty takes one partnership "
        f"{UNTIL.of(every)} sessions; {each}. A case that takes a hundred sessions to be met with "
        f"such certainty comes up once in {100 / -log1p(-CERTAINTY):.0f} on the average: about once "
        "a year for a pair that plays every week."
    )


def exact_text(table: pd.DataFrame) -> str:
    """What the check against exact values found; ``table`` is that of ``first_seat_calls``."""
    fit = funnel.first_seat_fit(table)
    worst = table.sort_values(Z, key=abs, kind="stable").to_dict("records")[-1]
    calls = "" if worst[CALL] == ANY else f", {CALL.of(worst)}"
    verdict = "no sign" if fit.p_value >= FALSE_ALARM else "a sign"
    what = (
        "every overcall, and every call of the responder over it,"
        if set(CALL.names) & set(table[CALL])
        else "every overcall"
    )
    return (
        f"After an opening in first seat the chance of {what} is known exactly, without dealing. "
        f"Compared with {len(table)} such values, the counts give a chi-square of "
        f"{fit.statistic:.1f} on {fit.df} degrees of freedom, p = {fit.p_value:.3f}: {verdict} of a "
        f"fault (a sound machine falls below {FALSE_ALARM} once in {1 / FALSE_ALARM:,.0f} runs). The cell "
        f"farthest off is {sequence_wording(worst)}{calls}, {worst[Z]:+.2f} standard errors; "
        f"among {len(table)} cells the farthest is bound to look far."
    )


def _most(table: pd.DataFrame) -> Row:
    return table.sort_values(DEALS, kind="stable").to_dict("records")[-1]


def _by_case(table: pd.DataFrame, key: Dimension, before: str) -> str:
    ranked = table.sort_values(ESTIMATE, kind="stable").to_dict("records")
    low, high, most = ranked[0], ranked[-1], _most(table)
    return (
        f"The share of overcalls doubled is lowest after {before}{key.label(low[key])}, "
        f"{ESTIMATE.of(low)}, and highest after {before}{key.label(high[key])}, "
        f"{ESTIMATE.of(high)}. In number most doubles follow {before}"
        f"{key.label(most[key])}: {SESSION.of(most)} in a session for one partnership."
    )
