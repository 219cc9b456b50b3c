"""An hour's lesson, or a course of four weeks, as files ready to give: plan, boards, homework, handout."""

from __future__ import annotations

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
from double_study.lessons.case import RESPONDER
from double_study.lessons.hour import (
    COURSE,
    HOMEWORK,
    SEARCHED_DEALS,
    WHOLE,
    Draw,
    Hour,
    Row,
    of_week,
    rows,
)
from double_study.lessons.kinds import CONDITIONS
from double_study.lessons.lesson import LessonBoard
from double_study.lessons.pbn import pbn
from double_study.lessons.teachable import CLAUSES
from double_study.lessons.text import ALERTING, NOT_PLAYED, answer
from double_study.report.handout import homework_html, sheet_html, sheet_markdown, templates
from double_study.report.pages import INDEX, text_page
from double_study.rules.terms import SEQUENCES
from double_study.shown import markdown_table
from double_study.tables import READING_DEALS, Run
from double_study.tables_compared import instead
from double_study.words import in_sessions, number, share

LESSON = "lesson"
"""The folder of the lesson in a report."""
PLAN = f"{LESSON}/index"
"""The page that leads to it, without its ending."""
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
_SHARES = {"warm": 5, "table": 5, "topics": 20, "opener": 10, "passing": 5, "boards": 10, "quiz": 5}
"""Minutes of each part in an hour."""


COURSE_TITLE = "The negative double: a four-week course"


@dataclass(frozen=True)
class Files:
    """The files of an hour, in one folder."""

    plan: str = "plan.html"
    plan_md: str = "plan.md"
    questions: str = "boards.html"
    answers: str = "boards_answers.html"
    boards_md: str = "boards.md"
    boards_pbn: str = "boards.pbn"
    homework: str = "homework.html"
    homework_questions: str = "homework_sheet.html"
    homework_answers: str = "homework_answers.html"
    homework_md: str = "homework.md"
    homework_pbn: str = "homework.pbn"
    handout: str = "handout.html"
    handout_md: str = "handout.md"

    def below(self, folder: str) -> Files:
        """Return the files with the paths by which a page above the folder links them."""
        return Files(**{name: f"{folder}/{file}" for name, file in vars(self).items()})

    @property
    def of_boards(self) -> tuple[str, str, str, str]:
        """Questions, answers, Markdown and deals of the boards."""
        return self.questions, self.answers, self.boards_md, self.boards_pbn

    @property
    def of_homework(self) -> tuple[str, str, str, str]:
        """Questions, answers, Markdown and deals of the homework."""
        return (self.homework_questions, self.homework_answers, self.homework_md, self.homework_pbn)


FILES = Files()


