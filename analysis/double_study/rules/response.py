"""The double itself: what it needs, its rule, and why it was chosen.

What it promises, its message, is settled by the opening and the overcall: see
:mod:`double_study.rules.terms`.

Section 3's raises of the suit opened: strong ones, by a cue-bid, and the others.

Choice where the text leaves room: over an overcall at level 3 a raise to game, like any other,
needs the points for the cheapest level first.

Section 3: the responder, the opener's partner.

Total points leave out length in the overcaller's suit. Over an overcall above the agreement's
ceiling the rules say nothing: such deals are counted as :data:`ABOVE_CEILING`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import reduce

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import (
    CLUBS,
    DIAMONDS,
    HEARTS,
    MAJORS,
    NOTRUMP,
    SPADES,
    SUIT_NAMES,
    SUIT_SYMBOLS,
    bid_code,
)
from double_study.cards.hands import BoolArray, Suit
from double_study.columns import COLUMNS
from double_study.rules.terms import (
    BOTH_MAJORS,
    BOTH_MINORS,
    EITHER_MAJOR,
    FOUR_SPADES,
    GAME_LEVEL,
    LONGER_MAJOR,
    OPENED,
    OVERCALLED,
    PROMISED,
    UNBID_MAJOR,
    UNBID_MINOR,
    UNREACHABLE,
    Condition,
    Decided,
    Overcalled,
    Rule,
    RuleTable,
    Suits,
    at_least,
    at_most,
    bid_text,
    holds,
    more,
    need_by_level,
    played,
)

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
    message = COLUMNS["message"].names[np.asarray(s.message).item()]
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
            COLUMNS["message"].names[FOUR_SPADES],
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


_STRONG_LEVELS = 2
"""The highest level of an overcall over which a strong raise is a cue-bid."""
_GAME_OVER = 3
"""The level of an overcall over which a raise of a major may go to game."""


def raise_level(s: Overcalled) -> NDArray[np.integer]:
    """k: the cheapest level of the opened suit, at least 2."""
    return np.maximum(s.rebid_level, np.int8(2))


def minor_support(s: Overcalled) -> ArrayLike:
    """Cards that raise the minor opened: five clubs, four diamonds."""
    return np.int16(4) + (np.asarray(s.opening) == CLUBS)


def cue_bid(s: Overcalled) -> ArrayLike:
    """The overcaller's suit, one level higher."""
    return bid_code(np.asarray(s.level) + 1, np.asarray(s.overcall))


def _needs(s: Overcalled) -> ArrayLike:
    needs = s.agreement.response
    by_level = (needs.raise_two, needs.raise_three, needs.raise_four, needs.raise_five)
    return need_by_level(raise_level(s), UNREACHABLE, *by_level)


def _cheapest_raise(s: Overcalled) -> ArrayLike:
    return bid_code(raise_level(s), np.asarray(s.opening))


def _raise_major_bid(s: Overcalled) -> ArrayLike:
    strong = s.hands.support_points >= s.agreement.response.raise_game
    game = strong & (np.asarray(s.level) == _GAME_OVER)
    level = np.maximum(raise_level(s), game * GAME_LEVEL[SPADES])
    return bid_code(level, np.asarray(s.opening))


def _support(setting: str) -> Condition[Overcalled]:
    return at_least(
        "support points",
        lambda s: s.hands.support_points,
        lambda s: getattr(s.agreement.response, setting),
    )


def _major_support(a: Agreement) -> str:
    return f"{('three', 'four')[a.response.raise_cards - 3]} cards or more for the major opened"


_MAJOR: list[Condition[Overcalled]] = [
    holds("after a major opening", lambda s: s.major_opened),
    at_least(
        OPENED.cards,
        lambda s: s.in_opened,
        lambda s: s.agreement.response.raise_cards,
    ),
]
_MINOR: Condition[Overcalled] = holds("after a minor opening", lambda s: ~s.major_opened)
_MINOR_CARDS: Condition[Overcalled] = at_least(OPENED.cards, lambda s: s.in_opened, minor_support)
_LOW: Condition[Overcalled] = at_most(
    "the level of the overcall", lambda s: s.level, lambda s: _STRONG_LEVELS
)
_SUPPORT_FOR_LEVEL: Condition[Overcalled] = at_least(
    "support points", lambda s: s.hands.support_points, _needs
)


