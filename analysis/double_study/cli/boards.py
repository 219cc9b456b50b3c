"""Draw practice boards for a lesson, or print one of them again."""

import argparse
import sys
from dataclasses import fields
from pathlib import Path

from double_study.cards.deal import BLOCK_DEALS
from double_study.cli.options import Options, add, refuse_to_overwrite, whole_number
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
_DRAWS = "number case mix deals near-misses force"
"""Options that choose deals."""


# fmt: off
_OPTIONS: Options = {
    "number": ("N", whole_number(1, _MAX_BOARDS), f"number of boards (default: {Practice.number})"),
    "mix": (MIXES, "mix of the cases: by their real frequencies, or each in turn (default: "
            f"{Practice.mix})"),
    "near-misses": ("N", whole_number(0, _MAX_BOARDS),
                    "number of additional boards on which a hand that nearly doubles (or, as opener, "
                    "nearly raises) must make another call (default: 0)"),
    "side": (SIDES, "seat of the doubler: any, or always South, which skips the board numbers that do "
             "not fit (default: %(default)s)"),
    "ask": (ASKS, f"player whose call is asked for; {REOPENING} is the opener after two passes "
            "(default: %(default)s)"),
    "deals": ("N", whole_number(1, _MAX_SEARCHED), f"deals to search (default: {Practice.deals})"),
    # Twice as many deals, every fourth number.
    "board": ("N", whole_number(1, 8 * _MAX_BOARDS),
              "board number to use with --only (default: the lowest that fits --side)"),
}
# fmt: on


def add_options(parser: argparse.ArgumentParser) -> None:
    what = parser.add_mutually_exclusive_group()
    again = "print one board with its answer: the block and the deal in it, both counted from 0"
    add(what, "out only", {"only": ("BLOCK:DEAL", _place, again)}, out="practice_boards")
    add(parser, "number", _OPTIONS)
    parser.add_argument(
        "--case",
        metavar="KEY=VALUE,...",
        type=Case.parse,
        action="append",
        help="case to draw, such as message=other_major,level=2,reason=five_or_more; the keys are "
        "message, level, reason, opening, overcall and answer; may be repeated (default: any double)",
    )
    rest = "mix near-misses side ask deals board seed agreement force"
    add(parser, rest, _OPTIONS, side=Practice.side, ask=Practice.ask)


def run(options: argparse.Namespace) -> None:
    if options.only:
        _print_again(options)
        return
    if options.board:
        raise InputError("--board has no effect without --only; allowed: with --only BLOCK:DEAL")
    given = {**vars(options), "cases": options.case}
    names = [field.name for field in fields(Practice) if given.get(field.name) is not None]
    practice = Practice(**{name: given[name] for name in names})
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
    block, colon, deal = text.partition(":")
    if not colon:
        raise argparse.ArgumentTypeError(f"{text} is not BLOCK:DEAL, such as 3:4180")
    return whole_number(0, 10**9)(block), whole_number(0, BLOCK_DEALS - 1)(deal)


def _print_again(options: argparse.Namespace) -> None:
    for name in _DRAWS.split():
        if getattr(options, name.replace("-", "_")):
            raise InputError(
                f"--{name} cannot be used with --only, which draws nothing; allowed: with --out"
            )
    from double_study.report import sheets

    origin = Origin(options.seed, *options.only)
    try:
        auction = Bidding(origin.cards, options.agreement).auction
    except InputError as error:
        raise InputError(f"--only {origin.place}: {error}") from None
    lowest = south_number(auction.seat_of("opener")) if options.side == ALWAYS_SOUTH else 1
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
