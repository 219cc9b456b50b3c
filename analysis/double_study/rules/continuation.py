"""The responder after opener's answer: what the rules of sections 5 and 8 look at.

Section 5: how the auction goes on after the opener's answer, the advancer having passed.

Both opponents are silent. The rules here look at the responder's hand and, where opener answers
an invitation, at opener's too. Choice where the text leaves room: an invitation without room is
"game with 12, pass with 11": one point below the figure for game, whatever that is set to.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import HEARTS, NOTRUMP, SPADES, bid_code
from double_study.cards.hands import BoolArray, Hands, IntArray
from double_study.columns import COLUMNS
from double_study.rules.terms import (
    GAME_LEVEL,
    Condition,
    Overcalled,
    Rule,
    RuleTable,
    at_least,
    cheapest_level,
    holds,
)

Need = Callable[[Agreement], int]
"""The setting that a condition asks for."""


@dataclass(frozen=True)
class AfterAnswer(Overcalled):
    """The responder after opener's answer; ``hands`` are the responder's.

    ``answer`` is a code of :data:`~double_study.rules.contested.ANSWER_GIVEN`, ``answer_bid``
    the code of the bid it made.
    """

    opener: Hands
    answer: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    def answered(self, *names: str) -> BoolArray:
        """Whether opener's answer is one of ``names``."""
        return np.array([answer in names for answer in COLUMNS["answer"].names]).take(self.answer)

    @cached_property
    def suit(self) -> NDArray[np.int8]:
        """The denomination that opener bid."""
        return self.answer_bid % np.int8(5)

    @cached_property
    def answer_level(self) -> NDArray[np.int8]:
        """The level that opener bid."""
        return self.answer_bid // np.int8(5) + np.int8(1)

    @cached_property
    def at_game(self) -> BoolArray:
        """Whether opener's bid is game or higher."""
        return self.answer_level >= GAME_LEVEL.take(self.suit)

    @cached_property
    def room(self) -> BoolArray:
        """Whether an invitation fits below game."""
        return self.answer_level + 1 < GAME_LEVEL.take(self.suit)

    @cached_property
    def extra(self) -> NDArray[np.integer]:
        """What responder needs more because the suit is a minor."""
        return (self.suit < HEARTS) * np.int16(self.agreement.continuation.minor_extra)

    @cached_property
    def jumped(self) -> BoolArray:
        """Whether opener rebid the opened suit above its cheapest level."""
        return self.answered("own_suit") & (self.answer_bid > self.rebid)

    @cached_property
    def reversed(self) -> BoolArray:
        """Whether opener bid a second suit not lower than the cheapest rebid."""
        return self.answered("second_suit") & (self.answer_bid > self.rebid)

    @cached_property
    def in_promised(self) -> IntArray:
        """Responder's cards in the one promised suit, 0 where two were promised."""
        return self.in_longest_promised * self.one_suit_promised

    def over_answer(self, suit: ArrayLike) -> NDArray[np.integer]:
        """The cheapest level of ``suit`` over opener's bid."""
        return cheapest_level(suit, self.answer_bid)


def answer_was(what: str, *names: str) -> Condition[AfterAnswer]:
    """Opener's answer is one of ``names``."""
    return holds(f"opener's answer: {what}", lambda s: s.answered(*names))


def support(need: Need) -> Condition[AfterAnswer]:
    """Responder's support points reach a figure, raised where the suit is a minor."""
    return at_least(
        "support points",
        lambda s: s.hands.support_points,
        lambda s: need(s.agreement) + s.extra,
    )


def hcp(need: Need) -> Condition[AfterAnswer]:
    """Responder's HCP reach a figure."""
    return at_least("HCP", lambda s: s.hands.hcp, lambda s: need(s.agreement))


def total(need: Need) -> Condition[AfterAnswer]:
    """Responder's total points, without length in the overcaller's suit, reach a figure."""
    return at_least("total points", lambda s: s.total_points, lambda s: need(s.agreement))


MINIMUM: Condition[AfterAnswer] = answer_was("a minimum raise", "raise_minimum")
JUMP: Condition[AfterAnswer] = answer_was("a jump raise", "raise_jump")
INVITES: tuple[Condition[AfterAnswer], ...] = (
    holds("room to invite", lambda s: s.room),
    support(lambda a: a.continuation.invite),
)
ACCEPTS: Condition[AfterAnswer] = at_least(
    "support points of opener's",
    lambda s: s.opener.support_points,
    lambda s: s.agreement.continuation.accept,
)


def game(s: AfterAnswer) -> ArrayLike:
    """Game in the denomination that opener bid."""
    return bid_code(GAME_LEVEL.take(s.suit), s.suit)


def stay(s: AfterAnswer) -> ArrayLike:
    """The bid that opener made."""
    return s.answer_bid


def one_up(s: AfterAnswer) -> ArrayLike:
    """One level above the bid that opener made."""
    return s.answer_bid + 5


_THREE_CARD: Condition[AfterAnswer] = answer_was("a raise on three cards", "three_card_raise")
_REBID: Condition[AfterAnswer] = answer_was("a rebid", "own_suit", "second_suit", "rebid")
_GAME_WITHOUT_ROOM: tuple[Condition[AfterAnswer], ...] = (
    holds("no room to invite", lambda s: ~s.room),
    support(lambda a: a.continuation.game - 1),
)
_NOTRUMP_UP: Condition[AfterAnswer] = holds(
    "opener's answer: a jump in notrump",
    lambda s: s.answered("notrump") & (s.answer_level > np.asarray(s.level)),
)
_NOTRUMP_AT: dict[int, Condition[AfterAnswer]] = {
    level: holds(
        f"opener's answer: {level}NT at its cheapest level",
        lambda s, level=level: (  # type: ignore[misc]
            s.answered("notrump") & (s.answer_level == level) & (np.asarray(s.level) == level)
        ),
    )
    for level in (1, 2)
}


