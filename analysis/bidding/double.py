"""The double itself: what it needs, its rule, and why it was chosen.

What it promises, its message, is settled by the opening and the overcall: see
:mod:`analysis.bidding.after_overcall`.
"""

from __future__ import annotations

from functools import reduce

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import (
    BOTH_MAJORS,
    BOTH_MINORS,
    EITHER_MAJOR,
    FOUR_SPADES,
    MESSAGE,
    PROMISED,
    Overcalled,
)
from analysis.bidding.rules import (
    UNREACHABLE,
    Condition,
    Rule,
    RuleTable,
    at_least,
    at_most,
    bid_text,
    holds,
    more,
    played,
)
from analysis.cards.bids import HEARTS, SPADES, SUIT_NAMES
from analysis.cards.hands import BoolArray, Suit
from analysis.vocabulary.dimension import Dimension

PROMISED_CARDS = 4
"""Cards that the double promises in a suit."""

_LENGTH = "four or more"
PROMISES = {
    "both_majors": f"{_LENGTH} in each major",
    "either_major": f"{_LENGTH} in a major",
    "both_minors": f"{_LENGTH} in each minor",
    "exactly_four_spades": "exactly four spades",
    "other_major": f"{_LENGTH} in the unbid major",
}
"""What a hand must hold for each message."""


def values(points: int) -> str:
    """So many total points or more."""
    return f"{points}+ total points"


def double_needs(agreement: Agreement, level: Suit, suit: Suit) -> NDArray[np.integer]:
    """Total points that the double needs over an overcall at ``level`` in ``suit``."""
    needs = agreement.response
    # Levels 1 to 4 in a minor, and after them in a major.
    by_level = [UNREACHABLE]
    for two in (needs.double_two_minor, needs.double_two_major):
        by_level += [needs.double_one, two, needs.double_three, needs.double_four]
    in_major = np.asarray(suit) >= HEARTS
    return np.array(by_level, dtype=np.int16).take(np.asarray(level) + in_major * np.int8(4))


def _in_promise(s: Overcalled) -> NDArray[np.integer]:
    """Cards in the shortest promised suit, or in the longest where one major is enough."""
    if s.agreement.response.both_majors:
        return s.in_shortest_promised
    one_enough = s.message == EITHER_MAJOR
    return np.where(one_enough, s.in_longest_promised, s.in_shortest_promised)


def _double_sentence(a: Agreement) -> str:
    r = a.response
    if not r.double:
        return "the responder's double is not played"
    majors = PROMISES["both_majors" if r.both_majors else "either_major"]
    at_two = (
        f"{r.double_two_minor} at 2"
        if r.double_two_minor == r.double_two_major
        else f"{r.double_two_minor} over two of a minor, {r.double_two_major} over two of a major"
    )
    higher = [at_two, f"{r.double_three} at 3", f"{r.double_four} at 4"]
    points = [f"{values(r.double_one)} at level 1", *higher[: r.double_through.level - 1]]
    return (
        f"through {r.double_through.symbol}, with {', '.join(points)}: with both minors bid {majors}; "
        f"with both majors bid {PROMISES['both_minors']}; over 1♥ after a minor "
        f"{PROMISES['exactly_four_spades']}; otherwise {PROMISES['other_major']}"
    )


def promise(s: Overcalled) -> str:
    """What the double promises in the auction of a single hand, or would; one suit by its name."""
    message = MESSAGE.names[np.asarray(s.message).item()]
    return f"{_LENGTH} {PROMISED.names(s)}" if message == "other_major" else PROMISES[message]


def over(s: Overcalled) -> str:
    """What a single hand calls over, such as 'over 2♠'."""
    return f"over {bid_text(s.overcall_bid.item())}"


def _double_part(s: Overcalled) -> str:
    needs = double_needs(s.agreement, s.level, s.overcall).item()
    return f"{over(s)}, with {values(needs)}: {promise(s)}"


