"""Section 5: the responder after the opener's answer, the advancer having passed.

Both opponents are silent. The rules here look at the responder's hand and, where opener answers
an invitation, at opener's too. Choice where the text leaves room: an invitation without room is
"game with 12, pass with 11": one point below the figure for game, whatever that is set to.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from double_study.cards.bids import HEARTS, SPADES, bid_code
from double_study.cards.hands import BoolArray, Hands
from double_study.columns import COLUMNS
from double_study.rules.terms import (
    A_PROMISED_SUIT,
    GAME_LEVEL,
    HCP,
    LEVEL,
    OPENED,
    SUPPORT,
    TOTAL,
    A,
    Fact,
    Number,
    Overcalled,
    Rule,
    RuleTable,
    SuitTerm,
    cheapest_level,
)


@dataclass(frozen=True)
class AfterAnswer(Overcalled):
    """The responder after opener's answer; ``hands`` are the responder's.

    ``answer`` is a code of the column ``answer``, ``answer_bid`` the code of the bid it made.
    """

    opener: Hands
    answer: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    def answered(self, *names: str) -> BoolArray:
        """Return whether opener's answer is one of ``names``."""
        return np.array([answer in names for answer in COLUMNS["answer"].names]).take(self.answer)

    @cached_property
    def suit(self) -> NDArray[np.int8]:
        """The denomination that opener bid."""
        return self.answer_bid % np.int8(5)

    @property
    def last(self) -> NDArray[np.int8]:
        """The last bid."""
        return self.answer_bid


def answer_was(what: str, *names: str) -> Fact:
    """Return the condition that opener's answer is one of ``names``."""
    return Fact(f"opener's answer: {what}", lambda s: s.answered(*names))


ANSWER_LEVEL = Number(
    "opener's level", lambda s: s.answer_bid // np.int8(5) + np.int8(1), equal="at level #"
)
OPENERS_SUPPORT = Number("support points of opener's", lambda s: s.opener.support_points)
OPENERS_HCP = Number("HCP of opener's", lambda s: s.opener.hcp)
EXTRA = Number("", lambda s: (s.suit < HEARTS) * np.int16(s.agreement.continuation.minor_extra))
"""Points more that responder needs where the suit is a minor."""

MINIMUM_RAISE = answer_was("a minimum raise", "raise_minimum")
JUMP_RAISE = answer_was("a jump raise", "raise_jump")
THREE_CARD_RAISE = answer_was("a raise on three cards", "three_card_raise")
REBID = answer_was("a rebid", "own_suit", "second_suit", "rebid")
NOTRUMP_ANSWER = answer_was("notrump", "notrump")
GAME_ANSWER = Fact("opener's answer: game", lambda s: ANSWER_LEVEL(s) >= GAME_LEVEL.take(s.suit))

ROOM = Fact(
    "room to invite",
    lambda s: ANSWER_LEVEL(s) + 1 < GAME_LEVEL.take(s.suit),
    "no room to invite",
)
INVITES = ROOM & (SUPPORT >= A.continuation.invite + EXTRA)
GAME_WITHOUT_ROOM = ~ROOM & (SUPPORT >= A.continuation.game - 1 + EXTRA)
ACCEPTS = OPENERS_SUPPORT >= A.continuation.accept

JUMPED = Fact(
    "a rebid of the suit opened with a jump",
    lambda s: s.answered("own_suit") & (s.answer_bid > OPENED.cheapest(s)),
)
REVERSED = Fact(
    "a second suit not lower than the rebid",
    lambda s: s.answered("second_suit") & (s.answer_bid > OPENED.cheapest(s)),
)
LOWER_SECOND_SUIT = Fact(
    "a second suit lower than the rebid", lambda s: s.answered("second_suit") & ~REVERSED.met(s)
)
OPENERS_SUIT = SuitTerm("the suit that opener bid", lambda s: np.minimum(s.suit, np.int8(SPADES)))
"""Where opener bid no suit, spades."""
ONE_PROMISED = Fact("one suit promised", lambda s: s.one_suit_promised)

GAME = Number("game in opener's suit", lambda s: bid_code(GAME_LEVEL.take(s.suit), s.suit))
OPENERS_BID = Number("opener's bid", lambda s: s.answer_bid)
ONE_UP = OPENERS_BID + 5
"""One level above the bid that opener made."""


def over_last(suit: SuitTerm) -> Number:
    """Return the cheapest level of a suit over the last bid."""
    return Number(suit.phrase, lambda s: cheapest_level(suit.suit(s), s.last))


