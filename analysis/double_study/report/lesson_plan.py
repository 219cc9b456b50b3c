"""An hour's lesson, or a course of four weeks, as files ready to give: plan, boards, homework, handout."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from double_study import comparing
from double_study.agreements.reader import REFERENCE, load
from double_study.cards.bids import SUIT_NAMES, call_symbol
from double_study.cards.hands import BoolArray
from double_study.cards.notation import hand_symbols
from double_study.counting.run import count
from double_study.counting.sessions import BOARDS_PER_SESSION, per_session
from double_study.escape import markdown
from double_study.lessons.board import Board
from double_study.lessons.board_answers import ALERTING, NOT_PLAYED, called, why
from double_study.lessons.hour import (
    COURSE,
    HOMEWORK,
    SEARCHED_DEALS,
    WHOLE,
    Focus,
    Hour,
    Hours,
    Row,
    of_week,
    rows,
)
from double_study.lessons.kinds import CONDITIONS
from double_study.lessons.pbn import pbn
from double_study.lessons.teachable import CLAUSES
from double_study.numbers_in_words import in_sessions, number, share
from double_study.report.pages import INDEX, text_page
from double_study.report.sheets import homework_html, sheet_html, sheet_markdown
from double_study.report.typeset import filled
from double_study.rules.terms import SEQUENCES
from double_study.table_format import markdown_table
from double_study.tables import READING_DEALS, Run
from double_study.tables_compared import instead

LESSON = "lesson"
"""The folder of the lesson in a report."""
TITLE = "Negative doubles: a lesson ready to give"
MINUTES = 60
BOARDS = 12
ALSO = {
    "four_card_majors": "Four-card majors with a weak notrump",
    "two_card_club": "1♦ on four cards, 1♣ on two",
}
"""Agreements whose lesson the report of the reference carries as well."""
_COMPARED = 500_000
"""Deals bid with and without the double, to find what playing it gains."""
COURSE_TITLE = "The negative double: a four-week course"


@dataclass(frozen=True)
class Figures:
    run: Run

    @cached_property
    def _doubles(self) -> dict[Any, int]:
        table = self.run.table("doubles_by_auction")
        return table.set_index(["opening", "overcall"])["deals"].to_dict()

    def doubles(self, row: Row) -> int:
        bids = (SEQUENCES[at] for at in row.auctions)
        return sum(self._doubles.get((f"1{'CDHS'[suit]}", str(bid)), 0) for suit, bid in bids)

    @cached_property
    def all(self) -> int:
        return sum(self._doubles.values())

    @cached_property
    def ranked(self) -> list[Row]:
        """The rows, the most frequent first."""
        return sorted(rows(self.run.agreement), key=self.doubles, reverse=True)

    def per_session(self, doubles: int) -> str:
        """Return how often one partnership meets this number of the run's doubles."""
        return in_sessions(float(per_session(doubles / self.run.tally.deals)))

    @property
    def table(self) -> str:
        lines = [
            [row.auction, row.shows, row.points, row.instead, _one_in(self.doubles(row) / self.all)]
            for row in self.ranked
            if self.doubles(row)
        ]
        heads = ["partner (they)", "double shows", "points", "bid instead", "of all doubles"]
        return markdown_table([heads, *lines])

    @property
    def penalties(self) -> str:
        """The share of the trap passes on five good cards that get their penalty; empty without such."""
        table = self.run.table("penalties")
        table = table[table["cards_in_theirs"] == "five_or_more"]
        had, of = table.loc[table["penalty"] == "had", "deals"].sum(), table["deals"].sum()
        return share(had / of) if of else ""

    @cached_property
    def gain(self) -> tuple[str, ...]:
        """The shares of the doubles that would pass without it, and that would not mention a fit."""
        agreement = self.run.agreement
        without = agreement.changed("response.double", False)
        pair = [agreement, replace(without, name=f"{agreement.name} without the double")]
        deals = min(_COMPARED, self.run.tally.deals)
        [comparison] = comparing.compare(
            pair, deals, self.run.record.seed, workers=1, progress=False
        )
        table = instead(comparison)
        passes = table["came_to"].isin(["pass", "penalty_pass"])
        found = (table.loc[passes, "deals"].sum(), table["unmentioned"].sum())
        of = table["deals"].sum()
        return tuple(share(deals / of) for deals in found) if of else ()


