"""Sections 7 and 8: a double over which the advancer bids.

Section 7 is the opener's answer, who need not speak; the first of the text's rules makes three
entries here, one for each name that tables use. Section 8 is the overcaller's second call and the
responder's last. Game over the overcaller's bid and game without one take the same points, so they
make one rule here; it comes before those that distinguish the two.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import HEARTS, NO_BID, SUITS, Bid
from double_study.cards.hands import Suit, suit_set
from double_study.columns import COLUMNS
from double_study.rules.answer import (
    GAME_RAISE,
    JUMP_NEEDS,
    MAJOR_RAISED,
    RAISES,
    SECOND_SUIT,
    AnswerSituation,
    raised,
)
from double_study.rules.continuation import (
    ACCEPTS,
    ANSWER_LEVEL,
    EXTRA,
    GAME,
    GAME_ANSWER,
    INVITES,
    JUMP_RAISE,
    MINIMUM_RAISE,
    NOTRUMP_ANSWER,
    ONE_UP,
    OPENERS_BID,
    OPENERS_SUIT,
    AfterAnswer,
    answer_was,
    bid_over_last,
    over_last,
)
from double_study.rules.terms import (
    A_PROMISED_SUIT,
    HCP,
    MAJOR_OPENED,
    MINOR_SUPPORT,
    NT,
    OPENED,
    OVERCALLED,
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
class ContestedSituation(AnswerSituation):
    """The opener after 1Y (overcall) double and a bid of the advancer's, whose code is ``over``.

    The cheapest levels are those over the advancer's bid.
    """

    over: Suit

    def cheapest(self, suit: ArrayLike) -> NDArray[np.integer]:
        """Return the cheapest level of a suit (4: notrump) over the advancer's bid."""
        return cheapest_level(suit, self.over)

    @cached_property
    def second_suit(self) -> NDArray[np.int8]:
        """The suit neither bid by anyone nor promised; -1 where there is none."""
        by_advancer = np.int8(1) << (np.asarray(self.over) % 5).astype(np.int8)
        return self.hands.longest_among(self.unbid_set & ~self.promised_set & ~by_advancer)


RAISE_LEVEL = Number("the level of the raise", A_PROMISED_SUIT.level, equal="a raise at level #")
LEVEL_OF_NOTRUMP = Number("the level of notrump", NT.level)

CONTESTED_ANSWER: RuleTable[ContestedSituation] = RuleTable(
    "The opener's answer to the double, over a bid of the advancer's",
    "answer",
    (
        Rule(
            "raise_game",
            "four or more in a promised major: game in it with {answer.raise_game}+ support points "
            "where it can be bid at level 2, {contested_answer.game_three}+ at 3, "
            "{contested_answer.game_four}+ at 4",
            RAISES
            & (
                (RAISE_LEVEL == 2) & MAJOR_RAISED & (SUPPORT >= A.answer.raise_game)
                | (RAISE_LEVEL == 3) & MAJOR_RAISED & (SUPPORT >= A.contested_answer.game_three)
                | (RAISE_LEVEL == 4) & MAJOR_RAISED & (SUPPORT >= A.contested_answer.game_four)
            ),
            bid=GAME_RAISE,
        ),
        Rule(
            "raise_jump",
            "four or more in a promised suit that can be bid at level 2, {answer.raise_jump}+ support "
            "points in a major, {answer.minor_jump}+ in a minor: three of it",
            RAISES & (RAISE_LEVEL == 2) & (SUPPORT >= JUMP_NEEDS),
            bid=raised(1),
        ),
        Rule(
            "raise_minimum",
            "four or more in a promised suit (no minor, where the suit opened is a major of six or "
            "more), at its cheapest level: any at level 2, with {contested_answer.raise_three}+ "
            "support points at 3, a minor with {contested_answer.minor_four}+ at 4",
            RAISES
            & (
                (RAISE_LEVEL == 2)
                | (RAISE_LEVEL == 3) & (SUPPORT >= A.contested_answer.raise_three)
                | (RAISE_LEVEL == 4) & ~MAJOR_RAISED & (SUPPORT >= A.contested_answer.minor_four)
            ),
            bid=A_PROMISED_SUIT.cheapest,
        ),
        Rule(
            "own_suit",
            "six cards or more in the suit opened, if it can be bid at level 2; at 3 with "
            "{contested_answer.own_suit_three}+ HCP or seven cards; at 4 a major of seven",
            (OPENED.level == 2) & (OPENED.cards >= 6)
            | (OPENED.level == 3) & (OPENED.cards >= 6) & (HCP >= A.contested_answer.own_suit_three)
            | (OPENED.level == 3) & (OPENED.cards >= 7)
            | MAJOR_OPENED & (OPENED.level == 4) & (OPENED.cards >= 7),
            bid=OPENED.cheapest,
        ),
        Rule(
            "second_suit",
            "five cards or more in a suit neither bid nor promised, at level 2; at 3 with "
            "{contested_answer.second_suit_three}+ HCP",
            (SECOND_SUIT.cards >= 5)
            & (
                (SECOND_SUIT.level == 2)
                | (SECOND_SUIT.level == 3) & (HCP >= A.contested_answer.second_suit_three)
            ),
            bid=SECOND_SUIT.cheapest,
        ),
        Rule(
            "notrump",
            "a stopper in the overcaller's suit and {contested_answer.notrump}+ HCP: notrump at its "
            "cheapest level, if that is 3 or lower",
            OVERCALLED.stopper & (HCP >= A.contested_answer.notrump) & (LEVEL_OF_NOTRUMP <= 3),
            bid=NT.cheapest,
        ),
        Rule(
            "strong_double",
            "{contested_answer.strong_double}+ HCP, or {contested_answer.short_double}+ and at most "
            "one card in the overcaller's suit: double, for the responder to choose",
            (HCP >= A.contested_answer.strong_double)
            | (HCP >= A.contested_answer.short_double) & (OVERCALLED.cards <= 1),
        ),
        Rule("pass", "anything else: pass"),
    ),
)