@dataclass(frozen=True)
class Figures:
    """The figures of a run for the rows of the table of auctions."""

    run: Run

    @cached_property
    def _doubles(self) -> dict[tuple[str, str], int]:
        table = self.run.table("doubles_by_auction")
        keys = zip(table["opening"].astype(str), table["overcall"].astype(str), strict=True)
        return dict(zip(keys, table["deals"].tolist(), strict=True))

    def doubles(self, row: Row) -> int:
        """Return the number of doubles of a row."""
        return sum(
            self._doubles.get((f"1{'CDHS'[opening]}", str(overcall)), 0)
            for opening, overcall in (SEQUENCES[at] for at in row.auctions)
        )

    @cached_property
    def all(self) -> int:
        """All doubles."""
        return sum(self._doubles.values())

    @cached_property
    def ranked(self) -> list[Row]:
        """The rows, the most frequent first."""
        return sorted(rows(self.run.agreement), key=self.doubles, reverse=True)

    def per_session(self, doubles: int) -> str:
        """Return how often one partnership meets this number of the run's doubles."""
        return in_sessions(float(per_session(doubles / self.run.tally.deals)))

    def frequency(self, row: Row) -> str:
        """Return how often a row's double comes up, in a sentence."""
        doubles = self.doubles(row)
        if not doubles:
            return ""
        return (
            f"This is {_one_in(doubles / self.all)} of all negative doubles; one partnership meets it "
            f"{self.per_session(doubles)}."
        )

    @property
    def table(self) -> str:
        """The table of auctions, in Markdown."""
        lines = [
            [row.auction, row.shows, row.points, row.instead, _one_in(self.doubles(row) / self.all)]
            for row in self.ranked
            if self.doubles(row)
        ]
        heads = ["partner (they)", "double shows", "points", "bid instead", "of all doubles"]
        return markdown_table([heads, *lines])

    @property
    def penalties(self) -> str:
        """Return how many penalty passes get their penalty, in a sentence."""
        table = self.run.table("penalties")
        table = table[table["cards_in_theirs"] == "five_or_more"]
        had, of = table.loc[table["penalty"] == "had", "deals"].sum(), table["deals"].sum()
        if not of:
            return ""
        return (
            f"Of the hands that make a trap pass on five good cards or more in their suit, "
            f"{share(had / of)} get to defend the overcall doubled."
        )

    @cached_property
    def gain(self) -> str:
        """Return what playing the double gains, in a sentence."""
        agreement = self.run.agreement
        without = agreement.changed("response.double", False)
        pair = [agreement, replace(without, name=f"{agreement.name} without the double")]
        deals = min(_COMPARED, self.run.tally.deals)
        [comparison] = comparing.compare(
            pair, deals, self.run.record.seed, workers=1, progress=False
        )
        table = instead(comparison)
        lost, of = int(table["unmentioned"].sum()), int(table["deals"].sum())
        passed = table.loc[table["came_to"].isin(["pass", "penalty_pass"]), "deals"].sum()
        if not of:
            return ""
        return (
            f"Without the double, responder would have to pass on {share(passed / of)} of the hands that "
            f"double, and on {share(lost / of)} of them the partnership would have an eight-card fit in an "
            "unbid major that responder does not mention. The double shows the suit at once."
        )


def _minutes(hour: Hour) -> list[tuple[int, str]]:
    """Return the parts of an hour with the minutes for each, which add up to the whole."""
    boards = hour.boards
    cases = number(len(hour.topics))
    parts = {
        "warm": "One hand to begin with: what now?",
        "table": "The table of auctions (handout): what the double shows, points, and what to bid instead",
        "topics": f"The {cases} auctions that a class meets most, with three hands for each"
        if hour.topics
        else "",
        "opener": "Opener's second call, and what to do when the fourth hand bids"
        if hour.openers
        else "",
        "passing": "When you would rather defend: pass in tempo, and let partner reopen"
        if hour.passes
        else "",
        "boards": f"Call all {number(len(boards))} boards, or play one of the first four",
        "quiz": "A closing quiz of six",
    }
    weights = {name: _SHARES[name] for name, words in parts.items() if words}
    scale = hour.minutes / sum(weights.values())
    shared = {name: max(1, int(weight * scale)) for name, weight in weights.items()}
    shared["boards"] += hour.minutes - sum(shared.values())
    return [(minutes, parts[name]) for name, minutes in shared.items()]


def _one_in(part: float) -> str:
    """Return a share of the doubles for a class: ``one in four`` if that is right within a tenth."""
    whole = round(1 / part)
    near = whole > 1 and abs(part - 1 / whole) <= 0.1 / whole
    return f"one in {number(whole)}" if near else f"{part:.0%}"


def _rule(row: Row) -> str:
    instead = f" Bid instead {row.instead}." if row.instead else ""
    return f"Double with {row.shows} and {row.points} points.{instead}"


