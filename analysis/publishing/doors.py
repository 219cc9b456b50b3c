"""The front page's three doors, teacher, author and player, and the numbers that get printed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pandas as pd

from analysis.bidding.after_overcall import OPENING_BID, sequence_wording
from analysis.bidding.response import CALL
from analysis.cards.bids import DOUBLE
from analysis.counting.pass_counts import CARDS_IN_THEIRS
from analysis.counting.run import Run
from analysis.counting.tally import DEALS
from analysis.exact.responses import PROBABILITY
from analysis.exact.table import exact_table
from analysis.publishing import cite
from analysis.publishing.lesson_plan import PLAN
from analysis.publishing.page_html import FIGURES_FOLDER, Page
from analysis.publishing.typeset import table_link
from analysis.statistics.goodness_of_fit import EXACT
from analysis.statistics.intervals import ESTIMATE
from analysis.telling.sentences import teaching
from analysis.telling.sentences.given_up import FIVE_OR_MORE
from analysis.telling.sentences.phrases import doubles_counted
from analysis.telling.tables import funnel
from analysis.telling.tables import teaching as teaching_tables
from analysis.telling.tables.contested import HAD, PENALTY_OUTCOME, penalties_at_all_levels
from analysis.telling.tables.doubles import doubles_by_auction
from analysis.telling.tables.files import TABLE_FILES
from analysis.telling.tables.shares import rows
from analysis.telling.tables.table_file import TableFile
from analysis.vocabulary.column import Row
from analysis.vocabulary.measure import Estimate
from analysis.vocabulary.numerals import decimals

_TEACHER, _AUTHOR, _PLAYER = "02_what_to_teach_first", "01_how_often", "09_ask_your_own"
"""The pages that the doors open."""


@dataclass(frozen=True)
class _Printed:
    """A number that gets printed: what it is, the page and heading of its table, the file with all digits."""

    words: str
    page: str
    heading: str
    table: str

    @property
    def place(self) -> str:
        """Where it stands in a report."""
        return f"{self.page}.html#{self.heading.replace(' ', '-')}"


_PRINTED = (
    _Printed(
        "The double after each auction",
        _AUTHOR,
        "By opening and overcall",
        "doubles_by_auction",
    ),
    _Printed(
        "The same exactly, for an opening in first seat",
        _AUTHOR,
        "By opening and overcall, exactly",
        "exact_by_auction",
    ),
    _Printed(
        "Four spades against five over 1♥",
        _TEACHER,
        "Four spades against five",
        "first_seat_calls",
    ),
    _Printed(
        "Four cards of the unbid major opposite four, by auction",
        "06_the_machine_checked",
        "What partner holds in the unbid major",
        "exact_by_auction",
    ),
    _Printed(
        "What the opener holds in the suit that the double promised",
        "04_what_partner_holds",
        "What the opener holds in the promised suit",
        "opener_lengths",
    ),
    _Printed(
        "What the penalty double costs",
        "05_what_you_give_up",
        "What becomes of the penalty",
        "penalties",
    ),
)
"""What gets printed."""


def doors(run: Run, pages: Sequence[Page]) -> Iterator[str]:
    """Three short sections in Markdown, each with a picture where its page has one."""
    named = {page.name: page for page in pages}
    yield "## For a teacher"
    plan = (
        f" [The lesson plan]({PLAN}.html) has the topics in order, each with a hand to show and the "
        "boards that drill it."
        if doubles_counted(run)
        else ""
    )
    yield f"{teaching.answer(run)}{plan}"
    yield from _picture(named, _TEACHER, 0)
    yield "## For an author"
    yield (
        "Every figure has its interval, and beside it the exact value where there is one. "
        "[Numbers to print](#Numbers-to-print) leads to those that are asked for most, and "
        "[How to cite](#How-to-cite) has the reference. These sentences may be copied as they stand:"
    )
    yield "\n".join(f"> {sentence}\n>" for sentence in _to_copy(run))
    yield from _picture(named, _AUTHOR, 1)
    yield "## For a player"
    example = named.get(_PLAYER)
    asked = f" [One such hand]({example.file}) is answered in full." if example else ""
    yield (
        "`double-study ask K752.AJ64.83.T92 1D 1S` answers for a hand and an auction: the call, the "
        f"rule that chose it, and the odds on what partner holds.{asked} `double-study explore` opens "
        "a page on which a setting moves, and the frequency with it."
    )
    yield from _picture(named, _PLAYER, 0)


def numbers_to_print(pages: Sequence[Page]) -> str:
    """Where each number that gets printed stands: on a page, and with all its digits in a table."""
    by_name = {file.name: file for file in TABLE_FILES}
    there = {page.name for page in pages}
    lines = [
        f"- [{each.words}]({each.place}), and with all digits in {linked(by_name[each.table])}."
        for each in _PRINTED
        if each.page in there
    ]
    last = (
        "Each has its interval, or is called exact. Agreement and seed stand at the foot of its page "
        "and in [the run](#The-run)."
    )
    return "\n".join(lines) + f"\n\n{last}"


def linked(file: TableFile) -> str:
    """A table file's name as a link."""
    return f"[{file.path}]({table_link(file)})"


