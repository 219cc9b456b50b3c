"""Section 8: the final contract of a contested auction, by the responder's last call.

Game over the overcaller's bid and game without one take the same points, so they make
one rule here; it comes before those that tell the two apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.bidding.after_answer import (
    ACCEPTS,
    INVITES,
    JUMP,
    MINIMUM,
    AfterAnswer,
    answer_was,
    game,
    hcp,
    one_up,
    stay,
    support,
    total,
)
from analysis.bidding.continuation import CONTINUATION
from analysis.bidding.overcaller_again import HIGHEST_SHORT_OF_GAME
from analysis.bidding.responder_raises import minor_support
from analysis.bidding.rules import (
    Condition,
    Rule,
    RuleTable,
    at_least,
    at_most,
    cheapest_level,
    holds,
)
from analysis.cards.bids import HEARTS, NOTRUMP, SPADES, SUITS, Bid, bid_code
from analysis.cards.hands import BoolArray, suit_set

_FOUR_HEARTS = Bid(4, HEARTS)


@dataclass(frozen=True)
class ContestedEndSituation(AfterAnswer):
    """The responder's last turn: ``theirs`` is the code of the other side's last bid.

    That is the overcaller's second one if there is one, else the advancer's.
    """

    theirs: NDArray[np.int8]

    @cached_property
    def last(self) -> NDArray[np.int8]:
        """The last bid."""
        return np.maximum(self.theirs, self.answer_bid)

    @cached_property
    def undisturbed(self) -> BoolArray:
        """Whether the opener's bid is the last."""
        return self.answer_bid > self.theirs

    @cached_property
    def silent(self) -> BoolArray:
        """Whether the opener passed."""
        return self.answered("pass")

    @cached_property
    def trump(self) -> NDArray[np.int8]:
        """The suit that opener bid; where there is none, spades."""
        return np.minimum(self.suit, np.int8(SPADES))

    @cached_property
    def long_promised(self) -> NDArray[np.int8]:
        """The longest promised suit of six or more that can be bid at level 3; -1 where none."""
        low = [cheapest_level(suit, self.last) <= HIGHEST_SHORT_OF_GAME for suit in SUITS]
        held = (self.hands.lengths >= 6) & np.stack(low)
        sets = np.sum([held[suit] * np.int8(suit_set([suit])) for suit in SUITS], axis=0)
        return self.hands.longest_among(sets & self.promised_set)


def _cheapest(s: ContestedEndSituation, suit: ArrayLike) -> NDArray[np.integer]:
    return np.asarray(bid_code(cheapest_level(suit, s.last), np.asarray(suit)))


_RAISED: Condition[ContestedEndSituation] = answer_was(
    "a raise", "raise_minimum", "raise_jump", "raise_game"
)
_AT_TWO: Condition[ContestedEndSituation] = holds("at level 2", lambda s: s.answer_level == 2)
_HIGHER: Condition[ContestedEndSituation] = holds(
    "at level 3 or higher", lambda s: s.answer_level >= 3
)
_GAME_LEFT: Condition[ContestedEndSituation] = holds(
    "a game higher than the last bid", lambda s: np.asarray(game(s)) > s.last
)
_UNDISTURBED: Condition[ContestedEndSituation] = holds(
    "after a pass of the overcaller's", lambda s: s.undisturbed
)
_SILENT: Condition[ContestedEndSituation] = holds("after a pass of opener's", lambda s: s.silent)
_SUIT: Condition[ContestedEndSituation] = answer_was("a suit", "own_suit", "second_suit")

