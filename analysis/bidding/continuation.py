"""Section 5: how the auction goes on after the double and the opener's answer.

Both opponents are silent. The rules here look at the responder's hand and, where opener answers
an invitation, at opener's too. Choice where the text leaves room: an invitation without room is
"game with 12, pass with 11": one point below the figure for game, whatever that is set to.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.bidding.after_overcall import GAME_LEVEL, Overcalled
from analysis.bidding.answer import ANSWERS
from analysis.bidding.rules import Condition, Rule, RuleTable, at_least, cheapest_level, holds
from analysis.cards.bids import HEARTS, NOTRUMP, SPADES, bid_code
from analysis.cards.hands import BoolArray, Hands, IntArray


@dataclass(frozen=True)
class RestSituation(Overcalled):
    """The responder after opener's answer; ``hands`` are the responder's.

    ``answer`` is a position in :data:`~analysis.bidding.answer.ANSWERS`, ``answer_bid`` the code
    of the bid it made.
    """

    opener: Hands
    answer: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    def answered(self, *names: str) -> BoolArray:
        """Whether opener's answer is one of ``names``."""
        return np.array([answer in names for answer in ANSWERS]).take(self.answer)

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
        return (self.suit < HEARTS) * np.int16(self.agreement.rest.minor_extra)

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


def _answer(what: str, *names: str) -> Condition[RestSituation]:
    return holds(f"opener's answer: {what}", lambda s: s.answered(*names))


def _support(need: str) -> Condition[RestSituation]:
    """Responder's support points reach a setting, raised where the suit is a minor."""
    return at_least(
        "support points",
        lambda s: s.hands.support_points,
        lambda s: getattr(s.agreement.rest, need) + s.extra,
    )


def _support_without_room() -> Condition[RestSituation]:
    return at_least(
        "support points",
        lambda s: s.hands.support_points,
        lambda s: s.agreement.rest.game - 1 + s.extra,
    )


def _hcp(need: str) -> Condition[RestSituation]:
    return at_least("HCP", lambda s: s.hands.hcp, lambda s: getattr(s.agreement.rest, need))


def _total(need: str) -> Condition[RestSituation]:
    return at_least(
        "total points", lambda s: s.total_points, lambda s: getattr(s.agreement.rest, need)
    )


_MINIMUM: Condition[RestSituation] = _answer("a minimum raise", "raise_minimum")
_JUMP: Condition[RestSituation] = _answer("a jump raise", "raise_jump")
_THREE_CARD: Condition[RestSituation] = _answer("a raise on three cards", "three_card_raise")
_REBID: Condition[RestSituation] = _answer("a rebid", "own_suit", "second_suit", "rebid")
_ROOM: Condition[RestSituation] = holds("room to invite", lambda s: s.room)
_NO_ROOM: Condition[RestSituation] = holds("no room to invite", lambda s: ~s.room)
_NOTRUMP_UP: Condition[RestSituation] = holds(
    "opener's answer: a jump in notrump",
    lambda s: s.answered("notrump") & (s.answer_level > np.asarray(s.level)),
)
_NOTRUMP_AT: dict[int, Condition[RestSituation]] = {
    level: holds(
        f"opener's answer: {level}NT at its cheapest level",
        lambda s, level=level: (  # type: ignore[misc]
            s.answered("notrump") & (s.answer_level == level) & (np.asarray(s.level) == level)
        ),
    )
    for level in (1, 2)
}


def _game(s: RestSituation) -> ArrayLike:
    return bid_code(GAME_LEVEL.take(s.suit), s.suit)


def _stay(s: RestSituation) -> ArrayLike:
    return s.answer_bid


def _own_major(s: RestSituation) -> ArrayLike:
    return bid_code(s.over_answer(s.longest_promised), s.longest_promised)


def _back(s: RestSituation) -> ArrayLike:
    return bid_code(s.over_answer(np.asarray(s.opening)), np.asarray(s.opening))


