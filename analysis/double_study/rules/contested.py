"""Sections 7 and 8: a double over which the advancer bids.

Section 7 is the answer of the opener, who need not bid; the first of the text's rules has three
entries here, one for each name that tables use. Section 8 is the overcaller's second call and the
responder's last. A second double has no rule of its own: the rule that makes it is named by what
follows, ``defended`` if the opener passes, and settling otherwise.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import *
from double_study.cards.hands import Suit
from double_study.columns import COLUMNS
from double_study.rules import answer
from double_study.rules.answer import AnswerSituation
from double_study.rules.continuation import *
from double_study.rules.settle import SETTLES_FOR_GAME
from double_study.rules.terms import *


@dataclass(frozen=True)
class ContestedSituation(AnswerSituation):
    """The opener after 1Y (overcall) double and a bid by the advancer, whose code is ``over``.

    The cheapest levels are those over the advancer's bid.
    """

    over: Suit

    def cheapest(self, suit: ArrayLike) -> NDArray[np.integer]:
        return cheapest_level(suit, self.over)

    @property
    def second_suits(self) -> NDArray[np.int8]:
        """The suits neither bid by anyone nor promised."""
        by_advancer = np.int8(1) << (np.asarray(self.over) % 5).astype(np.int8)
        return super().second_suits & ~by_advancer


RAISE_LEVEL = Number("the level of the raise", A_PROMISED_SUIT.level, equal="a raise at level #")
LEVEL_OF_NOTRUMP = Number("the level of notrump", NT.level)
SHORT = OVERCALLED.cards <= 1
OWN_MAJOR_AT_TWO = Fact("a major of six to bid at level 2 before a minor",
                        lambda s: answer.OWN_MAJOR_FIRST.met(s) & (OPENED.level(s) == 2),
                        "no major of six to bid at level 2 before a minor")
RAISES = (A_PROMISED_SUIT.cards >= 4) & ~OWN_MAJOR_AT_TWO
AT_TWO_OR_THREE = Fact("over a bid at level 2 or 3",
                       lambda s: np.isin(np.asarray(s.over) // 5 + 1, (2, 3)))

CONTESTED_ANSWER: RuleTable[ContestedSituation] = RuleTable(
    "The opener's answer to the double, over a bid by the fourth hand", "answer", (
    Rule("raise_game", "four or more in a promised major: bid game in it with "
         "{answer.raise_game}+ support points if it can be bid at level 2, with "
         "{contested_answer.game_three}+ at 3, with {contested_answer.game_four}+ at 4 (or "
         "{contested_answer.game_four_short}+ at 4 with at most one card in the overcaller's "
         "suit)",
         RAISES & answer.MAJOR_RAISED
         & ((RAISE_LEVEL == 2) & (SUPPORT >= A.answer.raise_game)
            | (RAISE_LEVEL == 3) & (SUPPORT >= A.contested_answer.game_three)
            | (RAISE_LEVEL == 4) & (SUPPORT >= A.contested_answer.game_four)
            | (RAISE_LEVEL == 4) & SHORT & (SUPPORT >= A.contested_answer.game_four_short)),
         bid=answer.GAME_RAISE),
    Rule("raise_jump", "four or more in a promised suit that can be bid at level 2, with "
         "{answer.raise_jump}+ support points in a major or {answer.minor_jump}+ in a minor: bid "
         "three of it (but not a minor with six or more in a major opened)",
         RAISES & (RAISE_LEVEL == 2) & (SUPPORT >= answer.JUMP_NEEDS), bid=answer.raised(1)),
    Rule("raise_minimum", "four or more in a promised suit (but not a minor if the suit opened "
         "is a major of six or more that can be bid at level 2): bid it at its cheapest level, "
         "at 2 on any hand, at 3 with {contested_answer.raise_three}+ support points, a minor at "
         "4 with {contested_answer.minor_four}+; with at most one card in the overcaller's suit, "
         "{contested_answer.raise_three_short}+ at 3 and {contested_answer.minor_four_short}+ at "
         "4 are enough",
         RAISES
         & ((RAISE_LEVEL == 2)
            | (RAISE_LEVEL == 3) & (SUPPORT >= A.contested_answer.raise_three)
            | (RAISE_LEVEL == 3) & SHORT & (SUPPORT >= A.contested_answer.raise_three_short)
            | ~answer.MAJOR_RAISED & (RAISE_LEVEL == 4)
              & ((SUPPORT >= A.contested_answer.minor_four)
                 | SHORT & (SUPPORT >= A.contested_answer.minor_four_short))),
         bid=A_PROMISED_SUIT.cheapest),
    Rule("own_suit", "six cards or more in the suit opened: rebid it at level 2; at level 3 with "
         "{contested_answer.own_suit_three}+ HCP or seven cards; at level 4 only a major of "
         "seven",
         (OPENED.level == 2) & (OPENED.cards >= 6)
         | (OPENED.level == 3) & (OPENED.cards >= 6) & (HCP >= A.contested_answer.own_suit_three)
         | (OPENED.level == 3) & (OPENED.cards >= 7)
         | MAJOR_OPENED & (OPENED.level == 4) & (OPENED.cards >= 7), bid=OPENED.cheapest),
    Rule("second_suit", "five cards or more in a suit neither bid nor promised: bid it at level "
         "2, or at level 3 with {contested_answer.second_suit_three}+ HCP",
         (answer.SECOND_SUIT.cards >= 5)
         & ((answer.SECOND_SUIT.level == 2)
            | (answer.SECOND_SUIT.level == 3) & (HCP >= A.contested_answer.second_suit_three)),
         bid=answer.SECOND_SUIT.cheapest),
    Rule("notrump", "a stopper in the overcaller's suit and {contested_answer.notrump}+ HCP: bid "
         "notrump at its cheapest level, if that is 3 or lower",
         OVERCALLED.stopper & (HCP >= A.contested_answer.notrump) & (LEVEL_OF_NOTRUMP <= 3),
         bid=NT.cheapest),
    Rule("strong_double", "{contested_answer.strong_double}+ HCP; or "
         "{contested_answer.two_card_double}+ and at most two cards in the overcaller's suit, "
         "over a bid at level 2 or 3; or {contested_answer.short_double}+ and at most one: "
         "double, and let responder choose",
         (HCP >= A.contested_answer.strong_double)
         | (HCP >= A.contested_answer.two_card_double) & (OVERCALLED.cards <= 2) & AT_TWO_OR_THREE
         | (HCP >= A.contested_answer.short_double) & SHORT),
    Rule("pass", "anything else: pass"),
))


@dataclass(frozen=True)
class OvercallerSituation(Answered):
    """The overcaller after the opener's answer over the advancer's bid.

    ``advancer`` is a code of the column ``advancer``, ``advancer_bid`` the code of its bid.
    """

    advancer: NDArray[np.int8]
    advancer_bid: NDArray[np.int8]

    @cached_property
    def last(self) -> NDArray[np.int8]:
        return np.maximum(self.answer_bid, self.advancer_bid)


def advanced(name: str) -> Fact:
    code = COLUMNS["advancer"].code(name)
    return Fact(f"after the fourth hand's {name.replace('_', ' ')}", lambda s: s.advancer == code)


OPENER_BID = Fact("after a bid by opener", lambda s: s.answer_bid != NO_BID,
                  "after no bid by opener")
THEIR_GAME = OVERCALLED.at(4)

OVERCALLER: RuleTable[OvercallerSituation] = RuleTable(
    "The overcaller's second call, after a bid by the fourth hand and the opener's answer", None, (
    Rule("game", "after a strong raise of an overcall in a major, with "
         "{contested_end.overcaller_game}+ HCP: bid game in it, if the last bid is lower",
         advanced("strong_raise") & (HCP >= A.contested_end.overcaller_game)
         & Fact("a major suit", lambda s: np.asarray(s.overcall) >= HEARTS) & (THEIR_GAME > LAST),
         bid=THEIR_GAME),
    Rule("own_suit", "bid the overcall's suit at its cheapest level: after a strong raise, if "
         "opener did not bid or that level is 3 or lower; after a raise and a bid by opener, "
         "with six cards or more, if that level is 3",
         advanced("strong_raise") & (~OPENER_BID | (THEIR_LEVEL <= 3))
         | advanced("raise") & OPENER_BID & (OVERCALLED.cards >= 6) & (THEIR_LEVEL == 3),
         bid=bid_over_last(OVERCALLED)),
    Rule("pass", "anything else: pass"),
))


@dataclass(frozen=True)
class ContestedEndSituation(AfterAnswer):
    """The responder's last turn; ``advancer`` and ``advancer_bid`` are the advancer's call.

    ``theirs`` is the overcaller's second bid if there is one, else the advancer's.
    """

    advancer: NDArray[np.int8]
    advancer_bid: NDArray[np.int8]

    @property
    def their_suits(self) -> NDArray[np.int8]:
        """The overcaller's suit, and one that the advancer has bid as a new suit."""
        suit = np.int8(1) << self.advancer_bid % np.int8(5)
        return super().their_suits | suit * (self.advancer == _NEW_SUIT)