CONTESTED_END: RuleTable[ContestedEndSituation] = RuleTable(
    "The responder's second call, after a bid of the advancer's",
    (
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: "opener doubled: the auction goes on",
            [[answer_was("a double", "strong_double")]],
        ),
        Rule(
            "rests",
            "passed out",
            lambda a: "opener bid game or higher, and the overcaller passed: it rests",
            [[_UNDISTURBED, holds("opener's answer: game", lambda s: s.at_game)]],
            stay,
        ),
        Rule(
            "game",
            "game",
            lambda a: (
                "game in the suit that opener raised, if it is higher than the last bid: over a jump raise "
                f"with {a.contested_end.jump_game}+ support points, over a minimum raise at level 2 with "
                f"{a.continuation.game}+, higher with {a.contested_end.game}+ "
                f"({a.continuation.minor_extra} more in a minor)"
            ),
            [
                [JUMP, _GAME_LEFT, support(lambda a: a.contested_end.jump_game)],
                [MINIMUM, _AT_TWO, _GAME_LEFT, support(lambda a: a.continuation.game)],
                [MINIMUM, _HIGHER, _GAME_LEFT, support(lambda a: a.contested_end.game)],
            ],
            game,
        ),
        Rule(
            "invitation_accepted",
            "invitation accepted",
            lambda a: (
                f"{a.continuation.invite}+ support points over a minimum raise at level 2 and a pass invite, "
                f"and opener accepts with {a.continuation.accept}+: game"
            ),
            [[_UNDISTURBED, MINIMUM, _AT_TWO, *INVITES, ACCEPTS]],
            game,
        ),
        Rule(
            "invitation_declined",
            "invitation declined",
            lambda a: "an invitation that opener declines: one level up",
            [[_UNDISTURBED, MINIMUM, _AT_TWO, *INVITES]],
            one_up,
        ),
        Rule(
            "three_notrump",
            "3NT",
            lambda a: f"3NT over notrump with {a.contested_end.notrump_game}+ HCP",
            [
                [
                    answer_was("notrump", "notrump"),
                    _UNDISTURBED,
                    hcp(lambda a: a.contested_end.notrump_game),
                ]
            ],
            lambda s: bid_code(3, NOTRUMP),
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: (
                f"{a.contested_end.go_on}+ total points over opener's own or second suit and a pass, "
                f"{a.contested_end.go_on_three}+ where it was bid at level 3: the auction goes on"
            ),
            [
                [_SUIT, _UNDISTURBED, total(lambda a: a.contested_end.go_on)],
                [
                    _SUIT,
                    _UNDISTURBED,
                    holds("at level 3", lambda s: s.answer_level == HIGHEST_SHORT_OF_GAME),
                    total(lambda a: a.contested_end.go_on_three),
                ],
            ],
        ),
        Rule(
            "rests",
            "passed out",
            lambda a: "otherwise, after a bid of opener's and a pass: responder passes",
            [[_UNDISTURBED]],
            stay,
        ),
        Rule(
            "nine_trumps",
            "three on nine trumps",
            lambda a: (
                "five or more in the suit that opener raised, and the overcaller bid: three of it, if "
                "that is higher"
            ),
            [
                [
                    _RAISED,
                    at_least(
                        "cards in the suit raised",
                        lambda s: s.hands.length_in(s.trump),
                        lambda s: 5,
                    ),
                    holds(
                        "room at level 3",
                        lambda s: bid_code(np.int8(HIGHEST_SHORT_OF_GAME), s.suit) > s.last,
                    ),
                ]
            ],
            lambda s: bid_code(np.int8(HIGHEST_SHORT_OF_GAME), s.suit),
        ),
        Rule(
            "own_suit",
            "responder's own suit",
            lambda a: (
                "opener passed: six or more in a promised suit, if it can be bid at level 3 or lower "
                "(the longest; equals: the higher-ranking)"
            ),
            [
                [
                    _SILENT,
                    holds("six in a promised suit, at level 3", lambda s: s.long_promised >= 0),
                ]
            ],
            lambda s: _cheapest(s, s.long_promised),
        ),
        Rule(
            "back_to_opened",
            "back to the suit opened",
            lambda a: (
                "opener passed: five clubs or four diamonds for the minor opened, if it can be bid at "
                "level 3 or lower"
            ),
            [
                [
                    _SILENT,
                    holds("after a minor opening", lambda s: ~s.major_opened),
                    at_least("cards in the suit opened", lambda s: s.in_opened, minor_support),
                    at_most(
                        "the level of the suit opened",
                        lambda s: cheapest_level(s.opening, s.last),
                        lambda s: HIGHEST_SHORT_OF_GAME,
                    ),
                ]
            ],
            lambda s: _cheapest(s, s.opening),
        ),
        Rule(
            "goes_on",
            "goes on, not followed",
            lambda a: (
                f"opener passed: a second double with {a.contested_end.second_double}+ total points over a "
                f"bid below {_FOUR_HEARTS.symbol}, with {a.contested_end.high_double}+ HCP over any"
            ),
            [
                [
                    _SILENT,
                    holds("below 4♥", lambda s: s.last < _FOUR_HEARTS.code),
                    total(lambda a: a.contested_end.second_double),
                ],
                [_SILENT, hcp(lambda a: a.contested_end.high_double)],
            ],
        ),
        Rule(
            "their_contract",
            "their contract",
            lambda a: "anything else: the other side plays its last bid",
            (),
            lambda s: s.last,
        ),
    ),
    known=CONTINUATION.names,
)
