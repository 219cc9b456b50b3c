"""``double-study``: the command line of the study."""

from __future__ import annotations

import argparse
import io
import os
import re
import sys
from collections.abc import Sequence
from importlib import import_module
from importlib.metadata import PackageNotFoundError
from typing import Any, NoReturn

from analysis.errors import Failure, InputError

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
"""The commands, each a module of its name in :mod:`analysis.commands`."""

PROGRAM = "double-study"

FAILED = 1
BAD_INPUT = 2
INTERRUPTED = 130


class OneLineParser(argparse.ArgumentParser):
    """A parser whose complaints are one line, like every other complaint about input."""

    def error(self, message: str) -> NoReturn:
        """Raise :class:`InputError` in place of printing the usage and leaving."""
        raise InputError(f"{message}; see {self.prog} --help")


class _Version(argparse.Action):
    """``--version``, looked up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        """Print and leave."""
        from analysis.counting.provenance import versions

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
    command = import_module(f"analysis.commands.{name}")
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
        chosen.add_parser(name, help=import_module(f"analysis.commands.{name}").HELP)
    return parser


def _read(words: Sequence[str]) -> argparse.Namespace:
    """The command and its options; they may stand in any order after the command's name."""
    if words and words[0] in COMMANDS:
        # A void at the beginning of a hand, -.AJ64.K83.QT9752, is no option.
        rest = [re.sub(r"^-(?=[^\w-])", "–", word) for word in words[1:]]
        return command_parser(words[0]).parse_intermixed_args(rest)
    return every_command().parse_args(words)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status.

    That is 2 for bad input and 1 where the study itself failed, with one line on standard error.
    """
    # A terminal without suit symbols must not end the command: it shows their code numbers.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        options = _read(sys.argv[1:] if arguments is None else arguments)
        return int(options.run(options))
    except InputError as error:
        print(f"{PROGRAM}: {error}", file=sys.stderr)
        return BAD_INPUT
    except Failure as failure:
        print(f"{PROGRAM}: {failure}", file=sys.stderr)
        return FAILED
    except BrokenPipeError:
        # Whoever read the output has seen enough; nothing more is said to anyone.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAILED
    except KeyboardInterrupt as interrupt:
        print(f"{PROGRAM}: {str(interrupt) or 'interrupted'}", file=sys.stderr)
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