def _own_major(s: AfterAnswer) -> ArrayLike:
    return bid_code(s.over_answer(s.longest_promised), s.longest_promised)


def _back(s: AfterAnswer) -> ArrayLike:
    return bid_code(s.over_answer(np.asarray(s.opening)), np.asarray(s.opening))


CONTINUATION: RuleTable[AfterAnswer] = RuleTable(
    "After the opener's answer, the advancer having passed",
    (
        Rule(
            "defended",
            "defended",
            lambda a: "opener passed: the overcall is defended, doubled",
            [[answer_was("a pass", "penalty_pass")]],
            lambda s: s.overcall_bid,
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: "opener bid the overcaller's suit: the auction goes on",
            [[answer_was("a cue-bid", "cue_bid")]],
        ),
        Rule(
            "rests",
            "passed out",
            lambda a: "opener bid game or higher: it rests",
            [[holds("opener's answer: game", lambda s: s.at_game)]],
            stay,
        ),
        Rule(
            "game",
            "game",
            lambda a: (
                f"game over a jump raise with {a.continuation.jump_game}+ support points, over a minimum "
                f"raise with {a.continuation.game}+, or {a.continuation.game - 1}+ without room to invite "
                f"({a.continuation.minor_extra} more in a minor)"
            ),
            [
                [JUMP, support(lambda a: a.continuation.jump_game)],
                [MINIMUM, support(lambda a: a.continuation.game)],
                [MINIMUM, *_GAME_WITHOUT_ROOM],
            ],
            game,
        ),
        Rule(
            "invitation_accepted",
            "invitation accepted",
            lambda a: (
                f"{a.continuation.invite}+ support points over a minimum raise invite, and opener accepts "
                f"with {a.continuation.accept}+: game"
            ),
            [[MINIMUM, *INVITES, ACCEPTS]],
            game,
        ),
        Rule(
            "invitation_declined",
            "invitation declined",
            lambda a: "an invitation that opener declines: one level up",
            [[MINIMUM, *INVITES]],
            one_up,
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: (
                "a raise on three cards where responder would invite or bid game over four: the "
                "auction goes on"
            ),
            [
                [_THREE_CARD, *INVITES],
                [_THREE_CARD, *_GAME_WITHOUT_ROOM],
            ],
        ),
        Rule(
            "three_notrump",
            "3NT",
            lambda a: (
                f"3NT over a jump in notrump with {a.continuation.notrump_jump_game}+ HCP, otherwise with "
                f"{a.continuation.notrump_game}+, or {a.continuation.notrump_game_over_two}+ over 2NT"
            ),
            [
                [_NOTRUMP_UP, hcp(lambda a: a.continuation.notrump_jump_game)],
                [_NOTRUMP_AT[1], hcp(lambda a: a.continuation.notrump_game)],
                [_NOTRUMP_AT[2], hcp(lambda a: a.continuation.notrump_game_over_two)],
            ],
            lambda s: bid_code(3, NOTRUMP),
        ),
        Rule(
            "two_notrump_accepted",
            "2NT, accepted",
            lambda a: (
                f"2NT over 1NT with {a.continuation.notrump_invite}+ HCP, which opener accepts with "
                f"{a.continuation.notrump_accept}+: 3NT"
            ),
            [
                [
                    _NOTRUMP_AT[1],
                    hcp(lambda a: a.continuation.notrump_invite),
                    at_least(
                        "HCP of opener's",
                        lambda s: s.opener.hcp,
                        lambda s: s.agreement.continuation.notrump_accept,
                    ),
                ]
            ],
            lambda s: bid_code(3, NOTRUMP),
        ),
        Rule(
            "two_notrump",
            "2NT",
            lambda a: (
                f"2NT over 1NT with {a.continuation.notrump_invite}+ HCP, otherwise: opener passes"
            ),
            [[_NOTRUMP_AT[1], hcp(lambda a: a.continuation.notrump_invite)]],
            lambda s: bid_code(2, NOTRUMP),
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: (
                f"{a.continuation.go_on}+ total points over a rebid or a second suit, or "
                f"{a.continuation.go_on_strong}+ where it showed strength: the auction goes on"
            ),
            [
                [_REBID, total(lambda a: a.continuation.go_on)],
                [
                    _REBID,
                    holds("a rebid that shows strength", lambda s: s.jumped | s.reversed),
                    total(lambda a: a.continuation.go_on_strong),
                ],
            ],
        ),
        Rule(
            "own_major",
            "responder's own major",
            lambda a: "six or more in the one promised major, at level 2 or lower: bid it",
            [
                [
                    answer_was("not a raise", "own_suit", "second_suit", "notrump", "rebid"),
                    at_least("cards in the promised major", lambda s: s.in_promised, lambda s: 6),
                    holds("room at level 2", lambda s: s.over_answer(s.longest_promised) <= 2),
                ]
            ],
            _own_major,
        ),
        Rule(
            "back_to_opened",
            "back to the suit opened",
            lambda a: "as many cards in the suit opened as in a lower second suit: back to it",
            [
                [
                    holds(
                        "a second suit lower than the rebid",
                        lambda s: s.answered("second_suit") & ~s.reversed,
                    ),
                    at_least(
                        "cards in the suit opened",
                        lambda s: s.in_opened,
                        lambda s: s.hands.length_in(np.minimum(s.suit, SPADES)),
                    ),
                ]
            ],
            _back,
        ),
        Rule("rests", "passed out", lambda a: "anything else: responder passes", (), stay),
    ),
)
