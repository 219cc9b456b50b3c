"""Section 4: the opener's answer to the double if the advancer passes, and to 1♠ over 1♥.

Two of the text's rules have several entries here, one for each name that tables use. Choices
where the text leaves room: opener's limits 15/16-18/19 are two settings, the lowest figure of each
stronger raise; "no room for rule 4's jump" means that one level above the cheapest rebid is beyond
three of a minor or four of a major.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import *
from double_study.cards.hands import suit_set
from double_study.rules.terms import *


@dataclass(frozen=True)
class AnswerSituation(Overcalled):
    """The opener after 1Y (overcall) double (pass): ``hands`` are the opener's."""

    @property
    def second_suits(self) -> NDArray[np.int8]:
        """The suits neither bid nor promised."""
        return self.unbid_set & ~self.promised_set


def _three_card_suit(s: AnswerSituation) -> NDArray[np.int8]:
    """Return a promised suit of exactly three cards, -1 if none; if there are two, spades or clubs."""
    three = [suit_set([suit]) * (s.hands.lengths[suit] == 3).astype(np.int8) for suit in SUITS]
    held = np.sum(three, axis=0, dtype=np.int8) & s.promised_set
    return np.where(held == suit_set(MINORS), np.int8(CLUBS), s.hands.longest_among(held))


SECOND_SUIT = SuitTerm("a second suit", lambda s: s.hands.longest_among(s.second_suits))
THREE_CARD_SUIT = SuitTerm("three cards in a promised suit", _three_card_suit)
MAJOR_RAISED = Fact("a major suit", lambda s: s.longest_promised >= HEARTS, "a minor suit")
OWN_MAJOR_FIRST = Fact(
    "a major of six to bid before a minor",
    lambda s: ~MAJOR_RAISED.met(s) & MAJOR_OPENED.met(s) & (OPENED.cards(s) >= 6),
    "no major of six to bid before a minor",
)
RAISES = (A_PROMISED_SUIT.cards >= 4) & ~OWN_MAJOR_FIRST
JUMP_NEEDS = Number("what a jump raise needs",
                    lambda s: np.where(MAJOR_RAISED.met(s), s.agreement.answer.raise_jump,
                                       s.agreement.answer.minor_jump))
ROOM_TO_JUMP = Fact("room to jump",
                    lambda s: OPENED.level(s) + 1 <= MAJOR_OPENED.met(s) + np.int8(3),
                    "short of room to jump")
"""Whether a rebid one level up stays within three of a minor or four of a major."""
REBID_BELOW_GAME = Fact("the cheapest rebid below game",
                        lambda s: OPENED.level(s) < GAME_LEVEL.take(s.opening))
LOWER_THAN_REBID = Fact("lower than the rebid",
                        lambda s: SECOND_SUIT.cheapest(s) < OPENED.cheapest(s))
CHEAPER_REBID = Fact("a cheaper rebid of the suit opened",
                     lambda s: OPENED.cheapest(s) < THREE_CARD_SUIT.cheapest(s),
                     "no cheaper rebid of the suit opened")


def raised(up: int) -> Number:
    """Return a raise ``up`` levels above the cheapest, but beyond game only if the cheapest is."""

    def level(s: Overcalled) -> NDArray[np.integer]:
        cheapest = A_PROMISED_SUIT.level(s)
        return np.maximum(np.minimum(cheapest + up, GAME_LEVEL.take(s.longest_promised)), cheapest)

    return A_PROMISED_SUIT.at(Number("the level of the raise", level))


GAME_RAISE = raised(4)


def _own_suit_bid(s: AnswerSituation) -> ArrayLike:
    needs, hcp, cards = s.agreement.answer, s.hands.hcp, OPENED.cards(s)
    long = (cards >= 7) & (hcp >= needs.own_suit_long_jump)
    jumps = ((hcp >= needs.own_suit_jump) | long) & ROOM_TO_JUMP.met(s)
    game = (MAJOR_OPENED.met(s) & (cards >= 8)) * GAME_LEVEL[SPADES]
    return bid_code(np.maximum(OPENED.level(s) + jumps, game), np.asarray(s.opening))


def _notrump_bid(s: AnswerSituation) -> ArrayLike:
    lowest = np.asarray(s.level)
    jump = np.maximum(lowest, np.minimum(lowest + 1, GAME_LEVEL[NOTRUMP]))
    return bid_code(np.where(s.hands.hcp >= s.agreement.answer.notrump_jump, jump, lowest), NOTRUMP)


