"""Ask for the call on one hand after another, and judge the answers."""

from __future__ import annotations

import argparse
import sys
from itertools import count

from double_study.agreements.reader import in_words
from double_study.app import quiz
from double_study.cards.bids import DOUBLE, PASS, Call, call_symbol
from double_study.cards.notation import hand_symbols, read_call
from double_study.cli.options import add_shared, add_value, whole_number
from double_study.errors import InputError
from double_study.escape import terminal

EXAMPLE = "quiz --about doubles --agreement through_2s"

_QUIT = ("q", "quit")


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    add_shared(parser, "agreement")
    parser.add_argument(
        "--about",
        choices=quiz.SCOPES,
        default=next(iter(quiz.SCOPES)),
        help="calls to ask for: every call of the responder, its doubles and near misses, the opener's "
        "answers to the double, its calls in the pass-out seat, or the fourth hand's over the double "
        "(default: %(default)s)",
    )
    number, seed = whole_number(1, 1000), whole_number(0, quiz.MAX_SEED)
    add_value(parser, "questions", "N", number, "number of questions (default: until you quit)")
    add_value(parser, "seed", "N", seed, "seed, to repeat the questions (default: a new one)")


def run(options: argparse.Namespace) -> None:
    """Run the command."""
    seed = quiz.new_seed() if options.seed is None else options.seed
    print(f"Judged by {in_words(options.agreement)}.")
    print(
        f"Call as in 2H, X or pass; q ends the quiz. --seed {seed} puts the same questions again."
    )
    right = answered = 0
    for number in range(options.questions) if options.questions else count():
        asked = quiz.question(number, options.agreement, seed, options.about)
        print(f"\n{number + 1}. You hold {hand_symbols(asked.cards)}")
        print(f"   The bidding: {asked.auction.symbols}")
        call = _read_answer(quiz.choices(asked))
        if call is None:
            break
        judged = quiz.verdict(asked, call)
        right, answered = right + judged.right, answered + 1
        print("\n".join(f"   {line}" for line in judged.lines))
    print(f"\nYour score: {right} right of {answered}.")


def _read_answer(allowed: list[Call]) -> Call | None:
    """Return the call typed in, None to quit."""
    while True:
        print("   Your call: ", end="", flush=True)
        line = sys.stdin.readline()
        word = line.strip().lower()
        if not line or word in _QUIT:
            return None
        try:
            call = read_call(word)
        except InputError as error:
            print(f"   {terminal(str(error))}")
            continue
        if call in allowed:
            return call
        lowest = next(call_symbol(one) for one in allowed if one not in (PASS, DOUBLE))
        double = "double, " if DOUBLE in allowed else ""
        print(
            f"   {call_symbol(call)} is not a legal call here; allowed: pass, {double}{lowest} or higher"
        )
