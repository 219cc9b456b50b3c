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
    holds,
    played,
)
from analysis.cards.bids import HEARTS, SPADES
from analysis.cards.hands import BoolArray, Suit
from analysis.vocabulary.dimension import Dimension

PROMISED_CARDS = 4
"""Cards that the double promises in a suit."""


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
    majors = "four or more in each major" if r.both_majors else "four or more in a major"
    at_two = (
        f"{r.double_two_minor} at 2"
        if r.double_two_minor == r.double_two_major
        else f"{r.double_two_minor} over two of a minor, {r.double_two_major} over two of a major"
    )
    higher = [at_two, f"{r.double_three} at 3", f"{r.double_four} at 4"]
    points = [f"{r.double_one}+ total points at level 1", *higher[: r.double_through.level - 1]]
    return (
        f"through {r.double_through.symbol}, with {', '.join(points)}: with both minors bid {majors}; "
        "with both majors bid four or more in each minor; over 1♥ after a minor exactly four spades; "
        "otherwise four or more in the unbid major"
    )


PROMISED_LENGTH: Condition[Overcalled] = at_least(
    PROMISED.cards,
    _in_promise,
    lambda s: PROMISED_CARDS,
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

DOUBLE: Rule[Overcalled] = Rule("double", "the double", _double_sentence, [_CONDITIONS])


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


REASON: RuleTable[Overcalled] = RuleTable(
    "Why the double was chosen",
    (
        Rule(
            "both_suits",
            "both unbid suits",
            lambda a: "the message is both majors or both minors",
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
            lambda a: "the message is exactly four spades",
            [[holds("exactly four spades promised", lambda s: s.message == FOUR_SPADES)]],
        ),
        Rule(
            "five_or_more",
            "five or more, not bid",
            lambda a: (
                "five or more in the promised major, but too few points, or no room, to bid it"
            ),
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
            lambda a: "four in the promised major and fewer points",
        ),
    ),
)

REASON_GIVEN = Dimension("reason", "reason", "Why the double was chosen.", REASON.wordings)