ANSWER: RuleTable[AnswerSituation] = RuleTable("The opener's answer to the double", "answer", (
    Rule("penalty_pass", "five good cards or more in the overcaller's suit: pass for penalties",
         (OVERCALLED.cards >= 5) & OVERCALLED.good),
    Rule("raise_game", "four or more in a promised major and {answer.raise_game}+ support "
         "points: bid game in it",
         RAISES & MAJOR_RAISED & (SUPPORT >= A.answer.raise_game), bid=GAME_RAISE),
    Rule("raise_jump", "four or more in a promised suit, with {answer.raise_jump}+ support "
         "points in a major or {answer.minor_jump}+ in a minor: bid it one level above its "
         "cheapest, or at its cheapest if that is game",
         RAISES & (SUPPORT >= JUMP_NEEDS), bid=raised(1)),
    Rule("raise_minimum", "four or more in a promised suit, with fewer points: bid it at its "
         "cheapest level (with six or more in a major opened, none of these rules raises a "
         "minor)",
         RAISES, bid=A_PROMISED_SUIT.cheapest),
    Rule("cue_bid", "{answer.cue_bid}+ HCP, and either no stopper in the overcaller's suit, or "
         "six cards or more in the suit opened, a jump in which would go beyond three of a minor "
         "or four of a major, and its cheapest rebid below game: cue-bid the overcaller's suit",
         (HCP >= A.answer.cue_bid)
         & (~OVERCALLED.stopper | (OPENED.cards >= 6) & ~ROOM_TO_JUMP & REBID_BELOW_GAME),
         bid=CUE_BID),
    Rule("own_suit", "six cards or more in the suit opened: rebid it, and jump, but not beyond "
         "three of a minor or four of a major, with {answer.own_suit_jump}+ HCP, or with seven "
         "cards and {answer.own_suit_long_jump}+; with a major of eight or more, bid game",
         OPENED.cards >= 6, bid=_own_suit_bid),
    Rule("second_suit", "five cards or more in a suit neither bid nor promised: bid it at its "
         "cheapest level",
         SECOND_SUIT.cards >= 5, bid=SECOND_SUIT.cheapest),
    Rule("notrump", "a stopper in the overcaller's suit: bid notrump at its cheapest level, or "
         "with {answer.notrump_jump}+ HCP one level higher, but not beyond 3NT",
         OVERCALLED.stopper, bid=_notrump_bid),
    Rule("second_suit", "four cards in a suit neither bid nor promised: bid it, if that is "
         "cheaper than the cheapest rebid of the suit opened, or with {answer.second_suit}+ HCP",
         (SECOND_SUIT.cards >= 4) & (LOWER_THAN_REBID | (HCP >= A.answer.second_suit)),
         bid=SECOND_SUIT.cheapest),
    Rule("three_card_raise", "exactly three cards in a promised suit (with three in each, spades "
         "or clubs): bid it at its cheapest level, but not with five cards in the suit opened "
         "and a cheaper rebid of it",
         Fact("three cards in {}", lambda s: THREE_CARD_SUIT.suit(s) >= 0, suit=A_PROMISED_SUIT)
         & ((OPENED.cards <= 4) | ~CHEAPER_REBID), bid=THREE_CARD_SUIT.cheapest),
    Rule("rebid", "anything else: rebid the suit opened at its cheapest level", bid=OPENED.cheapest),
))


@dataclass(frozen=True)
class SpadeRaiseSituation(Situation):
    """The opener after a minor, 1♥ and 1♠, which shows five spades."""


_SPADES = Number("spades", lambda s: s.hands.lengths[SPADES])

SPADE_RAISE: RuleTable[SpadeRaiseSituation] = RuleTable(
    "The opener's answer to 1♠ over 1♥", "spade_answer", (
    Rule("raise_game", "three spades or more and {answer.spade_game}+ support points: raise to "
         "4♠",
         (_SPADES >= 3) & (SUPPORT >= A.answer.spade_game), bid="4♠"),
    Rule("raise_jump", "three spades or more and {answer.spade_jump}+ support points: raise to "
         "3♠",
         (_SPADES >= 3) & (SUPPORT >= A.answer.spade_jump), bid="3♠"),
    Rule("raise_minimum", "three spades or more, with fewer points: raise to 2♠", _SPADES >= 3, bid="2♠"),
    Rule("no_raise", "fewer than three spades: no raise; the study follows the auction no "
         "further"),
))