@dataclass(frozen=True)
class OvercallerSituation(Overcalled):
    """The overcaller after the opener's answer over the advancer's bid.

    ``advancer`` is a code of the column ``advancer``; the bids are codes, opener's NO_BID for a pass
    or a double.
    """

    advancer: NDArray[np.int8]
    advancer_bid: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    @cached_property
    def last(self) -> NDArray[np.int8]:
        """The last bid."""
        return np.maximum(self.answer_bid, self.advancer_bid)


def advanced(name: str) -> Fact:
    """Return the condition that the advancer's call is ``name``."""
    code = COLUMNS["advancer"].code(name)
    return Fact(f"after the advancer's {name.replace('_', ' ')}", lambda s: s.advancer == code)


OPENER_BID = Fact(
    "after a bid of opener's", lambda s: s.answer_bid != NO_BID, "after no bid of opener's"
)
LAST = Number("the last bid", lambda s: s.last)
THEIR_GAME = OVERCALLED.at(4)
THEIR_LEVEL = over_last(OVERCALLED)

OVERCALLER: RuleTable[OvercallerSituation] = RuleTable(
    "The overcaller's second call, after a bid of the advancer's and the opener's answer",
    None,
    (
        Rule(
            "game",
            "after a strong raise, with {contested_end.overcaller_game}+ HCP and an overcall in a "
            "major: game, if the last bid is lower",
            advanced("strong_raise")
            & (HCP >= A.contested_end.overcaller_game)
            & Fact("a major suit", lambda s: np.asarray(s.overcall) >= HEARTS)
            & (THEIR_GAME > LAST),
            bid=THEIR_GAME,
        ),
        Rule(
            "own_suit",
            "the overcaller's suit at its cheapest level: after a strong raise, if opener did not bid "
            "or that level is 3 or lower; after a raise and a bid of opener's with six cards or more, "
            "if that level is 3",
            advanced("strong_raise") & (~OPENER_BID | (THEIR_LEVEL <= 3))
            | advanced("raise") & OPENER_BID & (OVERCALLED.cards >= 6) & (THEIR_LEVEL == 3),
            bid=bid_over_last(OVERCALLED),
        ),
        Rule("pass", "anything else: pass"),
    ),
)


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
    def long_promised(self) -> NDArray[np.int8]:
        """The longest promised suit of six or more that can be bid at level 3; -1 where none."""
        low = [cheapest_level(suit, self.last) <= 3 for suit in SUITS]
        held = (self.hands.lengths >= 6) & np.stack(low)
        sets = np.sum([held[suit] * np.int8(suit_set([suit])) for suit in SUITS], axis=0)
        return self.hands.longest_among(sets & self.promised_set)


