"""Ask for your call on one hand after another and judge it, or write a page that does so."""

import argparse
import sys
from itertools import count

import numpy as np

from double_study.agreements.reader import in_words
from double_study.app import quiz
from double_study.cards.bids import DOUBLE, PASS, Call, call_symbol
from double_study.cards.notation import hand_symbols, read_call
from double_study.cli.options import Options, add, usable_path, whole_number
from double_study.errors import InputError
from double_study.escape import terminal
from double_study.files import staged
from double_study.lessons.board_answers import ALERTING
from double_study.lessons.hour import BIDS, DOUBLES, HOMEWORK, PASSES, Hours
from double_study.rules.terms import SEQUENCES

EXAMPLE = "quiz --html homework.html --questions 12"

_KINDS = {
    "calls": (*DOUBLES, *BIDS, *PASSES, "waits"),
    "doubles": (*DOUBLES, *PASSES),
    "answers": ("raises", "other_answer", "over_a_raise"),
    "pass-out": ("reopens", "lets_play"),
}
"""Kinds of hands on a page, by the value of ``--about``."""
_QUIT = ("q", "quit")


# fmt: off
_OPTIONS: Options = {
    "about": (quiz.SCOPES, "calls to ask for: every call of the responder, its doubles and near misses, "
              "the opener's answers to the double, its calls in the pass-out seat, or the fourth hand's "
              "over the double (default: %(default)s)"),
    "questions": ("N", whole_number(1, 1000), "number of questions (default: until you quit)"),
    "seed": ("N", whole_number(0, quiz.MAX_SEED),
             "seed that repeats the same questions (default: a new one)"),
    "html": ("FILE", usable_path(), f"write the questions ({HOMEWORK} by default) to this file, a page "
             "to send, instead of asking them"),
}
# fmt: on


def add_options(parser: argparse.ArgumentParser) -> None:
    first = next(iter(quiz.SCOPES))
    add(parser, "agreement about questions seed html force", _OPTIONS, about=first, seed=None)


def run(options: argparse.Namespace) -> None:
    seed = quiz.new_seed() if options.seed is None else options.seed
    if options.html:
        _write(options, seed)
        return
    print(f"Your calls are judged by {in_words(options.agreement)}.")
    print(f"Type a call such as 2H, X or pass; q ends the quiz. To repeat it, add --seed {seed}.")
    right = answered = 0
    for number in range(options.questions) if options.questions else count():
        asked = quiz.question(number, options.agreement, seed, options.about)
        print(f"\n{number + 1}. You hold {hand_symbols(asked.cards)}")
        print(f"   The bidding: {asked.auction.symbols}")
        call = _read_answer(quiz.choices(asked))
        if call is None:
            break
        good, lines = quiz.verdict(asked, call)
        right, answered = right + good, answered + 1
        print("\n".join(f"   {line}" for line in lines))
    print(f"\nYour score: {right} right of {answered}.")


def _write(options: argparse.Namespace, seed: int) -> None:
    """Write the questions as a page; their deals are drawn from those that a lesson may show."""
    from double_study.report.sheets import homework_html

    if not options.force and options.html.exists():
        raise InputError(
            f"--html {options.html}: this file exists; allowed: another file, or --force to "
            "overwrite it"
        )
    if options.about not in _KINDS:
        raise InputError(
            f"--about {options.about} cannot be used with --html; allowed: {', '.join(_KINDS)}"
        )
    hours = Hours.of(seed, options.agreement, progress=sys.stderr.isatty())
    everywhere = np.ones(len(SEQUENCES), dtype=np.bool_)
    questions = options.questions or HOMEWORK
    items = hours.boards(_KINDS[options.about], questions, 1, everywhere)
    foot = f"Calls by {in_words(options.agreement)}; seed {seed}. {ALERTING}"
    with staged(options.html.parent) as stage:
        page = homework_html("Negative doubles: what do you call?", items, foot)
        (stage / options.html.name).write_text(page, encoding="utf-8")
    print(f"Wrote {questions} questions to {terminal(str(options.html))}. Open it in any browser.")


def _read_answer(allowed: list[Call]) -> Call | None:
    """Read calls until one is legal and return it; return None to quit."""
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