def _cards_lacking(s: Overcalled) -> str:
    """What a single hand lacks of the promise, suit by suit; of either major, of the longer."""
    lengths = {suit: s.hands.lengths[suit].item() for suit in np.flatnonzero(s.promised[:, 0])}
    either = np.asarray(s.message).item() == EITHER_MAJOR
    longest = max(lengths.values())
    parts = [
        more(PROMISED_CARDS - cards, SUIT_NAMES[suit])
        for suit, cards in lengths.items()
        if (cards == longest if either else cards < PROMISED_CARDS)
    ]
    return (" or " if either else " and ").join(parts)


PROMISED_LENGTH: Condition[Overcalled] = at_least(
    PROMISED.cards,
    _in_promise,
    lambda s: PROMISED_CARDS,
    _cards_lacking,
)
ENOUGH_POINTS: Condition[Overcalled] = at_least(
    "total points",
    lambda s: s.total_points,
    lambda s: double_needs(s.agreement, s.level, s.overcall),
)
_CONDITIONS: list[Condition[Overcalled]] = [
    played("the double", lambda a: a.response.double),
    PROMISED_LENGTH,
    at_most(
        "spades",
        lambda s: s.hands.lengths[SPADES],
        lambda s: np.int16(13) - (s.message == FOUR_SPADES) * np.int16(13 - 4),
    ),
    ENOUGH_POINTS,
]

DOUBLE: Rule[Overcalled] = Rule(
    "double", "the double", _double_sentence, [_CONDITIONS], part=_double_part
)


def one_short(s: Overcalled, condition: Condition[Overcalled]) -> BoolArray:
    """Hands with all that the double asks for, save that they are one short in a condition."""
    short = np.asarray(condition.have(s)) == np.asarray(condition.need(s)) - 1
    return _others_met(s, condition) & short


def at_most_short(s: Overcalled, condition: Condition[Overcalled], by: int) -> BoolArray:
    """Hands with all that the double asks for, or with so much less of what one condition does."""
    enough = np.asarray(condition.have(s)) >= np.asarray(condition.need(s)) - by
    return _others_met(s, condition) & enough


def _others_met(s: Overcalled, condition: Condition[Overcalled]) -> BoolArray:
    met = [other.met(s) for other in _CONDITIONS if other is not condition]
    return np.broadcast_to(reduce(np.logical_and, met), s.hands.words.shape)


NOT_BID = "too few points, or no room, to bid the suit"
"""Why a promised major of five or more is doubled for."""

REASON: RuleTable[Overcalled] = RuleTable(
    "Why the double was chosen",
    (
        Rule(
            "both_suits",
            "both unbid suits",
            lambda a: "both unbid suits are promised",
            [
                [
                    holds(
                        "two suits promised",
                        lambda s: np.isin(s.message, (BOTH_MAJORS, BOTH_MINORS)),
                    )
                ]
            ],
        ),
        Rule(
            MESSAGE.names[FOUR_SPADES],
            "exactly four spades",
            lambda a: "exactly four spades are promised",
            [[holds("exactly four spades promised", lambda s: s.message == FOUR_SPADES)]],
        ),
        Rule(
            "five_or_more",
            "five or more, not bid",
            lambda a: f"five or more in the promised major, but {NOT_BID}",
            [
                [
                    at_least(
                        "cards in the promised major", lambda s: s.in_longest_promised, lambda s: 5
                    )
                ]
            ],
        ),
        Rule(
            "four_and_strong",
            "four and strong",
            lambda a: f"four in the promised major and {a.response.strong}+ total points",
            [
                [
                    at_least(
                        "total points",
                        lambda s: s.total_points,
                        lambda s: s.agreement.response.strong,
                    )
                ]
            ],
        ),
        Rule(
            "four_and_ordinary",
            "four and ordinary",
            lambda a: f"four in the promised major and fewer than {a.response.strong} total points",
        ),
    ),
)

REASON_GIVEN = Dimension("reason", "reason", "Why the double was chosen.", REASON.wordings)
