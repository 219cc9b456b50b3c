"""Print the agreement in force, or write one of your own from the answers to a few questions."""

import argparse
import io
import os
import sys
from pathlib import Path

from double_study.agreements.questions import QUESTIONS, agreement_of
from double_study.agreements.reader import REFERENCE, Agreement, load, settings_file, short_file
from double_study.cli.options import Options, add, usable_path
from double_study.errors import InputError
from double_study.escape import terminal
from double_study.files import write_file
from double_study.rules.explain import sentences

EXAMPLE = "agreement weak_notrump"

_SUFFIX = ".toml"


# fmt: off
_OPTIONS: Options = {
    "settings": "list every setting with its meaning, value and allowed values, as a TOML file",
    "new": ("FILE.toml", usable_path(),
            f"ask {len(QUESTIONS)} questions and save your answers in this file"),
}
# fmt: on


def add_options(parser: argparse.ArgumentParser) -> None:
    same = "the same as --agreement NAME"
    parser.add_argument("named", metavar="NAME", nargs="?", type=load, help=same)
    add(parser, "agreement settings new force", _OPTIONS)


def run(options: argparse.Namespace) -> None:
    agreement = options.named or options.agreement
    if options.new is not None:
        if options.settings or agreement is not REFERENCE:
            raise InputError(
                "--new starts from the reference, so it takes no other agreement and no --settings; "
                "allowed: --new, with or without --force"
            )
        _write_new(options.new, options.force)
    elif options.force:
        raise InputError("--force has no effect alone; allowed: with --new FILE.toml")
    else:
        as_lines = settings_file if options.settings else sentences
        print("\n".join(as_lines(agreement)))


def _write_new(file: Path, force: bool) -> None:
    try:
        if file.suffix != _SUFFIX or not os.access(file.parent, os.W_OK | os.X_OK):
            raise InputError(
                f"--new {file} cannot be written; allowed: a name ending in {_SUFFIX}, in a folder "
                "you may write to"
            )
        if file.exists() and not force:
            raise InputError(f"--new {file}: this file exists; allowed: another name, or --force")
        lines = short_file(_answers(terminal(file.name)))
        write_file(file, ("\n".join(lines) + "\n").encode())
    except OSError as error:
        raise InputError(
            f"--new {file}: {error.strerror}; allowed: a file that you may write"
        ) from None
    print(f"\nSaved. To use it with any command, add --agreement {terminal(str(file))}")


def _answers(name: str) -> Agreement:
    """Ask the questions and return the agreement, called ``name``, that the answers describe."""
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")
    print(f"{len(QUESTIONS)} questions. Press Enter to accept the reference's answer, in brackets.")
    answers: dict[str, str] = {}
    agreement = agreement_of(answers, name)
    for number, question in enumerate(QUESTIONS, start=1):
        print(f"\n{number}. {question.text}")
        while question.name not in answers:
            print(f"   {question.allowed} [{question.reference}]: ", end="", flush=True)
            answer = sys.stdin.readline()
            if not answer:
                raise InputError(
                    f"the input ended before question {number} was answered; allowed: one line for "
                    f"each of the {len(QUESTIONS)} questions"
                )
            try:
                agreement = agreement_of({**answers, question.name: answer}, name)
            except InputError as error:
                print(f"   {terminal(str(error))}")
            else:
                answers[question.name] = answer
    return agreement
