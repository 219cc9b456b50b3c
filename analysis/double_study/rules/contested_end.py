"""Section 8's first half: the overcaller's second call, in a contested auction.

Section 8: the final contract of a contested auction, by the responder's last call.

Game over the overcaller's bid and game without one take the same points, so they make
one rule here; it comes before those that tell the two apart.

Sections 5 and 8: the final contract, named by the last bid.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import HEARTS, NO_BID, NOTRUMP, SPADES, SUITS, Bid, bid_code
from double_study.cards.hands import BoolArray, suit_set
from double_study.columns import COLUMNS
from double_study.rules.advancer import ADVANCER
from double_study.rules.continuation import (
    ACCEPTS,
    CONTINUATION,
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
from double_study.rules.response import minor_support
from double_study.rules.terms import (
    GAME_LEVEL,
    Condition,
    Decided,
    Overcalled,
    Rule,
    RuleTable,
    at_least,
    at_most,
    cheapest_level,
    holds,
)

HIGHEST_SHORT_OF_GAME = 3
"""The highest level that either side bids on to, short of game."""


@dataclass(frozen=True)
class OvercallerSituation(Overcalled):
    """The overcaller after the opener's answer over the advancer's bid.

    ``advancer`` is a position in ``ADVANCER.names``; the bids are codes, opener's
    :data:`~double_study.cards.bids.NO_BID` for a pass or a double.
    """

    advancer: NDArray[np.int8]
    advancer_bid: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    def advanced(self, name: str) -> BoolArray:
        """Whether the advancer's call is ``name``."""
        return self.advancer == ADVANCER.names.index(name)

    @cached_property
    def opener_bid(self) -> BoolArray:
        """Whether the opener bid."""
        return self.answer_bid != NO_BID

    @cached_property
    def last(self) -> NDArray[np.int8]:
        """The last bid."""
        return np.maximum(self.answer_bid, self.advancer_bid)

    @cached_property
    def own_level(self) -> NDArray[np.integer]:
        """The cheapest level of the overcaller's suit."""
        return cheapest_level(self.overcall, self.last)

    @cached_property
    def own_game(self) -> NDArray[np.integer]:
        """Four of the overcaller's suit."""
        return np.asarray(bid_code(4, np.asarray(self.overcall)))


_STRONG: Condition[OvercallerSituation] = holds(
    "after a strong raise", lambda s: s.advanced("strong_raise")
)

OVERCALLER: RuleTable[OvercallerSituation] = RuleTable(
    "The overcaller's second call, after a bid of the advancer's and the opener's answer",
    (
        Rule(
            "game",
            "game",
            lambda a: (
                f"after a strong raise, with {a.contested_end.overcaller_game}+ HCP and an overcall in a "
                "major: game, if the last bid is lower"
            ),
            [
                [
                    _STRONG,
                    at_least(
                        "HCP",
                        lambda s: s.hands.hcp,
                        lambda s: s.agreement.contested_end.overcaller_game,
                    ),
                    holds("a major suit", lambda s: np.asarray(s.overcall) >= HEARTS),
                    holds("a last bid lower than game", lambda s: s.last < s.own_game),
                ]
            ],
            lambda s: s.own_game,
        ),
        Rule(
            "own_suit",
            "their own suit again",
            lambda a: (
                "the overcaller's suit at its cheapest level: after a strong raise, if opener did not bid "
                "or that level is 3 or lower; after a raise and a bid of opener's with six cards or more, "
                "if that level is 3"
            ),
            [
                [_STRONG, holds("after no bid of opener's", lambda s: ~s.opener_bid)],
                [
                    _STRONG,
                    at_most(
                        "the level of the suit",
                        lambda s: s.own_level,
                        lambda s: HIGHEST_SHORT_OF_GAME,
                    ),
                ],
                [
                    holds("after a raise", lambda s: s.advanced("raise")),
                    holds("after a bid of opener's", lambda s: s.opener_bid),
                    at_least(
                        "cards in the suit overcalled", lambda s: s.in_overcalled, lambda s: 6
                    ),
                    holds("at level 3", lambda s: s.own_level == HIGHEST_SHORT_OF_GAME),
                ],
            ],
            lambda s: bid_code(s.own_level, np.asarray(s.overcall)),
        ),
        Rule("pass", "pass", lambda a: "anything else: pass"),
    ),
)


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


FIT_TRUMPS = 8
"""Trumps that make a fit."""

GAME, THREE_NOTRUMP, PART_FIT, PART_NO_FIT, PART_NOTRUMP, DEFENDED, THEIR_CONTRACT, GOES_ON = range(
    COLUMNS["final_contract"].size
)

BY_OPENER, BY_RESPONDER, BY_OVERCALLER, BY_ADVANCER, NOT_FOLLOWED = range(COLUMNS["declarer"].size)


@dataclass(frozen=True)
class FinalContracts:
    """Final contracts; int8, one entry an auction.

    ``contract`` is a code of :data:`FINAL_CONTRACT`, ``declarer`` of :data:`DECLARER`, ``last_bid``
    of a bid (:data:`~double_study.cards.bids.NO_BID` where it goes on); ``trumps`` are opener's and
    responder's cards in the suit last bid, 0 in notrump and where it goes on.
    """

    contract: NDArray[np.int8]
    declarer: NDArray[np.int8]
    last_bid: NDArray[np.int8]
    trumps: NDArray[np.int8]


def final_contracts(end: Decided[AfterAnswer]) -> FinalContracts:
    """The final contract of each auction, by what ``CONTINUATION`` or ``CONTESTED_END`` says."""
    last = end.bid
    suit = last % 5
    in_suit_bid = (last != NO_BID) & (suit != NOTRUMP)
    trump = np.minimum(suit, SPADES)
    hands, opener = end.situation.hands, end.situation.opener
    trumps = (hands.length_in(trump) + opener.length_in(trump)) * in_suit_bid
    at_game = last // 5 + 1 >= GAME_LEVEL.take(suit)
    place = np.where(trumps >= FIT_TRUMPS, PART_FIT, PART_NO_FIT)
    place = np.where(at_game, GAME, place)
    place = np.where(suit == NOTRUMP, np.where(at_game, THREE_NOTRUMP, PART_NOTRUMP), place)
    for name, code in (
        ("goes_on", GOES_ON),
        ("defended", DEFENDED),
        ("their_contract", THEIR_CONTRACT),
    ):
        place = np.where(end.named(name), code, place)
    return FinalContracts(
        place.astype(np.int8), _declarers(end, place), last, trumps.astype(np.int8)
    )


def _declarers(end: Decided[AfterAnswer], contract: NDArray[np.integer]) -> NDArray[np.int8]:
    """Who plays each contract; the double and the cue-bids named no denomination to be played."""
    situation, denomination = end.situation, end.bid % 5
    by_opener = (denomination == situation.opening) | (denomination == situation.suit)
    ours = np.where(by_opener, BY_OPENER, BY_RESPONDER)
    theirs = np.where(denomination == situation.overcall, BY_OVERCALLER, BY_ADVANCER)
    played = np.where((contract == DEFENDED) | (contract == THEIR_CONTRACT), theirs, ours)
    return np.where(contract == GOES_ON, NOT_FOLLOWED, played).astype(np.int8)