def _mistake(row: Row) -> str:
    """Return the common mistake in the auctions of a row."""
    if row.message == "exactly_four_spades":
        return "Doubling with five spades, or bidding 1♠ on four: partner relies on the difference."
    if row.message == "both_minors":
        return "Looking for the majors: both are bid, so the double shows the minors."
    if row.level == 1 and row.message == "other_major":
        return f"Bidding {SUIT_NAMES[row.suits[0]]} at level 2 on four cards, or on five in a weak hand."
    if row.level == 1:
        return "Doubling with one major and hoping: partner may well choose the other."
    least = min(row.needs)
    return f"Doubling on shape alone: partner must answer at a higher level, so you need {least} points."


def hand_line(item: LessonBoard) -> str:
    """Return a hand in one line: the cards, the auction, the answer."""
    return f"{asked_line(item)}: {answered_line(item)}"


def asked_line(item: LessonBoard) -> str:
    """Return the cards and the auction, with a question mark for the call."""
    course = item.board.course
    cards = course.responder_cards if item.asked == RESPONDER else course.opener_cards
    calls = [call_symbol(call) for call in item.before[course.auction.passes :]]
    bidding = " ".join(call if at % 2 == 0 else f"({call})" for at, call in enumerate(calls))
    return f"{hand_symbols(cards)} after {bidding}"


def answered_line(item: LessonBoard) -> str:
    """Return the answer, its call in bold."""
    call, _, why = answer(item).partition(". ")
    return f"**{call}.** {why}"


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
        shown = []
        for number_, hour in enumerate(self.hours, start=1):
            week = f"week_{number_}" if len(self.hours) > 1 else ""
            (folder / week).mkdir(parents=True, exist_ok=True)
            self._write_hour(hour, folder / week, f"../{INDEX}" if week else INDEX)
            shown.append((hour, FILES.below(week) if week else FILES))
        title = COURSE_TITLE if len(self.hours) > 1 else TITLE
        text = _filled("lesson.md", title=title, hours=shown, others=others)
        page = text_page(title, text, self._foot, home=home, label=label)
        (folder / INDEX).write_text(page, "utf-8")

    def _write_hour(self, hour: Hour, folder: Path, home: str) -> None:
        title = hour.focus.title
        plan, sheet = self.plan(hour), self.handout(hour)
        pages: dict[str, str] = {
            FILES.plan: text_page(title, plan, self._foot, home, label=TITLE),
            FILES.plan_md: plan,
            FILES.handout: text_page(
                "Negative doubles", sheet, self._foot, home, sheet=True, label=TITLE
            ),
            FILES.handout_md: sheet,
            FILES.homework: homework_html("Negative doubles: homework", hour.homework, self._foot),
        }
        for items, name, (questions, answers, text, deals) in (
            (hour.boards, "Boards", FILES.of_boards),
            (hour.homework, "Homework: boards", FILES.of_homework),
        ):
            of = f"{name} {items[0].board.number} to {items[-1].board.number}"
            pages[questions] = sheet_html(of, items, parts=("questions",))
            pages[answers] = sheet_html(f"{of}: the answers", items, parts=("answers",))
            pages[text] = sheet_markdown(of, items)
            (folder / deals).write_bytes(pbn(items).encode("ascii"))
        for name, content in pages.items():
            (folder / name).write_text(content, encoding="utf-8")

    def plan(self, hour: Hour) -> str:
        """Return the plan of an hour in Markdown."""
        figures, run = self.figures, self.figures.run
        values = run.agreement.answer, run.agreement.reopening
        return _filled(
            "plan.md",
            hour=hour,
            files=FILES,
            name=markdown(run.agreement.name),
            often=f"One partnership makes a negative double {figures.per_session(figures.all)}.",
            boards_per_session=BOARDS_PER_SESSION,
            parts=_minutes(hour),
            gain=figures.gain,
            table=figures.table,
            always=f"The double always needs {run.agreement.response.double_hcp} HCP or more.",
            frequency=figures.frequency,
            rule=_rule,
            mistake=_mistake,
            jump=values[0].raise_jump,
            reopening=", unless a suit of your own comes first" if values[1].suits_first else "",
            penalties=figures.penalties,
            hand=hand_line,
            asked=asked_line,
            answered=answered_line,
            chosen=chosen(hour.in_a_hundred),
            alerting=ALERTING,
        )

    def handout(self, hour: Hour) -> str:
        """Return the sheet for the class in Markdown."""
        agreement = self.figures.run.agreement
        return _filled(
            "class_handout.md",
            name=markdown(agreement.name),
            table=self.figures.table,
            through=agreement.response.double_through.symbol,
            jump=agreement.answer.raise_jump,
            examples=hour.examples,
            hand=hand_line,
            alerting=ALERTING,
        )

    @property
    def _foot(self) -> str:
        record = self.figures.run.record
        return (
            f"Agreement {record.agreement.name}. Figures from {record.deals:,} deals of seed "
            f"{record.seed}; hands from the first {SEARCHED_DEALS:,} deals of seed {self.seed}."
        )


