"""Section 3's raises of the suit opened: strong ones, by a cue-bid, and the others.

Choice where the text leaves room: over an overcall at level 3 a raise to game, like any other,
needs the points for the cheapest level first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import GAME_LEVEL, OPENED, Overcalled
from analysis.bidding.double import over
from analysis.bidding.rules import (
    UNREACHABLE,
    Condition,
    Rule,
    at_least,
    at_most,
    bid_text,
    holds,
    need_by_level,
)
from analysis.cards.bids import CLUBS, SPADES, bid_code

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
