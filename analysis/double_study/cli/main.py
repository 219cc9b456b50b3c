"""``double-study``: the command line of the study."""

from __future__ import annotations

import argparse
import io
import os
import re
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from importlib.metadata import PackageNotFoundError
from typing import Any, NoReturn

from double_study.errors import Failure, InputError
from double_study.escape import terminal
from double_study.streams import errors_unheeded, open_closed_streams, say_no_more
from double_study.workers import SINGLE_THREADS

COMMANDS = (
    "report",
    "count",
    "exact",
    "check",
    "compare",
    "agreement",
    "ask",
    "boards",
    "explore",
    "quiz",
)
"""The commands, each a module of its name in :mod:`double_study.cli`."""

PROGRAM = "double-study"

FAILED = 1
BAD_INPUT = 2
INTERRUPTED = 130
LONGEST_LINE = 300
"""Characters of a complaint, of which a long one loses those in the middle: what is allowed comes last."""
_LONG_WORD = re.compile(r"(\S{30})\S{40,}(\S{30})")
"""A word, most likely the path that is complained of, whose middle goes before what is wrong with it does."""


class OneLineParser(argparse.ArgumentParser):
    """A parser whose complaints are one line, like every other complaint about input."""

    def error(self, message: str) -> NoReturn:
        """Raise :class:`InputError` in place of printing the usage and leaving."""
        raise InputError(f"{message}; see {self.prog} --help")

    def print_help(self, file: Any = None) -> None:
        """Print the help; unlike argparse's own, fail where it cannot be printed."""
        print(self.format_help(), end="", file=file)


class _Version(argparse.Action):
    """``--version``, looked up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        """Print and leave."""
        from double_study.counting.run import versions

        try:
            print(PROGRAM, versions()["study"])
        except PackageNotFoundError:
            raise Failure("a copy that is not installed has no version") from None
        parser.exit()


def command_parser(name: str) -> OneLineParser:
    """The parser of one command.

    A command brings its own libraries, some of them slow to load: a player who asks about a hand
    should not wait for those that print reports.
    """
    command = import_module(f"double_study.cli.{name}")
    parser = OneLineParser(
        prog=f"{PROGRAM} {command.NAME}",
        description=str(command.__doc__).replace("``", ""),
        epilog=f"example: {PROGRAM} {command.EXAMPLE}",
        allow_abbrev=False,
    )
    command.add_options(parser)
    parser.set_defaults(run=command.run)
    return parser


def every_command() -> OneLineParser:
    """The parser of what is said before any command: the list of commands, the version."""
    parser = OneLineParser(
        prog=PROGRAM,
        description=str(__doc__).replace("``", ""),
        epilog=f"{PROGRAM} COMMAND --help explains a command, with an example",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the study's version")
    chosen = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name in COMMANDS:
        chosen.add_parser(name, help=import_module(f"double_study.cli.{name}").HELP)
    return parser


def _read(words: Sequence[str]) -> argparse.Namespace:
    """The command and its options; they may stand in any order after the command's name."""
    if words and words[0] in COMMANDS:
        # A void at the beginning of a hand, -.AJ64.K83.QT9752, is no option.
        for word in words:
            # argparse would take the value for the sign that no option follows.
            if re.fullmatch("--.*=--", word, re.DOTALL):
                raise InputError(f"{word}: no value; allowed: those that --help names")
        rest = [re.sub(r"^-(?=[^\w-])", "–", word) for word in words[1:]]
        return command_parser(words[0]).parse_intermixed_args(rest)
    return every_command().parse_args(words)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status.

    That is 2 for bad input and 1 where the study itself failed, with one line on standard error.
    """
    open_closed_streams()
    # Read when NumPy is loaded, which the commands do. Processes fill the processors: threads of
    # linear algebra beside them are in the way, and are more than --workers allows.
    os.environ.update(SINGLE_THREADS)
    # A terminal without suit symbols must not end the command: it shows their code numbers.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    with errors_unheeded():
        return _run(sys.argv[1:] if arguments is None else arguments)


def _run(words: Sequence[str]) -> int:
    """Run the command that some words name; the exit status."""
    try:
        try:
            options = _read(words)
            return int(options.run(options))
        finally:
            # Now, while it can still be told that nobody took what was said.
            sys.stdout.flush()
    except InputError as error:
        return _complain(error, BAD_INPUT)
    except Failure as failure:
        return _complain(failure, FAILED)
    except BrokenPipeError:
        # Whoever read the output has seen enough; nothing more is said to anyone.
        say_no_more(sys.stdout)
        return FAILED
    except OSError as error:
        # A full disk, most likely, which every way of writing meets.
        say_no_more(sys.stdout)
        place = f"{error.filename}: " if error.filename else ""
        return _complain(f"{place}{error.strerror or error}; not all results were written", FAILED)
    except KeyboardInterrupt as interrupt:
        return _complain(str(interrupt) or "interrupted", INTERRUPTED)


def _complain(what: object, status: int) -> int:
    """Say what went wrong on standard error, in one line of a length that is read; the status."""
    line = _LONG_WORD.sub(r"\1…\2", terminal(f"{PROGRAM}: {what}"))
    if len(line) > LONGEST_LINE:
        half = (LONGEST_LINE - 3) // 2
        line = f"{line[:half]} … {line[-half:]}"
    with suppress(BrokenPipeError):
        print(line, file=sys.stderr)
    return status


if __name__ == "__main__":
    sys.exit(main())
