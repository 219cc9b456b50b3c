"""Draw practice boards for a lesson, or print one of them again."""

from __future__ import annotations

import argparse
import sys
from dataclasses import fields
from pathlib import Path

from double_study.cards.deal import BLOCK_DEALS
from double_study.cli.options import add_shared, add_value, refuse_to_overwrite, whole_number
from double_study.errors import InputError
from double_study.escape import terminal
from double_study.files import staged
from double_study.lessons.board import Bidding, Board, Origin, south_number
from double_study.lessons.case import OPENER, REOPENING, RESPONDER, Case
from double_study.lessons.pbn import game
from double_study.lessons.practice import ALWAYS_SOUTH, ASKS, BOTH, MIXES, SIDES, Practice

EXAMPLE = "boards --number 16 --near-misses 4 --out my_boards"

BOARDS = "practice"
"""Name of the files, without their endings."""
_MAX_BOARDS = 1000
_MAX_SEARCHED = 10**8
"""Limited because the search stores a few bytes for each deal that the lesson may use."""
_OF_A_LESSON = {
    "number": "number",
    "cases": "case",
    "mix": "mix",
    "deals": "deals",
    "near_misses": "near-misses",
    "force": "force",
}
"""Options that choose deals: the attribute of the parsed arguments, and the option's name."""


def add_options(parser: argparse.ArgumentParser) -> None:
    what = parser.add_mutually_exclusive_group()
    add_shared(what, "out", out="practice_boards")
    add_value(
        what,
        "only",
        "BLOCK:DEAL",
        _place,
        "print one board with its answer: the block and the deal in it, both counted from 0",
    )
    boards, near_misses = whole_number(1, _MAX_BOARDS), whole_number(0, _MAX_BOARDS)
    add_value(parser, "number", "N", boards, f"number of boards (default: {Practice.number})")
    parser.add_argument(
        "--case",
        metavar="KEY=VALUE,...",
        type=Case.parse,
        action="append",
        dest="cases",
        help="case to draw, such as message=other_major,level=2,reason=five_or_more; the keys are "
        "message, level, reason, opening, overcall and answer; may be repeated (default: any double)",
    )
    parser.add_argument(
        "--mix",
        choices=MIXES,
        help=f"mix of the cases: by their real frequencies, or each in turn (default: {Practice.mix})",
    )
    add_value(
        parser,
        "near-misses",
        "N",
        near_misses,
        "number of additional boards on which a hand that nearly doubles (or, as opener, nearly raises) "
        "must make another call (default: 0)",
    )
    parser.add_argument(
        "--side",
        choices=SIDES,
        default=Practice.side,
        help="seat of the doubler: any, or always South, which skips the board numbers that do not fit "
        "(default: %(default)s)",
    )
    parser.add_argument(
        "--ask",
        choices=ASKS,
        default=Practice.ask,
        help=f"player whose call is asked for; {REOPENING} is the opener after two passes "
        "(default: %(default)s)",
    )
    searched = whole_number(1, _MAX_SEARCHED)
    add_value(parser, "deals", "N", searched, f"deals to search (default: {Practice.deals})")
    add_value(
        parser,
        "board",
        "N",
        whole_number(1, 8 * _MAX_BOARDS),  # twice as many deals, every fourth number
        "board number to use with --only (default: the lowest that fits --side)",
    )
    add_shared(parser, "seed agreement force")


def run(options: argparse.Namespace) -> None:
    if options.only:
        _print_again(options)
        return
    if options.board:
        raise InputError("--board has no effect without --only; allowed: with --only BLOCK:DEAL")
    given = {field.name: getattr(options, field.name, None) for field in fields(Practice)}
    practice = Practice(**{name: value for name, value in given.items() if value is not None})
    practice.check()
    # Imported here because it takes seconds, which --help should not wait for.
    from double_study.report import sheets

    notation, page, text = files = [Path(BOARDS + ending) for ending in sheets.ENDINGS]
    with staged(options.out) as stage:
        refuse_to_overwrite(options, files)
        items = practice.boards(progress=sys.stderr.isatty())
        sheets.write(stage, BOARDS, practice, items)
    file = terminal(str(options.out / notation))
    print(
        f"Wrote {len(items)} boards to {file}. To print the handout, open {page.name}, or {text.name} "
        "as plain text."
    )


def _place(text: str) -> tuple[int, int]:
    """Read ``BLOCK:DEAL``."""
    block, colon, deal = text.partition(":")
    if not colon:
        raise argparse.ArgumentTypeError(f"{text} is not BLOCK:DEAL, such as 3:4180")
    return whole_number(0, 10**9)(block), whole_number(0, BLOCK_DEALS - 1)(deal)


def _print_again(options: argparse.Namespace) -> None:
    for value, name in _OF_A_LESSON.items():
        if getattr(options, value):
            raise InputError(
                f"--{name} cannot be used with --only, which draws nothing; allowed: with --out"
            )
    from double_study.report import sheets

    origin = Origin(options.seed, *options.only)
    try:
        auction = Bidding(origin.cards, options.agreement).auction
    except InputError as error:
        raise InputError(f"--only {origin.place}: {error}") from None
    lowest = south_number(auction.seat_of_opener) if options.side == ALWAYS_SOUTH else 1
    number = options.board or lowest
    if options.side == ALWAYS_SOUTH and (number - lowest) % 4:
        raise InputError(
            f"--board {number} does not put the responder South; allowed: {lowest}, {lowest + 4}, "
            f"{lowest + 8}, ..."
        )
    asked = (RESPONDER, OPENER) if options.ask == BOTH else (options.ask,)
    for board in [Board(number, origin, options.agreement, who) for who in asked]:
        print(sheets.sheet_markdown([board], again=True))
        print("\n".join(game(board)))