def _to_copy(run: Run) -> Iterator[str]:
    (last,) = rows(funnel.funnel(run), **{funnel.STEP: funnel.DOUBLED})
    who = "The responder doubles an overcall of partner's opening"
    yield _counted(run, last, ESTIMATE, f"{who} on", "of all deals")
    exact = exact_table(run.agreement, run.exact_calls)
    doubled: pd.Series = exact.loc[exact[CALL] == DOUBLE, PROBABILITY]
    if len(doubled):
        first = "The dealer opens, the next hand overcalls and the responder doubles on"
        yield cite.sentence(run.record, first, f"{doubled.sum():.4%}", "of all deals")
    within = "Of the overcalls within the double's reach the responder doubles"
    yield _counted(run, last, funnel.GIVEN, within)
    for row in doubles_by_auction(run).nlargest(1, DEALS).to_dict("records"):
        after = f"After {sequence_wording(row)}, the opener in any seat, the responder doubles on"
        yield _counted(run, row, ESTIMATE, after, "of the deals so bid")
    for row in teaching_tables.four_against_five(run).to_dict("records"):
        shown = (
            f"A responder who shows spades after {OPENING_BID.of(row)} and 1♥ holds exactly four on"
        )
        of = "of such hands, in first seat"
        yield (
            _counted(run, row, ESTIMATE, shown, of)
            if pd.isna(row[EXACT])
            else cite.sentence(run.record, shown, f"{row[EXACT]:.4%}", of)
        )
    five = rows(
        penalties_at_all_levels(run), **{CARDS_IN_THEIRS: FIVE_OR_MORE, PENALTY_OUTCOME: HAD}
    )
    for row in five:
        had = (
            "Of the hands with five good cards or more in the overcaller's suit and "
            f"{run.agreement.response.penalty_pass} HCP or more, which pass and wait for a penalty,"
        )
        get_it = "get it: the opener reopens with a double, and the responder passes that"
        yield _counted(run, row, ESTIMATE, had, get_it)


def _counted(run: Run, row: Row, share: Estimate, what: str, of: str = "") -> str:
    """A sentence to copy about a share that was counted."""
    _, low, high = (100 * row[column] for column in share.columns)
    places = max(2, decimals(low, high))
    value, *limits = (f"{row[column]:.{places}%}" for column in share.columns)
    return cite.sentence(run.record, what, value, of, " to ".join(limits))


def _picture(named: dict[str, Page], name: str, number: int) -> Iterator[str]:
    if name in named and len(named[name].pictures) > number:
        file, words = named[name].pictures[number]
        words = words.replace("[", "(").replace("]", ")").replace("\n", " ")
        yield f"![{words}]({FIGURES_FOLDER}/{file})"