def _minutes(hour: Hour) -> dict[str, int]:
    """Return the minutes of each part of an hour, which add up to the whole."""
    boards = f"Call six of the {number(len(hour.boards))} boards, or play one"
    topics = number(len(hour.topics))
    weights = {
        "One hand to begin with: what now?": 5,
        "The table of auctions (handout): what the double shows, points, and what to bid instead": 5,
        f"The {topics} auctions that a class meets most, with three hands for each": 20
        * bool(hour.topics),
        "Opener's second call, and what to do when the fourth hand bids": 10 * bool(hour.openers),
        "When you would rather defend: pass in tempo, and let partner reopen": 5
        * bool(hour.passes),
        boards: 10,
        "A closing quiz of six": 5,
    }
    scale = hour.minutes / sum(weights.values())
    shared = {part: max(1, int(weight * scale)) for part, weight in weights.items() if weight}
    shared[boards] += hour.minutes - sum(shared.values())
    return shared


def _one_in(part: float) -> str:
    """Return a share of the doubles for a class: ``one in four`` if that is right within a tenth."""
    whole = round(1 / part)
    near = whole > 1 and abs(part - 1 / whole) <= 0.1 / whole
    return f"one in {number(whole)}" if near else f"{part:.0%}"


def asked_line(board: Board) -> str:
    """Return the cards and the auction, with a question mark for the call."""
    calls = [call_symbol(call) for call in board.before[board.bidding.auction.passes :]]
    bidding = " ".join(call if at % 2 == 0 else f"({call})" for at, call in enumerate(calls))
    return f"{hand_symbols(board.hands[board.asked_at])} after {bidding}"


def answered_line(board: Board) -> str:
    """Return the answer, its call in bold."""
    return f"**{called(board)}.** {why(board)}"


@dataclass(frozen=True)
class Lesson:
    """Hours drawn from one search, with the figures of a run for their tables and sentences."""

    figures: Figures
    seed: int
    hours: tuple[Hour, ...]

    def write(
        self, folder: Path, home: str = "", label: str = "", others: Sequence[tuple[str, str]] = ()
    ) -> None:
        """Write every file of the lesson into ``folder``, an hour of a course into one of its own.

        ``home`` is the page above, with its ``label`` unless it is a report's front page; ``others``
        are lessons beside this one, by words and page.
        """
        course, shown = len(self.hours) > 1, []
        for week, hour in enumerate(self.hours, start=1):
            below = f"week_{week}/" if course else ""
            (folder / below).mkdir(parents=True, exist_ok=True)
            self._write_hour(hour, folder / below, f"../{INDEX}" if course else INDEX)
            shown.append((hour, below))
        title = COURSE_TITLE if course else TITLE
        text = filled("lesson", title=title, hours=shown, others=others)
        page = text_page(title, text, self._foot, home=home, label=label)
        (folder / INDEX).write_text(page, "utf-8")

    def _write_hour(self, hour: Hour, folder: Path, home: str) -> None:
        title, foot = hour.focus.title, self._foot
        plan, sheet, name = self.plan(hour), self.handout(hour), "Negative doubles"
        files = {
            "plan.html": text_page(title, plan, foot, home, label=TITLE),
            "plan.md": plan,
            "handout.html": text_page(name, sheet, foot, home, sheet=True, label=TITLE),
            "handout.md": sheet,
            "homework.html": homework_html(f"{name}: homework", hour.homework, foot),
        }
        for boards, name, file, questions in (
            (hour.boards, "Boards", "boards", "boards"),
            (hour.homework, "Homework: boards", "homework", "homework_sheet"),
        ):
            of = f"{name} {boards[0].number} to {boards[-1].number}"
            files |= {
                f"{questions}.html": sheet_html(of, boards, parts=("questions",)),
                f"{file}_answers.html": sheet_html(
                    f"{of}: the answers", boards, parts=("answers",)
                ),
                f"{file}.md": sheet_markdown(boards, of),
                f"{file}.pbn": pbn(boards),
            }
        for name, content in files.items():
            (folder / name).write_bytes(content.encode())

    def plan(self, hour: Hour) -> str:
        return self._filled("plan", hour)

    def handout(self, hour: Hour) -> str:
        return self._filled("class_handout", hour)

    def _filled(self, template: str, hour: Hour) -> str:
        by = self.figures.run.agreement
        majors, notrump = number(by.opening.major_cards), by.opening.one_notrump
        return filled(
            template,
            hour=hour,
            by=by,
            by_name=f"{majors}-card majors and a 1NT of {notrump} HCP (the agreement “{markdown(by.name)}”)",
            figures=self.figures,
            alerting=ALERTING,
            boards_per_session=BOARDS_PER_SESSION,
            minutes=_minutes(hour),
            one_in=_one_in,
            suit_names=SUIT_NAMES,
            asked=asked_line,
            answered=answered_line,
            in_a_hundred=number(hour.in_a_hundred),
            clauses=CLAUSES,
            conditions=CONDITIONS,
        )

    @property
    def _foot(self) -> str:
        record = self.figures.run.record
        return (
            f"Agreement {record.agreement.name}. Figures from {record.deals:,} deals of seed "
            f"{record.seed}; hands from the first {SEARCHED_DEALS:,} deals of seed {self.seed}."
        )


