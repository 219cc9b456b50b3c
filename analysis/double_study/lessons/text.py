"""What is asked at a practice board, and the answer, in words: for every form a lesson is written in.

Suits are symbols here, as for readers; what a rule says is the rule's own sentence.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterator

from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import DOUBLE as DOUBLED
from double_study.cards.bids import PASS, SUIT_NAMES, SUITS, Call, call_symbol
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS
from double_study.lessons.board import COMPASS, Course, Made
from double_study.lessons.case import LEFT_OUT, OPENER, REOPENING, RESPONDER
from double_study.lessons.lesson import AROUND, BOTH, NATURAL, Lesson, LessonBoard
from double_study.rules.explain import lacking
from double_study.rules.response import DOUBLE_RULE, NOT_BID, PENALTY_PASS_CALL
from double_study.words import listed

TITLE = "Practice boards: the responder's double"

ALERTING = (
    "Whether and how the double, or any other call here, must be announced or alerted is for the "
    "organiser's regulations."
)

NOT_PLAYED = "By this agreement the responder's double is not played, so it has no practice boards."

_VULNERABLE = {
    "None": "neither side vulnerable",
    "NS": "North–South vulnerable",
    "EW": "East–West vulnerable",
    "All": "both sides vulnerable",
}


def heading(item: LessonBoard) -> str:
    """Number of the board, as a title."""
    return f"Board {item.board.number}"


def conditions(item: LessonBoard) -> str:
    """Dealer and vulnerability."""
    board = item.board
    return f"Dealer {COMPASS[board.dealer]}, {_VULNERABLE[board.vulnerability]}"


def asked_at(item: LessonBoard) -> int:
    """Where the hand asked sits, a position in COMPASS."""
    auction = item.board.course.auction
    seat = auction.seat_of_responder if item.asked == RESPONDER else auction.seat_of_opener
    return item.board.compass(seat)


def calls_before(item: LessonBoard) -> tuple[Call, ...]:
    """The calls before the one that is asked for."""
    return item.board.course.before(1 if item.asked == RESPONDER else 2)


def question(item: LessonBoard) -> str:
    """What is asked."""
    seat = COMPASS[asked_at(item)]
    if item.asked == REOPENING:
        return (
            f"You are {seat}, the opener, and partner and the next hand passed. What do you call?"
        )
    if item.asked == OPENER:
        call = item.board.course.response.call
        called = "doubled" if call == DOUBLED else f"bid {call_symbol(call)}"
        return f"You are {seat}, the opener, and partner {called}. What do you call?"
    return f"You are {seat}, the responder. What do you call?"


def answer(item: LessonBoard) -> Iterator[tuple[str, str]]:
    """The answer: what each part is about, and the words; first what was asked."""
    course, to_opener = item.board.course, item.asked != RESPONDER
    if item.look_alike:
        yield "A look-alike", item.look_alike.wording
    if to_opener:
        made = course.reopening if item.asked == REOPENING else course.answer
        yield from _opener_parts(course, made, "Your call", "The rule")
        yield from _advancer_part(course)
        yield "Partner's call", call_symbol(course.response.call)
        yield "Its rule", course.response.sentence
        if course.doubled:
            yield "The case", _case(course)
    else:
        yield "The call", call_symbol(course.response.call)
        yield "The rule", course.response.sentence
        yield ("The case", _case(course)) if course.doubled else ("Why not double", _short(course))
        yield from _advancer_part(course)
        yield from _opener_parts(course, course.answer, "Opener's answer", "Its rule")
    if item.asked == REOPENING:
        yield "The penalty", _penalty(course)
    yield "Partner held", _held(course, to_opener)
    yield "Final contract", _final_contract(course)


def not_doubled(items: list[LessonBoard]) -> str:
    """On which boards the responder does not double; nothing where it does on all or on none."""
    numbers = [str(item.board.number) for item in items if not item.board.course.doubled]
    if len(numbers) in (0, len(items)):
        return ""
    boards = "board" if len(numbers) == 1 else "boards"
    return f"The responder does not double on {boards} {listed(numbers)}."


AGAIN = "How to make these boards again"


def source(item: LessonBoard) -> str:
    """Where the deal comes from, and how to print the board again."""
    return f"{heading(item)}: {item.board.origin}; again: {only_command(item)}"


def only_command(item: LessonBoard) -> str:
    """The command that prints the board again."""
    origin, agreement = item.board.origin, item.board.course.agreement
    words = ["double-study", "boards", "--only", origin.place, "--board", str(item.board.number)]
    words += ["--ask", item.asked, "--seed", str(origin.seed)]
    words += ["--decoys", "1"] if item.decoy else []
    if agreement.digest != REFERENCE.digest:
        words += ["--agreement", agreement.name]
    return shlex.join(words)


def _case(course: Course) -> str:
    """What the double promised, and what the hand holds for it."""
    return f"promised: {course.responder.promise}; held: {held_for_double(course)}"


def held_for_double(course: Course) -> str:
    """The responder's promised suits and points, and why a major of five or more was not bid."""
    responder = course.responder
    suits = [_counted(responder.hands, suit) for suit in SUITS if responder.promised[suit][0]]
    held = listed([*reversed(suits), f"{responder.total_points[0]} total points"])
    reason = COLUMNS["reason"].names[course.batch.at("doubled")["reason"][0]]
    return held + (f"; {NOT_BID}" if reason == "five_or_more" else "")


