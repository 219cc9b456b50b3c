"""``double-study boards``: practice boards for a lesson, or one of them again."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from double_study.cards.deal import BLOCK_DEALS
from double_study.cli.options import (
    add_agreement_option,
    add_force_option,
    add_out_option,
    add_seed_option,
    refuse_to_overwrite,
    whole_number,
)
from double_study.counting.sessions import BOARDS_PER_SESSION
from double_study.errors import InputError
from double_study.escape import terminal
from double_study.files import staged
from double_study.lessons.board import Board, Course, Origin
from double_study.lessons.case import OPENER, REOPENING, RESPONDER, Case
from double_study.lessons.lesson import (
    ALWAYS_SOUTH,
    ASKS,
    BOTH,
    MIXES,
    NATURAL,
    SEARCHED_DEALS,
    SIDES,
    Lesson,
    LessonBoard,
    south_number,
)
from double_study.lessons.pbn import game

NAME = "boards"
HELP = "draw practice boards for a lesson, with the answers"
EXAMPLE = "boards --number 16 --decoys 4 --out my_boards"

BOARDS = "practice"
"""The name of the files, without their endings."""
MAX_BOARDS = 1000
MAX_SEARCHED = 10**8
"""What a lesson's search may hold: it keeps a few bytes of each deal that the lesson may use."""
MAX_BLOCK = 10**9
MAX_NUMBER = 8 * MAX_BOARDS
"""No lesson's board has a higher number: twice MAX_BOARDS deals, every fourth number."""

_OF_A_LESSON = ("number", "case", "mix", "deals", "force")
"""Options that say which deals are drawn and kept, and nothing about one given deal."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    what = parser.add_mutually_exclusive_group()
    add_out_option(what, "practice_boards")
    what.add_argument(
        "--only",
        metavar="BLOCK:DEAL",
        type=_place,
        help="print the board with this deal (both counted from 0), with its answer",
    )
    parser.add_argument(
        "--number",
        metavar="N",
        type=whole_number("--number", 1, MAX_BOARDS),
        help=f"boards of the cases asked for (default {BOARDS_PER_SESSION})",
    )
    parser.add_argument(
        "--case",
        metavar="KEY=VALUE,...",
        type=Case.parse,
        action="append",
        help="a case to draw, such as message=other_major,level=2,reason=five_or_more; the keys are "
        "message, level, reason, opening, overcall and answer; may be repeated (default: any double)",
    )
    parser.add_argument(
        "--mix",
        choices=MIXES,
        help=f"the cases by their real frequencies, or each in its turn (default {NATURAL})",
    )
    parser.add_argument(
        "--decoys",
        metavar="N",
        type=whole_number("--decoys", 0, MAX_BOARDS),
        help="boards besides that look alike but call for something else (default 0); with --only: "
        "1 for a board that was drawn as such",
    )
    parser.add_argument(
        "--side",
        choices=SIDES,
        default=Lesson.side,
        help="the doubler round the table or always South, where board numbers that do not fit are "
        f"left out (default {Lesson.side})",
    )
    parser.add_argument(
        "--ask",
        choices=ASKS,
        default=Lesson.ask,
        help=f"whose call is asked for; {REOPENING}: the opener's after two passes (default {Lesson.ask})",
    )
    parser.add_argument(
        "--deals",
        metavar="N",
        type=whole_number("--deals", 1, MAX_SEARCHED),
        help=f"deals to search (default {SEARCHED_DEALS})",
    )
    parser.add_argument(
        "--board",
        metavar="N",
        type=whole_number("--board", 1, MAX_NUMBER),
        help="with --only: the board's number (default: the lowest that suits --side)",
    )
    add_seed_option(parser)
    add_agreement_option(parser)
    add_force_option(parser, "boards that --out already holds")


def run(options: argparse.Namespace) -> int:
    """Draw and write the boards, all three files or none; or print one board."""
    if options.only:
        return _print_again(options)
    if options.board:
        raise InputError("--board: the number of one board; allowed: with --only")
    lesson = _lesson(options)
    lesson.check()
    # What makes pages takes seconds to import, which a user who asks for help should not wait for.
    from double_study.report import handout

    notation, page, text = files = [Path(BOARDS + ending) for ending in handout.ENDINGS]
    refuse_to_overwrite(options, files)
    with staged(options.out) as stage:
        items = lesson.boards(progress=sys.stderr.isatty())
        handout.write(stage, BOARDS, lesson, items)
    file = terminal(str(options.out / notation))
    print(f"{len(items)} boards in {file}; the handout in {page.name} and {text.name}")
    return 0


def _lesson(options: argparse.Namespace) -> Lesson:
    """The lesson asked for; what the user left out is as :class:`Lesson` has it."""
    given: dict[str, Any] = {
        name: getattr(options, name)
        for name in ("number", "mix", "decoys", "deals")
        if getattr(options, name) is not None
    }
    return Lesson(
        cases=tuple(options.case or ()),
        side=options.side,
        ask=options.ask,
        seed=options.seed,
        agreement=options.agreement,
        **given,
    )


def _place(text: str) -> tuple[int, int]:
    """Read ``BLOCK:DEAL``. Raises :class:`InputError`."""
    block, colon, deal = text.partition(":")
    if not colon:
        raise InputError(f"--only {text}: allowed: BLOCK:DEAL, such as 3:4180")
    return (
        whole_number(f"--only {text}: block", 0, MAX_BLOCK)(block),
        whole_number(f"--only {text}: deal", 0, BLOCK_DEALS - 1)(deal),
    )


def _print_again(options: argparse.Namespace) -> int:
    for name in _OF_A_LESSON:
        if getattr(options, name):
            raise InputError(
                f"--{name}: what to draw for a lesson; allowed: with --out, not --only"
            )
    from double_study.report import handout

    origin = Origin(options.seed, *options.only)
    try:
        course = Course(origin.cards, options.agreement)
    except InputError as error:
        raise InputError(f"--only {origin.place}: {error}") from None
    lowest = south_number(course.auction.seat_of_opener) if options.side == ALWAYS_SOUTH else 1
    number = options.board or lowest
    if options.side == ALWAYS_SOUTH and (number - lowest) % 4:
        raise InputError(
            f"--board {number}: does not put the responder South; allowed: {lowest}, {lowest + 4}, "
            f"{lowest + 8}, ..."
        )
    board = Board(number, origin, course)
    asked = (RESPONDER, OPENER) if options.ask == BOTH else (options.ask,)
    for item in [LessonBoard(board, who, decoy=bool(options.decoys)) for who in asked]:
        shown = handout.ShownBoard(item)
        lines = [*handout.question_markdown(shown), *handout.answer_markdown(shown)]
        lines.append(handout.again_markdown([shown]))
        print("\n\n".join(lines))
        print("\n" + "\n".join(game(item)))
    return 0