_NEW_SUIT = COLUMNS["advancer"].code("new_suit")

OWN_OR_SECOND = answer_was("a suit", "own_suit", "second_suit")
SILENT = answer_was("a pass", "pass")
STRONG_DOUBLE = answer_was("a double", "strong_double")
UNDISTURBED = Fact("after a pass by the overcaller", lambda s: s.answer_bid > s.theirs)
LAST_SUIT = SuitTerm("the suit of the last bid",
                     lambda s: np.where(LAST(s) % 5 == NOTRUMP, np.int8(-1), LAST(s) % np.int8(5)))
IN_A_SUIT = Fact("the last bid in a suit", lambda s: LAST_SUIT.suit(s) >= 0,
                 "the last bid in notrump")
BELOW_FOUR_HEARTS = Fact("below 4♥", lambda s: s.last < Bid(4, HEARTS).code)
SHORT_IN_LAST = IN_A_SUIT & (LAST_SUIT.cards <= 1)
OPENERS_LAST = Number("opener's cards in the suit of the last bid",
                      lambda s: s.opener.length_in(LAST_SUIT.suit(s)) * (LAST_SUIT.suit(s) >= 0))
OPENERS_PROMISED = Number("opener's cards in a promised suit",
                          lambda s: s.opener.length_in(s.opener.longest_among(s.promised_set)))