def _short(course: Course) -> str:
    """What the responder's hand lacks for a double."""
    if needs := lacking(DOUBLE_RULE, course.responder):
        return f"the hand needs {listed(needs)}"
    return "its own conditions are met, but the rule above comes before it"


def _advancer_part(course: Course) -> Iterator[tuple[str, str]]:
    """What the next hand bid over the double, and its rule."""
    if course.doubled and course.advancer and course.advancer.call != PASS:
        yield (
            "The next hand's bid",
            f"{call_symbol(course.advancer.call)}: {course.advancer.sentence}",
        )


def _penalty(course: Course) -> str:
    """Whether partner waited with a penalty pass, and what becomes of it."""
    if course.response.rule == COLUMNS["call"].names[PENALTY_PASS_CALL]:
        if course.reopening and course.reopening.call == DOUBLED:
            return "partner waited for this double and passes it"
        return "partner waited for a double to pass, and it does not come"
    return "partner did not wait for a double, but had no call"


def _opener_parts(
    course: Course, made: Made | None, answer_name: str, rule_name: str
) -> Iterator[tuple[str, str]]:
    """Opener's call, its rule, and the points that it is based on."""
    if made:
        call = made.call
        hcp, support = course.opener.hcp[0], course.opener.support_points[0]
        yield answer_name, "no raise" if call is None else call_symbol(call)
        yield rule_name, made.sentence
        yield "Opener's points", f"{hcp} HCP, {support} support points"


def _held(course: Course, to_opener: bool) -> str:
    """Partner's points and shape, and the fit in each suit that a double promises."""
    ours, theirs = course.opener, course.responder.hands
    if not to_opener:
        ours, theirs = theirs, ours
    fits = [
        f"{_counted(theirs, suit)} opposite {ours.lengths[suit][0]}"
        for suit in reversed(SUITS)
        if course.responder.promised[suit][0]
    ]
    return f"{theirs.hcp[0]} HCP; {' and '.join(fits)}"


def _counted(hands: Hands, suit: int) -> str:
    number, name = int(hands.lengths[suit][0]), SUIT_NAMES[suit]
    return f"{number} {name.removesuffix('s') if number == 1 else name}"


def _final_contract(course: Course) -> str:
    if course.end is None and course.complete:
        return "their overcall; the auction ends with the passes shown"
    if course.end is None:
        return "the rules follow this auction no further"
    contract, trumps = COLUMNS["final_contract"].wording(course.end.contract), course.end.trumps
    on_trumps = f" on {trumps} trumps" if trumps else ""
    place = course.end.reached or f"in {course.end.last.symbol}"
    return f"{place}: {contract}{on_trumps} ({course.end.sentence})"


def introduction(lesson: Lesson, shown: Callable[[str], str] = str) -> list[str]:
    """What the boards are and how they were drawn, in paragraphs.

    ``shown`` escapes what is not the study's own.
    """
    asked = {
        BOTH: "the responder or the opener",
        REOPENING: "the opener in the pass-out seat",
    }.get(lesson.ask, f"the {lesson.ask}")
    cases = "; ".join(case.wording for case in lesson.cases) or "any"
    mix = "by their real frequencies" if lesson.mix == NATURAL else "each in its turn"
    south = (
        ""
        if lesson.side == AROUND
        else " Board numbers are those that put the responder South; the others are left out."
    )
    decoys = (
        f" {lesson.decoys} more are look-alikes, which call for something else."
        if lesson.decoys
        else ""
    )
    return [
        f"{lesson.number} boards of the cases asked for.{decoys} The question is put to {asked}. "
        f"Cases: {cases}; {mix}. Agreement: {shown(lesson.agreement.name)}.",
        f"Drawn at random from the first {lesson.deals:,} deals. The seed is {lesson.seed}. Every deal of a "
        f"case that may be shown had the same chance. {LEFT_OUT}",
        "A deal is rotated to the dealer of its board; nothing else is "
        f"done to it. Dealer and vulnerability are those of Law 2; the rules look at neither.{south}",
        ALERTING,
    ]
