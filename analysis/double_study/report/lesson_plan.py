"""The lesson plan: what to teach in order, on one page that a teacher prints, and its boards.

For each topic how often it comes up, the rule, an ordinary hand that doubles (of the topic's median
points, and then of the most common pattern), beside it the look-alike that comes up most, and the
boards of the practice set that drill it, a look-alike of the same kind among them. The set is drawn
topic by topic, so its boards are numbered in the order of the plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from double_study.cards.bids import Bid, call_symbol
from double_study.cards.hands import BoolArray
from double_study.cards.notation import hand_symbols
from double_study.columns import Row
from double_study.counting.sessions import BOARDS_PER_SESSION
from double_study.escape import markdown
from double_study.lessons.board import Course
from double_study.lessons.case import RESPONDER, TOPICS, Topic
from double_study.lessons.lesson import EVEN, Lesson, LessonBoard
from double_study.lessons.pitfalls import LOOK_ALIKES
from double_study.lessons.search import Found, search
from double_study.lessons.text import ALERTING, NOT_PLAYED, held_for_double
from double_study.lessons.text import TITLE as BOARDS_TITLE
from double_study.report.handout import ENDINGS, write
from double_study.shown import markdown_table
from double_study.tables import Run
from double_study.words import in_sessions, listed, one_in

TITLE = "A lesson plan: the responder's double"
PLAN = "lesson_plan"
"""The plan's file name without the ending."""
FIRST_TOPICS = 5
"""Topics that a first lesson has room for."""
BOARDS_FOLDER = "boards"
BOARDS = "lesson"
"""The practice set's file name without the ending."""
_DOUBLES, _LOOK_ALIKES = 3, 1
"""Boards of each topic."""


@dataclass(frozen=True)
class Part:
    """One topic of the plan: its row of the ranking, two hands to show, the boards that drill it.

    ``alike`` is None where no look-alike came up in the topic's auctions.
    """

    topic: Topic
    row: Row
    example: Course
    alike: tuple[Course, str] | None
    boards: tuple[LessonBoard, ...]


@dataclass(frozen=True)
class LessonPlan:
    """The plan of a run; without parts where the double is not played or did not come up."""

    run: Run
    lesson: Lesson
    parts: tuple[Part, ...]

    @property
    def boards(self) -> list[LessonBoard]:
        """The practice set, in the order of its numbers."""
        return [item for part in self.parts for item in part.boards]

    def text(self) -> str:
        """The plan in Markdown."""
        return "\n\n".join([f"# {TITLE}", *self._paragraphs()]) + "\n"

    def _paragraphs(self) -> Iterator[str]:
        agreement = self.run.agreement
        if not self.parts:
            yield (
                NOT_PLAYED
                if not agreement.response.double
                else (
                    f"In {self.run.tally.deals:,} deals the responder never doubled, so there is nothing "
                    "to order a lesson by."
                )
            )
            return
        every = sum(
            float(row["per_session"]) for row in self.run.table("topics").to_dict("records")
        )
        yield (
            "Partner opens one of a suit, the next hand overcalls, and the responder doubles to show "
            f"the unbid suits. One partnership makes the call {in_sessions(every)}. A "
            f"session is {BOARDS_PER_SESSION} boards. Agreement: {markdown(agreement.name)}."
        )
        for number, part in enumerate(self.parts, start=1):
            yield from _part_text(number, part)
        files = listed(
            f"[{BOARDS}{ending}]({BOARDS_FOLDER}/{BOARDS}{ending})" for ending in ENDINGS
        )
        yield (
            f"The practice set, with the answers: {files}. Board numbers here are those of this set, "
            f"“{BOARDS_TITLE}”, and of no other page. {ALERTING}"
        )

    def write(self, folder: Path) -> None:
        """Write the practice set, where there is one."""
        if not self.parts:
            return
        boards = folder / BOARDS_FOLDER
        boards.mkdir()
        write(boards, BOARDS, self.lesson, self.boards)


