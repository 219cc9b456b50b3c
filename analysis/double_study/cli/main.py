"""``double-study``: the command line of the study."""

import argparse
import io
import os
import re
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import Any, NoReturn

from double_study.errors import Failure, InputError
from double_study.escape import terminal
from double_study.workers import SINGLE_THREADS

COMMANDS = {
    "report": "do the main job: count, check, run the notebooks, write the report",
    "count": "count deals and write the tables",
    "exact": "write the exact probabilities for openings in first seat",
    "check": "compare counted deals with exact values",
    "compare": "bid the same deals under several agreements and print the differences",
    "agreement": "print the agreement in force as sentences, or write one of your own",
    "how-often": "answer any question of the form: how often ...?",
    "ask": "print the call on a hand, the rule behind it, and the odds on partner's hand",
    "cite": "print the reference to a report, in words and in the formats of reference lists",
    "lesson": "write an hour's lesson, or a course: plan, boards, homework, handout",
    "boards": "draw practice boards of chosen cases, with the answers",
    "explore": "open a page in the browser of this computer to call hands, ask and explore",
    "quiz": "ask for your call on one hand after another, or write a page that does so",
}
"""Every command with its help. The module of the same name is imported when the command is run."""

PROGRAM = "double-study"
FAILED = 1
BAD_INPUT = 2
INTERRUPTED = 130
LONGEST_LINE = 300
"""Longest message, in characters. A longer one is cut in the middle, because its end says what to do."""
_LONG_WORD = re.compile(r"(\S{30})\S{40,}(\S{30})")
"""A long word, most likely a path, whose middle is cut first."""


class OneLineParser(argparse.ArgumentParser):
    """A parser that reports bad arguments in one line, like every other bad input."""

    def __init__(self, **about: Any) -> None:
        super().__init__(allow_abbrev=False, **about)

    def error(self, message: str) -> NoReturn:
        """Raise :class:`InputError` instead of printing the usage and exiting."""
        message = re.sub(r"^argument (\S+): ", r"\1 ", message)
        raise InputError(f"{message}; see {self.prog} --help")

    def print_help(self, file: Any = None) -> None:
        """Print the help; unlike argparse's own method, fail if it cannot be printed."""
        print(self.format_help(), end="", file=file)


def command_parser(name: str) -> OneLineParser:
    module = import_module(f"double_study.cli.{name.replace('-', '_')}")
    example = f"example: {PROGRAM} {module.EXAMPLE}"
    parser = OneLineParser(prog=f"{PROGRAM} {name}", description=module.__doc__, epilog=example)
    module.add_options(parser)
    parser.set_defaults(run=module.run)
    return parser


def every_command() -> OneLineParser:
    """Return the parser for a line without a command, which lists the commands and the version."""
    from double_study.sources import version

    about = "The negative double, counted."
    more = f"{PROGRAM} COMMAND --help explains a command, with an example"
    parser = OneLineParser(prog=PROGRAM, description=about, epilog=more)
    parser.add_argument("--version", action="version", version=f"{PROGRAM} {version()}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, help_text in COMMANDS.items():
        commands.add_parser(name, help=help_text)
    return parser


def _parse(words: Sequence[str]) -> argparse.Namespace:
    """Parse the command and its options, which may come in any order after its name."""
    if not words or words[0] not in COMMANDS:
        return every_command().parse_args(words)
    for word in words:
        # argparse would take the value "--" for the end of the options.
        if re.fullmatch("--.*=--", word, re.DOTALL):
            raise InputError(f"{word}: the option has no value; allowed: the values in --help")
    # A hand may begin with a void, -.AJ64.K83.QT9752, which argparse would take for an option.
    rest = [re.sub(r"^-(?=[^\w-])", "–", word) for word in words[1:]]
    return command_parser(words[0]).parse_intermixed_args(rest)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return the exit status.

    The status is 2 for bad input, 1 if the study itself failed and 130 after Ctrl-C; each comes with
    one line on standard error.
    """
    # Linear-algebra libraries read these variables when they are loaded. With one process per
    # processor, additional threads would only compete with each other.
    os.environ.update(SINGLE_THREADS)
    for name, mode in {"stdin": "r", "stdout": "w", "stderr": "w"}.items():
        if getattr(sys, name) is None:  # closed by the caller
            setattr(sys, name, open(os.devnull, mode))
    if isinstance(sys.stdout, io.TextIOWrapper):
        # Print suit symbols that the terminal cannot encode as their code numbers.
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        try:
            options = _parse(sys.argv[1:] if arguments is None else arguments)
            return int(options.run(options) or 0)
        finally:
            sys.stdout.flush()  # so that a full disk or a closed pipe is reported here, not at exit
    except InputError as error:
        return _complain(error, BAD_INPUT)
    except Failure as failure:
        return _complain(failure, FAILED)
    except BrokenPipeError:  # the reader, such as head, has closed the pipe
        _discard_output()
        return FAILED
    except OSError as error:  # most likely a full disk
        _discard_output()
        place = f"{error.filename}: " if error.filename else ""
        return _complain(f"{place}{error.strerror or error}; not all results were written", FAILED)
    except KeyboardInterrupt as interrupt:
        return _complain(str(interrupt) or "interrupted", INTERRUPTED)


def _discard_output() -> None:
    """Discard the rest of standard output, so that Python does not fail to flush it at exit."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _complain(what: object, status: int) -> int:
    """Print a message in one line on standard error and return the status."""
    line = _LONG_WORD.sub(r"\1…\2", terminal(f"{PROGRAM}: {what}"))
    if len(line) > LONGEST_LINE:
        half = (LONGEST_LINE - 3) // 2
        line = f"{line[:half]} … {line[-half:]}"
    with suppress(OSError):
        print(line, file=sys.stderr)
    return status
