"""Section 3: the responder, the opener's partner.

Total points leave out length in the overcaller's suit. Over an overcall above the agreement's
ceiling the rules say nothing: such deals are counted as :data:`ABOVE_CEILING`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import (
    LONGER_MAJOR,
    OVERCALLED,
    UNBID_MAJOR,
    UNBID_MINOR,
    Overcalled,
)
from analysis.bidding.double import DOUBLE, over, values
from analysis.bidding.responder_raises import (
    RAISE_MAJOR,
    RAISE_MINOR,
    STRONG_RAISE_MAJOR,
    STRONG_RAISE_MINOR,
    cue_bid,
)
from analysis.bidding.rules import (
    UNREACHABLE,
    Condition,
    Decided,
    Rule,
    RuleTable,
    at_least,
    bid_text,
    holds,
    need_by_level,
)
from analysis.bidding.suit_words import Suits
from analysis.cards.bids import (
    DIAMONDS,
    HEARTS,
    MAJORS,
    NOTRUMP,
    SPADES,
    SUIT_SYMBOLS,
    bid_code,
)
from analysis.vocabulary.dimension import Dimension


def _new_suit(
    kind: str, higher: int, named: Suits, suit: Callable[[Overcalled], NDArray[np.int8]]
) -> Rule[Overcalled]:
    """The line on new suits of a ``kind``, ``higher`` being its higher-ranking suit.

    ``suit`` gives the hand's longer unbid one, -1 where there is none; ``named`` calls it by name.
    """

    def level(s: Overcalled) -> NDArray[np.integer]:
        return s.cheapest(suit(s)) * (suit(s) >= 0)

    def points(s: Overcalled) -> ArrayLike:
        needs = s.agreement.response
        by_level = (needs.new_suit_two, needs.new_suit_three, needs.new_suit_four)
        return need_by_level(level(s), UNREACHABLE, *by_level)

    def cards(s: Overcalled) -> NDArray[np.integer]:
        return np.int16(5) + (level(s) == 4)

    def bid(s: Overcalled) -> ArrayLike:
        return bid_code(s.cheapest(suit(s)), suit(s))

    def part(s: Overcalled) -> str:
        needs = values(np.asarray(points(s)).item())
        named_bid = bid_text(np.asarray(bid(s)).item())
        return f"{cards(s).item()} {named.names(s)} or more, {over(s)}, with {needs}: {named_bid}"

    return Rule(
        f"new_{kind}",
        f"a new {kind}",
        lambda a: (
            f"the longer unbid {kind} (equals: {SUIT_SYMBOLS[higher]}) at its cheapest level: five "
            f"cards or more and {a.response.new_suit_two}+ total points at level 2, five or more and "
            f"{a.response.new_suit_three}+ at level 3, six or more and {a.response.new_suit_four}+ "
            "at level 4"
        ),
        [
            [
                holds(f"an unbid {kind}", lambda s: suit(s) >= 0),
                at_least(
                    named.cards,
                    lambda s: s.hands.length_in(suit(s)),
                    cards,
                ),
                at_least("total points", lambda s: s.total_points, points),
            ]
        ],
        bid,
        part,
    )


def _one_level_major_bid(s: Overcalled) -> ArrayLike:
    longest = s.hands.longest(*MAJORS)
    return bid_code(1, np.where(np.asarray(s.overcall) == HEARTS, SPADES, longest))


_AT_LEVEL_ONE: list[Condition[Overcalled]] = [
    holds("over an overcall at level 1", lambda s: np.asarray(s.level) == 1),
    at_least(
        "total points", lambda s: s.total_points, lambda s: s.agreement.response.one_level_major
    ),
]


def _major_over_diamonds(a: Agreement) -> str:
    four = ", or the one four-card major" if a.response.one_level_cards == 4 else ""
    return f"the longer major of five or more (equals: ♠){four}"


_FIVE_SPADES = "five spades or more"


def _one_level_major_part(s: Overcalled) -> str:
    hearts = np.asarray(s.overcall).item() == HEARTS
    major = _FIVE_SPADES if hearts else _major_over_diamonds(s.agreement)
    return f"{values(s.agreement.response.one_level_major)} {over(s)}: {major}, at level 1"


def _notrump_needs(s: Overcalled) -> ArrayLike:
    needs = s.agreement.response
    return need_by_level(s.level, needs.notrump_one, needs.notrump_two, needs.notrump_three)


def _cue_bid_needs(s: Overcalled) -> ArrayLike:
    needs = s.agreement.response
    return need_by_level(s.level, needs.cue_bid, needs.cue_bid, needs.cue_bid_three)


_CUE_BID = "bid the overcaller's suit, a strong hand with no other call"


RESPONSE: RuleTable[Overcalled] = RuleTable(
    "The responder",
    (
        STRONG_RAISE_MAJOR,
        RAISE_MAJOR,
        Rule(
            "one_level_major",
            "a major at level 1",
            lambda a: (
                f"{values(a.response.one_level_major)}: after 1♣ (1♦) {_major_over_diamonds(a)}; "
                f"after a minor and 1♥ {_FIVE_SPADES}: one of the major"
            ),
            [
                [
                    *_AT_LEVEL_ONE,
                    holds("after 1♣ (1♦)", lambda s: np.asarray(s.overcall) == DIAMONDS),
                    at_least(
                        LONGER_MAJOR.cards,
                        lambda s: np.maximum(s.hands.lengths[HEARTS], s.hands.lengths[SPADES]),
                        lambda s: s.agreement.response.one_level_cards,
                    ),
                    holds(
                        "other than four cards in each major",
                        lambda s: (s.hands.lengths[HEARTS] != 4) | (s.hands.lengths[SPADES] != 4),
                    ),
                ],
                [
                    *_AT_LEVEL_ONE,
                    holds(
                        "after a minor and 1♥",
                        lambda s: ~s.major_opened & (np.asarray(s.overcall) == HEARTS),
                    ),
                    at_least("spades", lambda s: s.hands.lengths[SPADES], lambda s: 5),
                ],
            ],
            _one_level_major_bid,
            _one_level_major_part,
        ),
        Rule(
            "penalty_pass",
            "penalty pass",
            lambda a: (
                f"{a.response.penalty_cards} good cards or more in the overcaller's suit and "
                f"{a.response.penalty_pass}+ HCP: a penalty pass"
            ),
            [
                [
                    at_least(
                        OVERCALLED.cards,
                        lambda s: s.in_overcalled,
                        lambda s: s.agreement.response.penalty_cards,
                    ),
                    holds(OVERCALLED.said("a good holding in {}"), lambda s: s.good_overcalled),
                    at_least(
                        "HCP", lambda s: s.hands.hcp, lambda s: s.agreement.response.penalty_pass
                    ),
                ]
            ],
        ),
        _new_suit("major", SPADES, UNBID_MAJOR, lambda s: s.longest_unbid_major),
        DOUBLE,
        _new_suit("minor", DIAMONDS, UNBID_MINOR, lambda s: s.longest_unbid_minor),
        Rule(
            "notrump",
            "notrump",
            lambda a: (
                f"a stopper in the overcaller's suit and {a.response.notrump_one}+ HCP at level 1, "
                f"{a.response.notrump_two}+ at 2, {a.response.notrump_three}+ at 3: notrump"
            ),
            [
                [
                    holds(OVERCALLED.said("a stopper in {}"), lambda s: s.stopper),
                    at_least("HCP", lambda s: s.hands.hcp, _notrump_needs),
                ]
            ],
            lambda s: bid_code(np.asarray(s.level), NOTRUMP),
            lambda s: (
                f"a stopper in {OVERCALLED.names(s)} and {np.asarray(_notrump_needs(s)).item()}+ HCP, "
                f"{over(s)}: notrump"
            ),
        ),
        STRONG_RAISE_MINOR,
        Rule(
            "cue_bid",
            "bid of their suit",
            lambda a: (
                f"{a.response.cue_bid}+ total points over an overcall at level 1 or 2, "
                f"{a.response.cue_bid_three}+ at 3: {_CUE_BID}"
            ),
            [[at_least("total points", lambda s: s.total_points, _cue_bid_needs)]],
            cue_bid,
            lambda s: f"{values(np.asarray(_cue_bid_needs(s)).item())} {over(s)}: {_CUE_BID}",
        ),
        RAISE_MINOR,
        Rule("pass", "pass", lambda a: "anything else: pass"),
    ),
)

CALL = Dimension(
    "call",
    "responder's call",
    "The responder's call, as the rules of the agreement name it.",
    RESPONSE.worded() | {"above_ceiling": "above the double's ceiling"},
)
ABOVE_CEILING = CALL.code("above_ceiling")

DOUBLE_CALL = CALL.code("double")
PASS_CALL = CALL.code("pass")
PENALTY_PASS_CALL = CALL.code("penalty_pass")
ONE_LEVEL_MAJOR_CALL = CALL.code("one_level_major")


def above_ceiling_sentence(agreement: Agreement) -> str:
    """What holds over the overcalls that the rules do not cover, in words."""
    return (
        "the agreement says nothing over an overcall higher than "
        f"{agreement.response.double_through.symbol}"
    )


def decide_call(situation: Overcalled) -> NDArray[np.int8]:
    """The responder's calls as codes of :data:`CALL`; int8, shape of the hands."""
    return calls_of(RESPONSE.decide(situation))


def calls_of(decided: Decided[Overcalled]) -> NDArray[np.int8]:
    """The responder's calls by what :data:`RESPONSE` says, and by the agreement's ceiling."""
    ceiling = decided.situation.agreement.response.double_through.code
    above = decided.situation.overcall_bid > ceiling
    return np.where(above, np.int8(ABOVE_CEILING), decided.name)


FEWEST_TO_DEFEND = 4
"""The fewest cards in their suit that any agreement defends on."""


def would_defend(situation: Overcalled) -> NDArray[np.intp]:
    """Which hands would pass to defend if :data:`FEWEST_TO_DEFEND` cards were enough for it."""
    needs = situation.agreement.response
    able = (situation.in_overcalled >= FEWEST_TO_DEFEND) & situation.good_overcalled
    rows = np.flatnonzero(able & (situation.hands.hcp >= needs.penalty_pass))
    agreement = replace(
        situation.agreement, response=replace(needs, penalty_cards=FEWEST_TO_DEFEND)
    )
    suit, overcall, level = (part[rows] for part in situation.auction)
    calls = decide_call(Overcalled(situation.hands.rows(rows), agreement, suit, overcall, level))
    return rows[calls == PENALTY_PASS_CALL]
