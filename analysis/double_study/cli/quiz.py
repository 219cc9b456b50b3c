"""``double-study quiz``: hands and auctions to call on, in the terminal."""

from __future__ import annotations

import argparse
import sys
from itertools import count

from double_study.agreements.reader import in_words
from double_study.app import quiz_questions
from double_study.cards.bids import DOUBLE, PASS, Call, call_symbol
from double_study.cards.notation import hand_symbols, read_call
from double_study.cli.options import add_agreement_option, whole_number
from double_study.errors import InputError
from double_study.escape import terminal

NAME = "quiz"
HELP = "hands and auctions to call on, with the answers, in the terminal"
EXAMPLE = "quiz --about doubles --agreement through_2s"

MAX_QUESTIONS = 1000
_ABOUT = dict(zip(("calls", "doubles", "answers", "pass-out"), quiz_questions.SCOPES, strict=True))
_LEAVE = ("q", "quit")


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_agreement_option(parser)
    parser.add_argument(
        "--about",
        choices=_ABOUT,
        default=next(iter(_ABOUT)),
        help="every call of the responder's, its doubles and near misses, the opener's answers to the "
        "double, or its call in the pass-out seat (default %(default)s)",
    )
    parser.add_argument(
        "--questions",
        metavar="N",
        type=whole_number("--questions", 1, MAX_QUESTIONS),
        help="end after so many (default: when you have had enough)",
    )
    parser.add_argument(
        "--seed",
        metavar="N",
        type=whole_number("--seed", 0, quiz_questions.MAX_SEED),
        help="put the questions of this seed again (default: new ones each time)",
    )


def run(options: argparse.Namespace) -> int:
    """Ask until the reader leaves; nothing is written to disk."""
    seed = quiz_questions.new_seed() if options.seed is None else options.seed
    scope = _ABOUT[options.about]
    print(f"Judged by {in_words(options.agreement)}.")
    print(
        f"Call as in 2H, X or pass; q ends the quiz. --seed {seed} puts the same questions again."
    )
    score = quiz_questions.Score()
    for number in range(options.questions) if options.questions else count():
        asked = quiz_questions.question(number, options.agreement, seed, scope)
        print(f"\n{number + 1}. You hold {hand_symbols(asked.cards)}")
        print(f"   The bidding: {asked.auction.symbols}")
        call = _called(quiz_questions.choices(asked))
        if call is None:
            break
        judged = quiz_questions.verdict(asked, call)
        score.add(judged.right)
        print("\n".join(f"   {line}" for line in judged.lines))
    print(f"\nYour score: {score}.")
    return 0


def _called(allowed: list[Call]) -> Call | None:
    """The call typed in; None where the reader leaves."""
    while True:
        print("   Your call: ", end="", flush=True)
        line = sys.stdin.readline()
        word = line.strip().lower()
        if not line or word in _LEAVE:
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
        print(f"   {call_symbol(call)} is no call here; allowed: pass, {double}{lowest} or higher")
