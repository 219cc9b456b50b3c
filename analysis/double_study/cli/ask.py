"""Print the call on a hand after an auction, the rule behind it, and the odds on partner's hand."""

import argparse
import json
from collections.abc import Sequence

from double_study.asking.answer import Answer, as_json, full, short
from double_study.cards.bids import SUITS
from double_study.cards.notation import read_hand
from double_study.cli.options import Options, add
from double_study.errors import InputError

EXAMPLE = "ask K752.AJ64.83.T92 1D 1S"


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("hand", metavar="HAND", help="13 cards, such as K752.AJ64.83.T92")
    parser.add_argument(
        "auction",
        metavar="AUCTION",
        nargs="*",
        help="calls so far: any passes, the opening and the overcall, such as 1D 1S, if you are the "
        "opener's partner; 1D 1S X if you are the fourth hand; 1D 1S X P or 1D 1S X 2S if you are the "
        "opener; 1D 1S P P if you are the opener in the pass-out seat (default: no calls, which gives "
        "the odds before any bidding)",
    )
    own: Options = {
        "full": "also print the rules, all the odds, what comes next and how often this comes up",
        "json": "print one JSON object",
    }
    add(parser, "full json agreement", own)


def run(options: argparse.Namespace) -> None:
    answer = Answer.to(*_split([options.hand, *options.auction]), options.agreement)
    if options.json:
        print(json.dumps(as_json(answer)))
    else:
        print("\n".join(full(answer) if options.full else short(answer)))


def _split(words: Sequence[str]) -> tuple[str, str | None]:
    """Split the words into the hand (one word, or one per suit) and the auction, None without calls."""
    of_hand = 1
    if len(words) >= len(SUITS):
        try:
            read_hand(words[0])
        except InputError:
            of_hand = len(SUITS)
    hand, auction = " ".join(words[:of_hand]), " ".join(words[of_hand:])
    return hand, auction if len(words) > of_hand else None
