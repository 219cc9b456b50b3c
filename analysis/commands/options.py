"""Options that several commands share, and how their values are read."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from pathlib import Path

from analysis.agreements.agreement import REFERENCE, load, shipped
from analysis.counting.sampling import DEFAULT_DEALS, DEFAULT_SEED
from analysis.errors import InputError

SHIPPED_NAMES = f"the name of one that comes with the study: {', '.join(shipped())}"

MAX_DEALS = 10**13
MAX_SEED = 2**63 - 1
MAX_WORKERS = 1024


def whole_number(option: str, low: int, high: int) -> Callable[[str], int]:
    """A reader of whole numbers from ``low`` to ``high``, such as 20000000, 2e7 or 20_000_000."""

    def read(text: str) -> int:
        try:
            number = Decimal(text)
            if number == number.to_integral_value() and low <= number <= high:
                return int(number)
        except InvalidOperation:
            pass
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


def add_out_option(parser: argparse.ArgumentParser, default: str = "reports") -> None:
    """``--out``: the folder that the command writes into."""
    parser.add_argument(
        "--out",
        metavar="DIR",
        type=Path,
        default=Path(default),
        help=f"folder to write into (default {default})",
    )