DOUBLES_AGAIN = (SILENT
                 & (IN_A_SUIT & (LAST_LEVEL == 2) & (LAST_SUIT.cards <= 2)
                    & (TOTAL >= A.contested_end.second_double_two)
                    | BELOW_FOUR_HEARTS & (TOTAL >= A.contested_end.second_double)
                    | BELOW_FOUR_HEARTS & SHORT_IN_LAST
                      & (TOTAL >= A.contested_end.second_double_short)
                    | (HCP >= A.contested_end.high_double)
                    | SHORT_IN_LAST & (HCP >= A.contested_end.high_double_short)))

CONTESTED_END: RuleTable[ContestedEndSituation] = RuleTable(
    "The responder's second call, after a bid by the fourth hand", None, (
    Rule("defended", "opener doubled: with four cards or more in the suit of the last bid, at "
         "level 2 or higher, defend it doubled",
         STRONG_DOUBLE & IN_A_SUIT & (LAST_SUIT.cards >= 4) & (LAST_LEVEL >= 2), bid=LAST),
    *settling("opener doubled", STRONG_DOUBLE),
    Rule("rests", "opener bid game or higher, and the overcaller passed: the auction ends there",
         UNDISTURBED & GAME_ANSWER, bid=OPENERS_BID),
    Rule("game", "opener raised, and the overcaller passed: bid game in that suit over a jump "
         "raise with {contested_end.jump_game}+ support points, over a minimum raise to level 2 "
         "with {continuation.game}+, over a higher one with {contested_end.game}+ "
         "({continuation.minor_extra} more in a minor)",
         UNDISTURBED & CONTESTED_GAME, bid=GAME),
    Rule("invitation_accepted", "over a minimum raise to level 2 and a pass, responder invites "
         "with {continuation.invite}+ support points ({continuation.minor_extra} more in a "
         "minor), and opener accepts with {continuation.accept}+ support points: game",
         UNDISTURBED & MINIMUM_RAISE & (ANSWER_LEVEL == 2) & INVITES & ACCEPTS, bid=GAME),
    Rule("invitation_declined", "responder invites in the same way, and opener declines: one "
         "level higher",
         UNDISTURBED & MINIMUM_RAISE & (ANSWER_LEVEL == 2) & INVITES, bid=ONE_UP),
    Rule("three_notrump", "opener bid notrump, and the overcaller passed: bid 3NT with "
         "{contested_end.notrump_game}+ HCP",
         NOTRUMP_ANSWER & UNDISTURBED & (HCP >= A.contested_end.notrump_game), bid="3NT"),
    Rule(SETTLES_FOR_GAME, "opener rebid the suit opened or bid a second suit, and the "
         "overcaller passed: the pair settles for game if responder has {contested_end.settle}+ "
         "total points, or {contested_end.settle_three}+ where opener's bid was at level 3",
         OWN_OR_SECOND & UNDISTURBED
         & ((TOTAL >= A.contested_end.settle)
            | (ANSWER_LEVEL == 3) & (TOTAL >= A.contested_end.settle_three)), bid=IN_GAME),
    Rule("rests", "opener bid, the overcaller passed, and no rule above holds: responder passes",
         UNDISTURBED, bid=OPENERS_BID),
    *OVER_THEIR_BID,
    Rule("own_suit", "opener passed: bid a promised suit of six or more (the longest; the "
         "higher-ranking if equal), if it can be bid at level 3 or lower",
         SILENT & (LONG_PROMISED.cards >= 6), bid=bid_over_last(LONG_PROMISED)),
    Rule("back_to_opened", "opener passed: bid the minor opened on six clubs or five diamonds, "
         "or on one card fewer with {contested_end.short_raise}+ total points, if it can be bid "
         "at level 3 or lower",
         SILENT & ~MAJOR_OPENED & (over_last(OPENED) <= 3)
         & ((OPENED.cards >= MINOR_SUPPORT + 1)
            | (OPENED.cards >= MINOR_SUPPORT) & (TOTAL >= A.contested_end.short_raise)),
         bid=bid_over_last(OPENED)),
    Rule("defended", "opener passed: responder doubles again with {contested_end.second_double}+ "
         "total points over a bid below 4♥, or with {contested_end.high_double}+ HCP over any "
         "bid (with at most one card in the suit of that bid, "
         "{contested_end.second_double_short}+ total points below 4♥ or "
         "{contested_end.high_double_short}+ HCP over any bid are enough), or with "
         "{contested_end.second_double_two}+ total points over a suit at level 2 and at most two "
         "cards in it. Opener passes this double over notrump, with four cards in the suit of the "
         "last bid, or with three at level 3 or higher and no promised suit of four: the pair "
         "defends, doubled",
         DOUBLES_AGAIN
         & (~IN_A_SUIT
            | (OPENERS_LAST >= 4)
            | (OPENERS_LAST >= 3) & (LAST_LEVEL >= 3) & (OPENERS_PROMISED <= 3)), bid=LAST),
    *settling("opener takes such a second double out", DOUBLES_AGAIN),
    Rule("their_contract", "anything else: the other side plays its last bid", bid=LAST),
))