def _filled(template: str, **values: Any) -> str:
    return templates().get_template(template).render(values)


def chosen(in_a_hundred: float) -> str:
    """Return how the deals were chosen, in Markdown, and how many in a hundred qualify."""
    return (
        "The hands are drawn at random from deals that meet these conditions. Of every hundred deals with an "
        f"overcall over which the double is played, {number(in_a_hundred)} do.\n\n"
        + "\n".join(f"- {clause}" for clause in CLAUSES)
        + "\n\nThe lesson uses an auction with a double only if the rules write it out to the last call. "
        "Some kinds of hands have further conditions.\n\n"
        + "\n".join(f"- {condition}" for condition in CONDITIONS)
        + "\n\nNone of the study's frequencies rests on these hands."
    )


def lessons(
    run: Run,
    seed: int,
    minutes: int = MINUTES,
    boards: int = BOARDS,
    within: BoolArray | None = None,
    course: bool = False,
    whole: bool = True,
) -> list[Lesson]:
    """Draw the hour of a run and the ``course``, whichever is wanted, with no deal twice in them.

    ``within`` says of each of SEQUENCES whether it belongs. Raises :class:`InputError` if the
    double is not played or too few hands are found.
    """
    agreement, figures = run.agreement, Figures(run)
    everywhere = np.ones(len(SEQUENCES), dtype=np.bool_)
    here = everywhere if within is None else within
    draw = Draw.of(seed, agreement)
    first, made = 1, []
    for foci in [[(0, WHOLE)]] * whole + [[*enumerate(COURSE, start=1)]] * course:
        hours = []
        for week, focus in foci:
            part = here & of_week(week, agreement) if week else here
            hours.append(draw.hour(focus, part, figures.ranked, minutes, first, boards))
            first += boards + HOMEWORK
        made.append(Lesson(figures, seed, tuple(hours)))
    return made


def write_lessons(run: Run, folder: Path) -> LessonBoard | None:
    """Write the lesson of a report and return its first hand; None if there is no lesson.

    The reference's lesson has a course and other agreements' lessons beside it.
    """
    if not run.doubled:
        folder.mkdir()
        text = f"# {TITLE}\n\n{NOT_PLAYED}\n"
        (folder / INDEX).write_text(text_page(TITLE, text, "", home=f"../{INDEX}"), "utf-8")
        return None
    seed, reference = run.record.seed, run.agreement.digest == REFERENCE.digest
    lesson, *course = lessons(run, seed, course=reference)
    others = [(words, f"{name}/{INDEX}") for name, words in ALSO.items()] if reference else []
    weeks = [(COURSE_TITLE, f"course/{INDEX}")] * len(course)
    lesson.write(folder, f"../{INDEX}", others=weeks + others)
    for part in course:
        part.write(folder / "course", f"../{INDEX}", TITLE)
    for name in ALSO if reference else ():
        other = Run.of(
            count(min(run.tally.deals, READING_DEALS), seed, load(name), progress=False),
            seed,
            load(name),
        )
        [one] = lessons(other, seed)
        one.write(folder / name, f"../{INDEX}", TITLE)
    return lesson.hours[0].warm_up