def _raise_part(s: Overcalled, cards: str, needs: ArrayLike, bid: ArrayLike) -> str:
    least, raised = (np.asarray(number).item() for number in (needs, bid))
    return f"{cards}, {over(s)}, with {least}+ support points: {bid_text(raised)}"


def _raise_major_part(s: Overcalled) -> str:
    bid = _raise_major_bid(s)
    leap = np.asarray(bid).item() > np.asarray(_cheapest_raise(s)).item()
    needs = s.agreement.response.raise_game if leap else _needs(s)
    return _raise_part(s, _major_support(s.agreement), needs, bid)


def _raise_minor_part(s: Overcalled) -> str:
    full = (_MINOR_CARDS.met(s) & _SUPPORT_FOR_LEVEL.met(s)).item()
    cards = np.asarray(minor_support(s)).item() - (not full)
    needs = _needs(s) if full else s.agreement.response.short_raise
    return _raise_part(s, f"{cards} {OPENED.names(s)} or more", needs, _cheapest_raise(s))


STRONG_RAISE_MAJOR: Rule[Overcalled] = Rule(
    "strong_raise",
    "strong raise",
    lambda a: (
        f"{_major_support(a)} and {a.response.strong_raise}+ support points, over an overcall at level 1 "
        "or 2: bid the overcaller's suit"
    ),
    [[*_MAJOR, _LOW, _support("strong_raise")]],
    cue_bid,
)

RAISE_MAJOR: Rule[Overcalled] = Rule(
    "raise_major",
    "raise of opener's major",
    lambda a: (
        f"{_major_support(a)}: raise it to the cheapest level, at least 2, with "
        f"{a.response.raise_two}+ support points at 2, {a.response.raise_three}+ at 3, "
        f"{a.response.raise_four}+ at 4, {a.response.raise_five}+ at 5; over an overcall at level 3 "
        f"with {a.response.raise_game}+ to game"
    ),
    [[*_MAJOR, _SUPPORT_FOR_LEVEL]],
    _raise_major_bid,
    _raise_major_part,
)

STRONG_RAISE_MINOR: Rule[Overcalled] = Rule(
    "strong_raise",
    "strong raise",
    lambda a: (
        "five clubs or four diamonds for the minor opened and "
        f"{a.response.strong_raise_minor}+ support points, over an overcall at level 1 or 2: bid the "
        "overcaller's suit"
    ),
    [[_MINOR, _MINOR_CARDS, _LOW, _support("strong_raise_minor")]],
    cue_bid,
)

RAISE_MINOR: Rule[Overcalled] = Rule(
    "raise_minor",
    "raise of opener's minor",
    lambda a: (
        "five clubs or four diamonds for the minor opened: raise it as a major, but never with a "
        "leap to game; or to level 2 only, one card fewer and "
        f"{a.response.short_raise}+ support points"
    ),
    [
        [_MINOR, _MINOR_CARDS, _SUPPORT_FOR_LEVEL],
        [
            _MINOR,
            holds("a raise to level 2", lambda s: raise_level(s) == 2),
            at_least(
                OPENED.cards,
                lambda s: s.in_opened,
                lambda s: np.asarray(minor_support(s)) - 1,
            ),
            _support("short_raise"),
        ],
    ],
    _cheapest_raise,
    _raise_minor_part,
)


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

ABOVE_CEILING = COLUMNS["call"].code("above_ceiling")

DOUBLE_CALL = COLUMNS["call"].code("double")
PASS_CALL = COLUMNS["call"].code("pass")
PENALTY_PASS_CALL = COLUMNS["call"].code("penalty_pass")
ONE_LEVEL_MAJOR_CALL = COLUMNS["call"].code("one_level_major")


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