CONTINUATION: RuleTable[RestSituation] = RuleTable(
    "After the opener's answer",
    (
        Rule(
            "defended",
            "defended",
            lambda a: "opener passed: the overcall is defended, doubled",
            [[_answer("a pass", "penalty_pass")]],
            lambda s: s.overcall_bid,
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: "opener bid the overcaller's suit: the auction goes on",
            [[_answer("a cue-bid", "cue_bid")]],
        ),
        Rule(
            "rests",
            "passed out",
            lambda a: "opener bid game or higher: it rests",
            [[holds("opener's answer: game", lambda s: s.at_game)]],
            _stay,
        ),
        Rule(
            "game",
            "game",
            lambda a: (
                f"game over a jump raise with {a.rest.jump_game}+ support points, over a minimum raise "
                f"with {a.rest.game}+, or {a.rest.game - 1}+ without room to invite "
                f"({a.rest.minor_extra} more in a minor)"
            ),
            [
                [_JUMP, _support("jump_game")],
                [_MINIMUM, _support("game")],
                [_MINIMUM, _NO_ROOM, _support_without_room()],
            ],
            _game,
        ),
        Rule(
            "invitation_accepted",
            "invitation accepted",
            lambda a: (
                f"{a.rest.invite}+ support points over a minimum raise invite, and opener accepts with "
                f"{a.rest.accept}+: game"
            ),
            [
                [
                    _MINIMUM,
                    _ROOM,
                    _support("invite"),
                    at_least(
                        "support points of opener's",
                        lambda s: s.opener.support_points,
                        lambda s: s.agreement.rest.accept,
                    ),
                ]
            ],
            _game,
        ),
        Rule(
            "invitation_declined",
            "invitation declined",
            lambda a: "an invitation that opener declines: one level up",
            [[_MINIMUM, _ROOM, _support("invite")]],
            lambda s: s.answer_bid + 5,
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: (
                "a raise on three cards where responder would invite or bid game over four: the "
                "auction goes on"
            ),
            [
                [_THREE_CARD, _ROOM, _support("invite")],
                [_THREE_CARD, _NO_ROOM, _support_without_room()],
            ],
        ),
        Rule(
            "three_notrump",
            "3NT",
            lambda a: (
                f"3NT over a jump in notrump with {a.rest.notrump_jump_game}+ HCP, otherwise with "
                f"{a.rest.notrump_game}+, or {a.rest.notrump_game_over_two}+ over 2NT; over 1NT with "
                f"{a.rest.notrump_invite}+ where opener has {a.rest.notrump_accept}+"
            ),
            [
                [_NOTRUMP_UP, _hcp("notrump_jump_game")],
                [_NOTRUMP_AT[1], _hcp("notrump_game")],
                [_NOTRUMP_AT[2], _hcp("notrump_game_over_two")],
                [
                    _NOTRUMP_AT[1],
                    _hcp("notrump_invite"),
                    at_least(
                        "HCP of opener's",
                        lambda s: s.opener.hcp,
                        lambda s: s.agreement.rest.notrump_accept,
                    ),
                ],
            ],
            lambda s: bid_code(3, NOTRUMP),
        ),
        Rule(
            "two_notrump",
            "2NT",
            lambda a: f"2NT over 1NT with {a.rest.notrump_invite}+ HCP, which opener passes",
            [[_NOTRUMP_AT[1], _hcp("notrump_invite")]],
            lambda s: bid_code(2, NOTRUMP),
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: (
                f"{a.rest.go_on}+ total points over a rebid or a second suit, or {a.rest.go_on_strong}+ "
                "where it showed strength: the auction goes on"
            ),
            [
                [_REBID, _total("go_on")],
                [
                    _REBID,
                    holds("a rebid that shows strength", lambda s: s.jumped | s.reversed),
                    _total("go_on_strong"),
                ],
            ],
        ),
        Rule(
            "own_major",
            "responder's own major",
            lambda a: "six or more in the one promised major, at level 2 or lower: bid it",
            [
                [
                    _answer("not a raise", "own_suit", "second_suit", "notrump", "rebid"),
                    at_least("cards in the promised major", lambda s: s.in_promised, lambda s: 6),
                    holds("room at level 2", lambda s: s.over_answer(s.longest_promised) <= 2),
                ]
            ],
            _own_major,
        ),
        Rule(
            "back_to_opened",
            "back to the suit opened",
            lambda a: "more cards in the suit opened than in a lower second suit: back to it",
            [
                [
                    holds(
                        "a second suit lower than the rebid",
                        lambda s: s.answered("second_suit") & ~s.reversed,
                    ),
                    at_least(
                        "cards in the suit opened",
                        lambda s: s.in_opened,
                        lambda s: s.hands.length_in(np.minimum(s.suit, SPADES)) + 1,
                    ),
                ]
            ],
            _back,
        ),
        Rule("rests", "passed out", lambda a: "anything else: responder passes", (), _stay),
    ),
)
