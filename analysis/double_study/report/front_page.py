"""The front page of a report: the headline, three doors, the numbers that get printed, the citation."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import pandas as pd

from double_study.cards.bids import DOUBLE
from double_study.columns import COLUMNS, Row, named
from double_study.combinatorics.table import exact_table
from double_study.counting.run import RunRecord, versions
from double_study.datapackage import PACKAGE_FILE, RUN_FILE, TABLES_FOLDER
from double_study.escape import markdown
from double_study.report import cite
from double_study.report.handout import table_link
from double_study.report.lesson_plan import PLAN
from double_study.report.pages import FIGURES_FOLDER, INDEX, Page
from double_study.rules.terms import sequence_wording
from double_study.tables import TABLE_FILES, Run, Table, rows
from double_study.words import decimals

_FIVE_OR_MORE = "five_or_more"
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
        "06_checks",
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
        if run.doubled
        else ""
    )
    taught = named[_TEACHER].answer if _TEACHER in named else ""
    yield f"{taught}{plan}"
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


def linked(file: Table) -> str:
    """A table file's name as a link."""
    return f"[{file.path}]({table_link(file)})"


def _to_copy(run: Run) -> Iterator[str]:
    (last,) = rows(run.table("funnel"), step="doubled")
    who = "The responder doubles an overcall of partner's opening"
    yield _counted(run, last, "estimate", f"{who} on", "of all deals")
    exact = exact_table(run.agreement, run.exact_calls)
    doubled: pd.Series = exact.loc[exact["call"] == DOUBLE, "probability"]
    if len(doubled):
        first = "The dealer opens, the next hand overcalls and the responder doubles on"
        yield cite.sentence(run.record, first, f"{doubled.sum():.4%}", "of all deals")
    within = "Of the overcalls within the double's reach the responder doubles"
    yield _counted(run, last, "given", within)
    for row in run.table("doubles_by_auction").nlargest(1, "deals").to_dict("records"):
        after = f"After {sequence_wording(row)}, the opener in any seat, the responder doubles on"
        yield _counted(run, row, "estimate", after, "of the deals so bid")
    for row in run.table("four_against_five").to_dict("records"):
        opened = COLUMNS["opening"].of(row)
        shown = f"A responder who shows spades after {opened} and 1♥ holds exactly four on"
        of = "of such hands, in first seat"
        yield (
            _counted(run, row, "estimate", shown, of)
            if pd.isna(row["exact"])
            else cite.sentence(run.record, shown, f"{row['exact']:.4%}", of)
        )
    five = rows(run.table("penalties_at_all_levels"), cards_in_theirs=_FIVE_OR_MORE, penalty="had")
    for row in five:
        had = (
            "Of the hands with five good cards or more in the overcaller's suit and "
            f"{run.agreement.response.penalty_pass} HCP or more, which pass and wait for a penalty,"
        )
        get_it = "get it: the opener reopens with a double, and the responder passes that"
        yield _counted(run, row, "estimate", had, get_it)


def _counted(run: Run, row: Row, share: str, what: str, of: str = "") -> str:
    """A sentence to copy about a share that was counted."""
    _, low, high = (100 * row[column] for column in named(share).columns)
    places = max(2, decimals(low, high))
    value, *limits = (f"{row[column]:.{places}%}" for column in named(share).columns)
    return cite.sentence(run.record, what, value, of, " to ".join(limits))


def _picture(named: dict[str, Page], name: str, number: int) -> Iterator[str]:
    if name in named and len(named[name].pictures) > number:
        file, words = named[name].pictures[number]
        words = words.replace("[", "(").replace("]", ")").replace("\n", " ")
        yield f"![{words}]({FIGURES_FOLDER}/{file})"


def _precision(run: Run) -> str:
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


_LIMITS = (
    "A frequency is a fact about the rules that the deals were bid by: common practice written "
    "down, with no judgement, vulnerability or form of scoring. A partnership that bids differently "
    "gets its own figures by changing the settings. Whether and how an agreement must be announced "
    "or alerted is for the organiser's regulations."
)


def run_line(record: RunRecord, shown: Callable[[str], str] = str) -> str:
    """Which run a page reports, in one line; ``shown`` escapes what is not the study's own."""
    return (
        f"Run of {record.deals:,} deals, seed {record.seed}, agreement "
        f"“{shown(record.agreement.name)}”, commit {record.commit}."
    )


def front_page(run: Run, pages: Sequence[Page]) -> str:
    """The front page in Markdown: what each page found, as the run put it, the first as headline."""
    record = run.record
    settings = f"[{RUN_FILE}]({TABLES_FOLDER}/{RUN_FILE})"
    parts = [
        f"# {cite.TITLE}",
        pages[0].answer,
        *doors(run, pages),
        "## Numbers to print",
        numbers_to_print(pages),
        "## The pages",
        *(_finding(page) for page in pages),
        "## What is in this folder",
        f"- [{INDEX}]({INDEX}) and the pages named above: to be read on a screen or printed; each "
        "is one file that needs nothing else.\n"
        "- `figures/`: every figure of the pages as PNG and SVG, named after its page and its "
        "number on it.\n"
        f"- `{TABLES_FOLDER}/`: the tables as CSV, listed below, each column described in "
        f"[{PACKAGE_FILE}]({TABLES_FOLDER}/{PACKAGE_FILE}); {settings} says how the run was made, "
        "down to every setting of the agreement.",
        "## The tables",
        "\n".join(f"- {linked(file)}: {file.title}." for file in TABLE_FILES),
        "## How to cite",
        cite.citation(record),
        f"```bibtex\n{cite.bibtex(record)}\n```",
        "## The run",
        f"{run_line(record, markdown)} The same seed gives the same counts to the last deal: "
        f"`double-study report --deals {record.deals} --seed {record.seed}"
        f"{'' if record.exact else ' --no-exact'}` with the settings in {settings}. "
        f"Made with {', '.join(f'{n} {v}' for n, v in versions().items())}.",
        "## How near the numbers are",
        _precision(run),
        "## What the numbers do not say",
        _LIMITS,
    ]
    return "\n\n".join(parts) + "\n"


def _finding(page: Page) -> str:
    """A page on the front page: its title and question, what it found, and the tables behind it."""
    parts = f"### [{page.title}]({page.file})", f"*{page.question}*", page.answer, _tables(page)
    return "\n\n".join(part for part in parts if part)


def _tables(page: Page) -> str:
    return f"Tables: {', '.join(map(linked, page.tables))}." if page.tables else ""