RAISED = answer_was("a raise", "raise_minimum", "raise_jump", "raise_game")
OWN_OR_SECOND = answer_was("a suit", "own_suit", "second_suit")
SILENT = answer_was("a pass", "pass")
UNDISTURBED = Fact("after a pass of the overcaller's", lambda s: s.answer_bid > s.theirs)
LONG_PROMISED = SuitTerm("a promised suit of six, at level 3", lambda s: s.long_promised)
BELOW_FOUR_HEARTS = Fact("below 4♥", lambda s: s.last < Bid(4, HEARTS).code)
THREE_OF_IT = Number("three of opener's suit", lambda s: np.int8(10) + s.suit)

CONTESTED_END: RuleTable[ContestedEndSituation] = RuleTable(
    "The responder's second call, after a bid of the advancer's",
    None,
    (
        Rule(
            "goes_on",
            "opener doubled: the auction goes on",
            answer_was("a double", "strong_double"),
        ),
        Rule(
            "rests",
            "opener bid game or higher, and the overcaller passed: it rests",
            UNDISTURBED & GAME_ANSWER,
            bid=OPENERS_BID,
        ),
        Rule(
            "game",
            "game in the suit that opener raised, if it is higher than the last bid: over a jump "
            "raise with {contested_end.jump_game}+ support points, over a minimum raise at level 2 "
            "with {continuation.game}+, higher with {contested_end.game}+ "
            "({continuation.minor_extra} more in a minor)",
            (
                JUMP_RAISE & (SUPPORT >= A.contested_end.jump_game + EXTRA)
                | MINIMUM_RAISE & (ANSWER_LEVEL == 2) & (SUPPORT >= A.continuation.game + EXTRA)
                | MINIMUM_RAISE & (ANSWER_LEVEL >= 3) & (SUPPORT >= A.contested_end.game + EXTRA)
            )
            & (GAME > LAST),
            bid=GAME,
        ),
        Rule(
            "invitation_accepted",
            "{continuation.invite}+ support points over a minimum raise at level 2 and a pass invite, "
            "and opener accepts with {continuation.accept}+: game",
            UNDISTURBED & MINIMUM_RAISE & (ANSWER_LEVEL == 2) & INVITES & ACCEPTS,
            bid=GAME,
        ),
        Rule(
            "invitation_declined",
            "an invitation that opener declines: one level up",
            UNDISTURBED & MINIMUM_RAISE & (ANSWER_LEVEL == 2) & INVITES,
            bid=ONE_UP,
        ),
        Rule(
            "three_notrump",
            "3NT over notrump with {contested_end.notrump_game}+ HCP",
            NOTRUMP_ANSWER & UNDISTURBED & (HCP >= A.contested_end.notrump_game),
            bid="3NT",
        ),
        Rule(
            "goes_on",
            "{contested_end.go_on}+ total points over opener's own or second suit and a pass, "
            "{contested_end.go_on_three}+ where it was bid at level 3: the auction goes on",
            OWN_OR_SECOND
            & UNDISTURBED
            & (
                (TOTAL >= A.contested_end.go_on)
                | (ANSWER_LEVEL == 3) & (TOTAL >= A.contested_end.go_on_three)
            ),
        ),
        Rule(
            "rests",
            "otherwise, after a bid of opener's and a pass: responder passes",
            UNDISTURBED,
            bid=OPENERS_BID,
        ),
        Rule(
            "nine_trumps",
            "five or more in the suit that opener raised, and the overcaller bid: three of it, if "
            "that is higher",
            RAISED & (OPENERS_SUIT.cards >= 5) & (THREE_OF_IT > LAST),
            bid=THREE_OF_IT,
        ),
        Rule(
            "own_suit",
            "opener passed: six or more in a promised suit, if it can be bid at level 3 or lower "
            "(the longest; equals: the higher-ranking)",
            SILENT & (LONG_PROMISED.cards >= 6),
            bid=bid_over_last(LONG_PROMISED),
        ),
        Rule(
            "back_to_opened",
            "opener passed: five clubs or four diamonds for the minor opened, if it can be bid at "
            "level 3 or lower",
            SILENT & ~MAJOR_OPENED & (OPENED.cards >= MINOR_SUPPORT) & (over_last(OPENED) <= 3),
            bid=bid_over_last(OPENED),
        ),
        Rule(
            "goes_on",
            "opener passed: a second double with {contested_end.second_double}+ total points over a "
            "bid below 4♥, with {contested_end.high_double}+ HCP over any",
            SILENT
            & (
                BELOW_FOUR_HEARTS & (TOTAL >= A.contested_end.second_double)
                | (HCP >= A.contested_end.high_double)
            ),
        ),
        Rule(
            "their_contract",
            "anything else: the other side plays its last bid",
            bid=LAST,
        ),
    ),
)