def lessons(
    run: Run,
    seed: int,
    minutes: int = MINUTES,
    boards: int = BOARDS,
    within: BoolArray | None = None,
    parts: Sequence[Sequence[Focus]] = ([WHOLE],),
) -> list[Lesson]:
    """Draw lessons of a run, an hour or a course each, with no deal twice in them.

    ``within`` says of each of SEQUENCES whether it belongs. Raises :class:`InputError` if the
    double is not played or too few hands are found.
    """
    agreement, figures = run.agreement, Figures(run)
    here = np.ones(len(SEQUENCES), dtype=np.bool_) if within is None else within
    draw = Hours.of(seed, agreement)
    first, made = 1, []
    for foci in parts:
        hours = []
        for focus in foci:
            part = here & of_week(focus.week, agreement)
            hours.append(draw.hour(focus, part, figures.ranked, minutes, first, boards))
            first += boards + HOMEWORK
        made.append(Lesson(figures, seed, tuple(hours)))
    return made


def write_lessons(run: Run, folder: Path) -> Board | None:
    """Write the lesson of a report and return its first hand; None if there is no lesson.

    The reference's lesson has a course and other agreements' lessons beside it.
    """
    if not run.doubled:
        folder.mkdir()
        text = f"# {TITLE}\n\n{NOT_PLAYED}\n"
        (folder / INDEX).write_text(text_page(TITLE, text, "", home=f"../{INDEX}"), "utf-8")
        return None
    seed, reference = run.record.seed, run.agreement.digest == REFERENCE.digest
    lesson, *course = lessons(run, seed, parts=[[WHOLE], COURSE] if reference else [[WHOLE]])
    others = [(words, f"{name}/{INDEX}") for name, words in ALSO.items()] if reference else []
    weeks = [(COURSE_TITLE, f"course/{INDEX}")] * len(course)
    lesson.write(folder, f"../{INDEX}", others=weeks + others)
    for part in course:
        part.write(folder / "course", f"../{INDEX}", TITLE)
    for name in ALSO if reference else ():
        other = load(name)
        tally = count(min(run.tally.deals, READING_DEALS), seed, other, progress=False)
        [one] = lessons(Run.of(tally, seed, other), seed)
        one.write(folder / name, f"../{INDEX}", TITLE)
    return lesson.hours[0].warm_up