def bid_over_last(suit: SuitTerm) -> Number:
    """Return the cheapest bid of a suit over the last bid."""
    return suit.at(over_last(suit))


CONTINUATION: RuleTable[AfterAnswer] = RuleTable(
    "After the opener's answer, the advancer having passed",
    None,
    (
        Rule(
            "defended",
            "opener passed: the overcall is defended, doubled",
            answer_was("a pass", "penalty_pass"),
            bid=lambda s: s.overcall_bid,
        ),
        Rule(
            "goes_on",
            "opener bid the overcaller's suit: the auction goes on",
            answer_was("a cue-bid", "cue_bid"),
        ),
        Rule(
            "rests",
            "opener bid game or higher: it rests",
            GAME_ANSWER,
            bid=OPENERS_BID,
        ),
        Rule(
            "game",
            lambda a: (
                f"game over a jump raise with {a.continuation.jump_game}+ support points, over a minimum "
                f"raise with {a.continuation.game}+, or {a.continuation.game - 1}+ without room to invite "
                f"({a.continuation.minor_extra} more in a minor)"
            ),
            JUMP_RAISE & (SUPPORT >= A.continuation.jump_game + EXTRA)
            | MINIMUM_RAISE & ((SUPPORT >= A.continuation.game + EXTRA) | GAME_WITHOUT_ROOM),
            bid=GAME,
        ),
        Rule(
            "invitation_accepted",
            "{continuation.invite}+ support points over a minimum raise invite, and opener accepts "
            "with {continuation.accept}+: game",
            MINIMUM_RAISE & INVITES & ACCEPTS,
            bid=GAME,
        ),
        Rule(
            "invitation_declined",
            "an invitation that opener declines: one level up",
            MINIMUM_RAISE & INVITES,
            bid=ONE_UP,
        ),
        Rule(
            "goes_on",
            "a raise on three cards where responder would invite or bid game over four: the auction "
            "goes on",
            THREE_CARD_RAISE & (INVITES | GAME_WITHOUT_ROOM),
        ),
        Rule(
            "three_notrump",
            "3NT over a jump in notrump with {continuation.notrump_jump_game}+ HCP, otherwise with "
            "{continuation.notrump_game}+, or {continuation.notrump_game_over_two}+ over 2NT",
            NOTRUMP_ANSWER
            & (
                (ANSWER_LEVEL > LEVEL) & (HCP >= A.continuation.notrump_jump_game)
                | (ANSWER_LEVEL == LEVEL)
                & (
                    (LEVEL == 1) & (HCP >= A.continuation.notrump_game)
                    | (LEVEL == 2) & (HCP >= A.continuation.notrump_game_over_two)
                )
            ),
            bid="3NT",
        ),
        Rule(
            "two_notrump_accepted",
            "2NT over 1NT with {continuation.notrump_invite}+ HCP, which opener accepts with "
            "{continuation.notrump_accept}+: 3NT",
            NOTRUMP_ANSWER
            & (ANSWER_LEVEL == 1)
            & (HCP >= A.continuation.notrump_invite)
            & (OPENERS_HCP >= A.continuation.notrump_accept),
            bid="3NT",
        ),
        Rule(
            "two_notrump",
            "2NT over 1NT with {continuation.notrump_invite}+ HCP, otherwise: opener passes",
            NOTRUMP_ANSWER & (ANSWER_LEVEL == 1) & (HCP >= A.continuation.notrump_invite),
            bid="2NT",
        ),
        Rule(
            "goes_on",
            "{continuation.go_on}+ total points over a rebid or a second suit, or "
            "{continuation.go_on_strong}+ where it showed strength: the auction goes on",
            REBID
            & (
                (TOTAL >= A.continuation.go_on)
                | (JUMPED | REVERSED) & (TOTAL >= A.continuation.go_on_strong)
            ),
        ),
        Rule(
            "own_major",
            "six or more in the one promised major, at level 2 or lower: bid it",
            answer_was("not a raise", "own_suit", "second_suit", "notrump", "rebid")
            & ONE_PROMISED
            & (A_PROMISED_SUIT.cards >= 6)
            & (over_last(A_PROMISED_SUIT) <= 2),
            bid=bid_over_last(A_PROMISED_SUIT),
        ),
        Rule(
            "back_to_opened",
            "as many cards in the suit opened as in a lower second suit: back to it",
            LOWER_SECOND_SUIT & (OPENED.cards >= OPENERS_SUIT.cards),
            bid=bid_over_last(OPENED),
        ),
        Rule("rests", "anything else: responder passes", bid=OPENERS_BID),
    ),
)