def lesson_plan(run: Run) -> LessonPlan:
    """The plan of a run: its topics in order, with hands dealt by its seed."""
    lesson = Lesson(seed=run.record.seed, agreement=run.agreement, mix=EVEN)
    if not run.doubled:
        return LessonPlan(run, lesson, ())
    found = search(lesson.seed, lesson.deals, run.agreement, progress=False)
    parts: list[Part] = []
    for row in run.table("topics")[:FIRST_TOPICS].to_dict("records"):
        [topic] = [topic for topic in TOPICS if topic.name == row["topic"]]
        part = _part(topic, row, lesson, found, sum(len(part.boards) for part in parts))
        if part:
            parts.append(part)
    whole = replace(
        lesson,
        number=_DOUBLES * len(parts),
        decoys=sum(item.decoy for part in parts for item in part.boards),
        cases=tuple(case for part in parts for case in part.topic.cases(run.agreement)),
    )
    return LessonPlan(run, whole, tuple(parts))


def _part(topic: Topic, row: Row, lesson: Lesson, found: Found, before: int) -> Part | None:
    """A topic of the plan, its boards numbered on from ``before``; None for one too rare to drill."""
    agreement = lesson.agreement
    cases = topic.cases(agreement)
    here = topic.sequences(agreement)[found.sequence]
    doubles = here & (found.reason >= 0)
    kinds = {k: here & found.of_kind(k) for k in LOOK_ALIKES if k.asks == RESPONDER}
    kind, alike = max(kinds.items(), key=lambda each: int(each[1].sum()))
    if doubles.sum() <= _DOUBLES:
        return None
    decoys = _LOOK_ALIKES if alike.sum() > _LOOK_ALIKES else 0
    own = replace(lesson, number=_DOUBLES, decoys=decoys, look_alikes=(kind,), cases=cases)
    drawn = own.boards_among(found)
    # Else the look-alike would stand at the same place of every topic, for all are drawn by one seed.
    turn = before // (_DOUBLES + _LOOK_ALIKES) % len(drawn)
    drawn = drawn[turn:] + drawn[:turn]
    taken = {item.board.origin for item in drawn}
    boards = tuple(
        replace(item, board=replace(item.board, number=number))
        for number, item in enumerate(drawn, start=before + 1)
    )

    def first(deals: Sequence[int]) -> Course:
        """The first deal, in the order dealt, that is not in the practice set."""
        origins = (lesson.origin(deal) for deal in deals)
        return Course(next(o for o in origins if o not in taken).cards, agreement)

    return Part(
        topic,
        row,
        first([*found.deal[_typical(found, doubles)].tolist(), *found.deal[doubles].tolist()]),
        (first(found.deal[alike].tolist()), kind.wording) if decoys else None,
        boards,
    )


def _typical(found: Found, doubles: BoolArray) -> BoolArray:
    """The doubles with the topic's median points and, of these, with their most common pattern."""
    median = np.percentile(found.points[doubles], 50, method="nearest")
    here = doubles & (found.points == median)
    patterns, deals = np.unique(found.pattern[here], return_counts=True)
    return here & (found.pattern == patterns[deals.argmax()])


def _part_text(number: int, part: Part) -> Iterator[str]:
    yield f"## {number}. {part.topic.wording.capitalize()}"
    agreement = part.example.agreement
    yield (
        f"{one_in(part.row['estimate'], 'double').capitalize()}. One partnership meets it "
        f"{in_sessions(part.row['per_session'])}."
    )
    yield f"**The rule.** {part.topic.rule(agreement)}"
    hands = [_hand("double", part.example, _why_double(part.example))]
    if part.alike:
        hands.append(_hand("look-alike", *part.alike))
    yield markdown_table([["show", "auction", "responder holds", "call", "why"], *hands])
    drill = listed(str(item.board.number) for item in part.boards if not item.decoy)
    alike = [str(item.board.number) for item in part.boards if item.decoy]
    yield f"**Drill.** Boards {drill}" + (f"; look-alike: board {listed(alike)}." if alike else ".")


def _hand(what: str, course: Course, why: str) -> list[str]:
    cards = hand_symbols(course.responder_cards)
    return [what, course.auction.symbols, cards, call_symbol(course.response.call), why]


def _why_double(course: Course) -> str:
    """What the hand holds for a double, and what partner answers."""
    answer = course.answer.call if course.answer else None
    says = f"; partner answers {call_symbol(answer)}" if isinstance(answer, Bid) else ""
    return f"{held_for_double(course)}{says}"
