"""``double-study agreement``: the agreement in force, as sentences or as a list of settings."""

from __future__ import annotations

import argparse

from analysis.agreements.agreement import load
from analysis.agreements.settings_file import settings_file
from analysis.bidding.agreement_text import sentences
from analysis.commands.options import add_agreement_option

NAME = "agreement"
HELP = "the agreement in force, as sentences in the order the rules apply"
EXAMPLE = "agreement weak_notrump"


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_agreement_option(parser)
    parser.add_argument(
        "agreement",
        metavar="NAME",
        nargs="?",
        type=load,
        default=argparse.SUPPRESS,
        help="the agreement, without --agreement",
    )
    parser.add_argument(
        "--settings",
        action="store_true",
        help="list every setting with its meaning, value and allowed values, as a TOML file",
    )


def run(options: argparse.Namespace) -> int:
    """Print; nothing is written to disk."""
    as_lines = settings_file if options.settings else sentences
    print("\n".join(as_lines(options.agreement)))
    return 0
