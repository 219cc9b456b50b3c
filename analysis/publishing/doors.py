"""The front page's three doors, teacher, author and player, and the numbers that get printed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pandas as pd

from analysis.bidding.response import CALL
from analysis.cards.bids import DOUBLE
from analysis.counting.run import Run
from analysis.exact.responses import PROBABILITY
from analysis.exact.table import exact_table
from analysis.publishing import cite
from analysis.publishing.lesson_plan import PLAN
from analysis.publishing.pages import FIGURES_FOLDER, Page
from analysis.publishing.typeset import table_link
from analysis.statistics.intervals import ESTIMATE
from analysis.telling.sentences import teaching
from analysis.telling.sentences.phrases import doubles_counted
from analysis.telling.tables import funnel
from analysis.telling.tables.files import TABLE_FILES
from analysis.telling.tables.shares import rows
from analysis.telling.tables.table_file import TableFile

_TEACHER, _AUTHOR, _PLAYER = "02_what_to_teach_first", "01_how_often", "09_ask_your_own"
"""The pages that the doors open."""

_PRINTED = (
    ("The double after each auction", "doubles_by_auction", "By-opening-and-overcall"),
    ("The same for an opening in first seat, beside the exact value", "first_seat_calls", ""),
    ("Four spades against five over 1♥", "pitfalls", "Each-case-with-an-example"),
    ("Cards that the opener holds in the unbid major, by auction", "opener_lengths", ""),
    ("Four-card support for what the double promised", "promised_fits", ""),
    ("What the penalty double costs", "penalty_passes", ""),
)
"""What gets printed: in words, the table, and where the page of the table has it."""


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
    lines = [
        f"- {words}: {_place(pages, by_name[table], anchor)}{linked(by_name[table])}."
        for words, table, anchor in _PRINTED
    ]
    last = "Each row has the interval; the agreement and the seed of all of them are in [the run](#The-run)."
    return "\n".join(lines) + f"\n\n{last}"


def linked(file: TableFile) -> str:
    """A table file's name as a link."""
    return f"[{file.path}]({table_link(file)})"


def _place(pages: Sequence[Page], file: TableFile, anchor: str) -> str:
    """The page that a table stands behind, at ``anchor`` where it has that."""
    for page in pages:
        if file in page.tables:
            there = f"#{anchor}" if anchor and f'id="{anchor}"' in page.body else ""
            return f"[{page.title}]({page.file}{there}), "
    return ""


def _to_copy(run: Run) -> Iterator[str]:
    (last,) = rows(funnel.funnel(run), **{funnel.STEP: funnel.DOUBLED})
    share, low, high = (f"{last[column]:.2%}" for column in ESTIMATE.columns)
    who = "The responder doubles an overcall of partner's opening"
    yield cite.sentence(run.record, who, share, f"{low} to {high}")
    exact = exact_table(run.agreement, run.exact_calls)
    doubled: pd.Series = exact.loc[exact[CALL] == DOUBLE, PROBABILITY]
    if len(doubled):
        first = "The dealer opens, the next hand overcalls and the responder doubles"
        yield cite.sentence(run.record, first, f"{doubled.sum():.4%}")


def _picture(named: dict[str, Page], name: str, number: int) -> Iterator[str]:
    if name in named and len(named[name].pictures) > number:
        file, words = named[name].pictures[number]
        words = words.replace("[", "(").replace("]", ")").replace("\n", " ")
        yield f"![{words}]({FIGURES_FOLDER}/{file})"
