"""Options that several commands share, and how their values are read."""

from __future__ import annotations

import argparse
import os
import re
import stat
from collections.abc import Callable, Iterable
from decimal import Decimal
from pathlib import Path

from analysis.agreements.agreement import REFERENCE, load, shipped
from analysis.counting.sampling import DEFAULT_DEALS, DEFAULT_SEED
from analysis.errors import InputError

SHIPPED_NAMES = f"the name of one that comes with the study: {', '.join(shipped())}"

MAX_DEALS = 10**13
MAX_SEED = 2**63 - 1
MAX_WORKERS = 1024
_LONGEST_NAME = 200
"""Bytes: file systems allow 255, of which the name written aside takes some."""
NUMBER = re.compile(r"(\d+(_\d+)*(\.\d+)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
"""A number as the options take it."""


def whole_number(option: str, low: int, high: int) -> Callable[[str], int]:
    """A reader of whole numbers from ``low`` to ``high``, such as 20000000, 2e7 or 20_000_000."""

    def read(text: str) -> int:
        if NUMBER.fullmatch(text):
            number = Decimal(text)
            if number == number.to_integral_value() and low <= number <= high:
                return int(number)
        raise InputError(f"{option} {text}: allowed: a whole number from {low} to {high}")

    return read


def add_run_options(parser: argparse.ArgumentParser, deals: int = DEFAULT_DEALS) -> None:
    """``--deals``, ``--seed`` and ``--workers``."""
    parser.add_argument(
        "--deals",
        metavar="N",
        type=whole_number("--deals", 1, MAX_DEALS),
        default=deals,
        help=f"deals to count (default {deals})",
    )
    add_seed_option(parser)
    parser.add_argument(
        "--workers",
        metavar="N",
        type=whole_number("--workers", 1, MAX_WORKERS),
        default=None,
        help="processes to use (default: every processor); the counts do not depend on it",
    )


def add_seed_option(parser: argparse.ArgumentParser) -> None:
    """``--seed``."""
    parser.add_argument(
        "--seed",
        metavar="N",
        type=whole_number("--seed", 0, MAX_SEED),
        default=DEFAULT_SEED,
        help=f"root seed of the deals (default {DEFAULT_SEED})",
    )


def add_agreement_option(parser: argparse.ArgumentParser) -> None:
    """``--agreement``: a TOML file or the name of a shipped agreement."""
    parser.add_argument(
        "--agreement",
        metavar="FILE.toml",
        type=load,
        default=REFERENCE,
        help=f"settings that differ from the reference agreement, or {SHIPPED_NAMES}",
    )


def usable_path(option: str, folder: bool = False) -> Callable[[str], Path]:
    """A reader of paths that a file, or a ``folder``, may be written to; nothing is created.

    What stands there already must be of that kind: a pipe or a device would be waited for, or
    written into.
    """
    kind = "folder" if folder else "file"

    def read(text: str) -> Path:
        path = Path(text)
        try:
            mode = os.stat(path).st_mode
            wrong = not (stat.S_ISDIR(mode) if folder else stat.S_ISREG(mode))
            why = f"there is something that is no {kind}" if wrong else ""
        except (FileNotFoundError, NotADirectoryError) as error:
            # A link that leads nowhere would be replaced, or followed to a place nobody named.
            links = [one for one in (path, *path.parents) if os.path.islink(one)]
            why = "" if all(map(os.path.exists, links)) else (error.strerror or "")
        except (OSError, ValueError) as error:  # a loop of links, a name too long, a name with NUL
            why = getattr(error, "strerror", None) or str(error)
        if not path.name or len(os.fsencode(path.name)) > _LONGEST_NAME:
            why = why or f"no name for a {kind}"
        if why:
            raise InputError(f"{option} {text}: {why}; allowed: a {kind} that you may write")
        return path

    return read


def add_out_option(
    parser: argparse.ArgumentParser | argparse._MutuallyExclusiveGroup, default: str
) -> None:
    """``--out``: the folder that the command writes into."""
    parser.add_argument(
        "--out",
        metavar="DIR",
        type=usable_path("--out", folder=True),
        default=Path(default),
        help=f"folder to write into (default {default})",
    )


def add_force_option(
    parser: argparse.ArgumentParser, what: str = "tables that --out already holds"
) -> None:
    """``--force``, which overwrites ``what``: see :func:`refuse_to_overwrite`."""
    parser.add_argument("--force", action="store_true", help=f"overwrite {what}")


def refuse_to_overwrite(options: argparse.Namespace, files: Iterable[Path]) -> None:
    """Raise :class:`InputError` where ``--out`` holds one of ``files`` and ``--force`` was not given.

    A table of one run beside those of another would contradict them.
    """
    for file in files:
        if not options.force and os.path.lexists(options.out / file):
            raise InputError(
                f"--out {options.out}: {file} of another run is there; allowed: another folder, or "
                "--force to overwrite it"
            )
