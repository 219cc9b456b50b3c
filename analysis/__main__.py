"""``double-study``: the command line of the study."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

from analysis.errors import Failure, InputError

COMMANDS = ("report", "count", "exact", "check", "compare", "agreement", "ask", "boards")
"""The commands, each a module of its name in :mod:`analysis.commands`."""

FAILED = 1
BAD_INPUT = 2
INTERRUPTED = 130


class OneLineParser(argparse.ArgumentParser):
    """A parser whose complaints are one line, like every other complaint about input."""

    def error(self, message: str) -> NoReturn:
        """Raise :class:`InputError` in place of printing the usage and leaving."""
        raise InputError(f"{message}; see {self.prog} --help")


def parser(first: str = "") -> OneLineParser:
    """The parser of the command ``first``, or of all commands where it is not one of them.

    A command brings its own libraries, some of them slow to load: a player who asks about a hand
    should not wait for those that print reports.
    """
    top = OneLineParser(prog="double-study", description=__doc__, allow_abbrev=False)
    chosen = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name in (first,) if first in COMMANDS else COMMANDS:
        command = import_module(f"analysis.commands.{name}")
        part = chosen.add_parser(
            command.NAME, help=command.HELP, description=command.__doc__, allow_abbrev=False
        )
        command.add_options(part)
        part.set_defaults(run=command.run)
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status.

    That is 2 for bad input and 1 where the study itself failed, with one line on standard error.
    """
    # A terminal without suit symbols must not end the command: it shows their code numbers.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        words = sys.argv[1:] if arguments is None else list(arguments)
        options = parser(*words[:1]).parse_args(words)
        return int(options.run(options))
    except InputError as error:
        print(f"double-study: {error}", file=sys.stderr)
        return BAD_INPUT
    except Failure as failure:
        print(f"double-study: {failure}", file=sys.stderr)
        return FAILED
    except BrokenPipeError:
        # Whoever read the output has seen enough; nothing more is said to anyone.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAILED
    except KeyboardInterrupt as interrupt:
        print(f"double-study: {str(interrupt) or 'interrupted'}", file=sys.stderr)
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
