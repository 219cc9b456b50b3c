"""Section 5: the overcaller and the responder after the advancer's pass and the opener's answer.

The responder's rules look at its own hand and, if opener answers an invitation or the pair settles,
at opener's hand too. After a second bid by the overcaller the rules are the same as in section 8,
so :data:`OVER_THEIR_BID` is a part of both tables. Choices where the text leaves room: the text's "game
with 12, pass with 11", for hands worth an invitation without room for one, moves with the settings for
game and for an invitation; and the 11 to 12 points that raise one level lie between the 10 and the 13
that settle for game, and move with them.
"""

from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

from double_study.cards.bids import *
from double_study.cards.hands import BoolArray, Hands
from double_study.columns import COLUMNS
from double_study.rules.settle import SETTLES_FOR_GAME, SETTLES_FOR_PART_SCORE, Pair
from double_study.rules.terms import *

_SUITS = np.array(SUITS, dtype=np.int8)[:, np.newaxis]
_THREE_OF_EACH = bid_code(3, _SUITS)


@dataclass(frozen=True)
class Answered(Overcalled):
    """A hand after opener's answer.

    ``answer`` is a code of the column ``answer``, ``answer_bid`` the code of the bid it made,
    NO_BID for a pass or a double.
    """

    answer: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    def answered(self, *names: str) -> BoolArray:
        return np.array([answer in names for answer in COLUMNS["answer"].names]).take(self.answer)

    @cached_property
    def suit(self) -> NDArray[np.int8]:
        """The denomination that opener bid; notrump if opener did not bid."""
        return self.answer_bid % np.int8(5)

    @property
    def last(self) -> NDArray[np.int8]:
        return self.answer_bid


@dataclass(frozen=True)
class AfterAnswer(Answered):
    """The responder after opener's answer and the overcaller's second call.

    ``hands`` are the responder's, ``opener`` the opener's; ``theirs`` is the code of the other
    side's last bid.
    """

    opener: Hands
    theirs: NDArray[np.int8]

    @cached_property
    def last(self) -> NDArray[np.int8]:
        return np.maximum(self.theirs, self.answer_bid)

    @property
    def their_suits(self) -> NDArray[np.int8]:
        return np.int8(1) << np.asarray(self.overcall, dtype=np.int8)

    @cached_property
    def pair(self) -> Pair:
        return Pair(self.opener, self.hands, self.their_suits)


def _long_promised(s: AfterAnswer) -> NDArray[np.int8]:
    """Return the longest promised suit of six or more that can be bid at level 3; -1 if none."""
    held = (s.hands.lengths >= 6) & (s.last < _THREE_OF_EACH)
    return s.hands.longest_among((held << _SUITS).sum(axis=0) & s.promised_set)


def answer_was(what: str, *names: str) -> Fact:
    return Fact(f"opener's answer: {what}", lambda s: s.answered(*names))


ANSWER_LEVEL = Number(
    "opener's level", lambda s: s.answer_bid // np.int8(5) + np.int8(1), equal="at level #"
)
OPENERS_SUPPORT = Number("support points of opener's", lambda s: s.opener.support_points)
OPENERS_HCP = Number("HCP of opener's", lambda s: s.opener.hcp)
RAISING = SUPPORT - Number(
    "", lambda s: (s.suit < HEARTS) * np.int16(s.agreement.continuation.minor_extra)
)
"""Responder's support points, less the extra points that a raise of a minor requires."""

MINIMUM_RAISE = answer_was("a minimum raise", "raise_minimum")
JUMP_RAISE = answer_was("a jump raise", "raise_jump")
THREE_CARD_RAISE = answer_was("a raise on three cards", "three_card_raise")
RAISED = answer_was("a raise", "raise_minimum", "raise_jump", "raise_game")
CUE_BID_ANSWER = answer_was("a cue-bid", "cue_bid")
REBID = answer_was("a rebid", "own_suit", "second_suit", "rebid")
NOTRUMP_ANSWER = answer_was("notrump", "notrump")
GAME_ANSWER = Fact("opener's answer: game", lambda s: ANSWER_LEVEL(s) >= GAME_LEVEL.take(s.suit),
                   "opener's answer: below game")

ROOM = Fact("room to invite", lambda s: ANSWER_LEVEL(s) + 1 < GAME_LEVEL.take(s.suit),
            "no room to invite")
WORTH_AN_INVITATION = RAISING >= A.continuation.invite
INVITES = ROOM & WORTH_AN_INVITATION
BIDS_GAME = ((RAISING >= A.continuation.game)
             | ~ROOM & WORTH_AN_INVITATION & (RAISING >= A.continuation.game - 1))
"""What bids game over a minimum raise: without room to invite, one point less is enough."""
ACCEPTS = OPENERS_SUPPORT >= A.continuation.accept

JUMPED = Fact("a rebid of the suit opened with a jump",
              lambda s: s.answered("own_suit") & (s.answer_bid > OPENED.cheapest(s)))
REVERSED = Fact("a second suit not lower than the rebid",
                lambda s: s.answered("second_suit") & (s.answer_bid > OPENED.cheapest(s)))
LOWER_SECOND_SUIT = Fact("a second suit lower than the rebid",
                         lambda s: s.answered("second_suit") & ~REVERSED.met(s))
OPENERS_SUIT = SuitTerm("the suit that opener bid", lambda s: np.minimum(s.suit, np.int8(SPADES)))
"""The suit that opener bid, or spades if opener bid none."""
ONE_PROMISED = Fact("one suit promised", lambda s: s.one_suit_promised)
LONG_PROMISED = SuitTerm("a promised suit of six, at level 3", _long_promised)

GAME = Number("game in opener's suit", lambda s: bid_code(GAME_LEVEL.take(s.suit), s.suit))
OPENERS_BID = Number("opener's bid", lambda s: s.answer_bid)
ONE_UP = OPENERS_BID + 5
LAST = Number("the last bid", lambda s: s.last)
LAST_LEVEL = Number("the level of the last bid", lambda s: s.last // np.int8(5) + np.int8(1))

STRONG_ENOUGH = Fact(
    "strong enough for game",
    lambda s: (
        OPENERS_HCP(s) + TOTAL(s)
        >= np.where(
            s.pair.most_combined >= 10,
            s.agreement.contested_end.strong_enough_fit,
            s.agreement.contested_end.strong_enough,
        )
    ),
)
IN_GAME = Number("what the pair settles in", lambda s: s.pair.for_game(s.last))
IN_PART_SCORE = Number("what the pair settles in", lambda s: s.pair.for_part_score(s.last))


@cache
def over_last(suit: SuitTerm) -> Number:
    return Number(suit.phrase, lambda s: cheapest_level(suit.suit(s), s.last))


@cache
def bid_over_last(suit: SuitTerm) -> Number:
    return suit.at(over_last(suit))


THEIR_LEVEL = over_last(OVERCALLED)

BIDS_AGAIN: RuleTable[Answered] = RuleTable(
    "The overcaller's second call, after a pass by the fourth hand", None, (
    Rule("own_suit", "after an overcall that was not a jump, and an answer below game that is "
         "neither a pass nor a cue-bid: rebid the overcall's suit at level 2 with six cards and "
         "{continuation.overcaller}+ HCP or with seven or more, or at level 3, if that is its "
         "cheapest level, with seven or more",
         ~answer_was("a pass or a cue-bid", "penalty_pass", "cue_bid") & ~GAME_ANSWER
         & Fact("over no jump", lambda s: ~s.jump)
         & ((THEIR_LEVEL <= 2) & (OVERCALLED.cards >= 6) & (HCP >= A.continuation.overcaller)
            | (THEIR_LEVEL <= 3) & (OVERCALLED.cards >= 7)), bid=bid_over_last(OVERCALLED)),
    Rule("pass", "anything else: pass"),
))


def settling(text: str, when: When) -> tuple[Rule, Rule]:
    """Return the rules by which a pair settles for game if it is strong enough, else for less."""
    return (
        Rule(
            SETTLES_FOR_GAME,
            f"{text}; if the pair is strong enough, it settles for game",
            when & STRONG_ENOUGH,
            bid=IN_GAME,
        ),
        Rule(
            SETTLES_FOR_PART_SCORE,
            f"{text}; if the pair is not strong enough for game, it settles for a part-score",
            when,
            bid=IN_PART_SCORE,
        ),
    )


CONTESTED_GAME = (JUMP_RAISE & (RAISING >= A.contested_end.jump_game)
                  | MINIMUM_RAISE & (ANSWER_LEVEL <= 2) & (RAISING >= A.continuation.game)
                  | MINIMUM_RAISE & (ANSWER_LEVEL >= 3) & (RAISING >= A.contested_end.game))
"""What bids game over a raise when the other side has bid again."""
BID_OVER = Fact("the overcaller bid over opener's bid",
                lambda s: (s.answer_bid != NO_BID) & (s.theirs > s.answer_bid))

OVER_THEIR_BID = (
    Rule("game", "the overcaller bid over opener's raise on four cards or more: bid game in the "
         "suit raised, if it is higher, after a jump raise with {contested_end.jump_game}+ support "
         "points, after a minimum raise to level 1 or 2 with {continuation.game}+, after a higher "
         "one with {contested_end.game}+ ({continuation.minor_extra} more in a minor)",
         BID_OVER & (GAME > LAST) & CONTESTED_GAME, bid=GAME),
    Rule("competes", "the overcaller bid over opener's raise on four cards or more: bid the suit "
         "raised again at level 2, if it can be bid there; at level 3, if that is its cheapest "
         "level, with five cards, or with four over a bid at level 2",
         BID_OVER & RAISED
         & ((over_last(OPENERS_SUIT) <= 2)
            | (over_last(OPENERS_SUIT) <= 3)
              & ((OPENERS_SUIT.cards >= 5) | (OPENERS_SUIT.cards >= 4) & (LAST_LEVEL <= 2))),
         bid=bid_over_last(OPENERS_SUIT)),
    Rule("own_suit", "the overcaller bid over another bid by opener: bid a promised suit of six "
         "or more (the longest; the higher-ranking if equal), if it can be bid at level 3 or "
         "lower",
         BID_OVER & ~RAISED & (LONG_PROMISED.cards >= 6), bid=bid_over_last(LONG_PROMISED)),
    *settling("the overcaller bid over another bid by opener, and responder has "
              "{contested_end.compete}+ total points, or {contested_end.compete_short}+ and at "
              "most two cards in the overcaller's suit",
              BID_OVER & ~RAISED
              & ((TOTAL >= A.contested_end.compete)
                 | (TOTAL >= A.contested_end.compete_short) & (OVERCALLED.cards <= 2))),
    Rule("their_contract", "the overcaller bid over opener's bid, and no rule above holds: "
         "responder passes",
         BID_OVER, bid=LAST),
)
"""The responder after the overcaller bid over the opener's bid, a part of both tables."""

CONTINUATION: RuleTable[AfterAnswer] = RuleTable(
    "The responder's second call, after a pass by the fourth hand", None, (
    Rule("defended", "opener passed: the pair defends the overcall, doubled",
         answer_was("a pass", "penalty_pass"), bid=LAST),
    Rule(SETTLES_FOR_GAME, "opener cue-bid the overcaller's suit: the pair settles for game",
         CUE_BID_ANSWER, bid=lambda s: s.pair.over_cue_bid(s.last)),
    *OVER_THEIR_BID,
    Rule("rests", "opener bid game or higher: the auction ends there", GAME_ANSWER, bid=OPENERS_BID),
    Rule("game",
         lambda a: (
             f"bid game over a jump raise with {a.continuation.jump_game}+ support points, and over a "
             f"minimum raise with {a.continuation.game}+, or {a.continuation.game - 1}+ if there is no "
             f"room to invite ({a.continuation.minor_extra} more in a minor)"
         ),
         JUMP_RAISE & (RAISING >= A.continuation.jump_game) | MINIMUM_RAISE & BIDS_GAME, bid=GAME),
    Rule("invitation_accepted", "over a minimum raise responder invites with "
         "{continuation.invite}+ support points ({continuation.minor_extra} more in a minor), and "
         "opener accepts with {continuation.accept}+ support points: game",
         MINIMUM_RAISE & INVITES & ACCEPTS, bid=GAME),
    Rule("invitation_declined", "responder invites over a minimum raise, and opener declines: "
         "one level higher",
         MINIMUM_RAISE & INVITES, bid=ONE_UP),
    Rule(SETTLES_FOR_GAME, "opener raised on three cards; over a raise on four responder would "
         "bid game, or would invite, and opener has {continuation.three_card_accept}+ support "
         "points: the pair settles for game",
         THREE_CARD_RAISE
         & (BIDS_GAME | INVITES & (OPENERS_SUPPORT >= A.continuation.three_card_accept)),
         bid=IN_GAME),
    Rule("invitation_declined", "opener raised on three cards; over a raise on four responder "
         "would invite: one level higher",
         THREE_CARD_RAISE & INVITES, bid=ONE_UP),
    Rule("three_notrump", "opener bid notrump: bid 3NT over a jump with "
         "{continuation.notrump_jump_game}+ HCP, otherwise over 1NT with "
         "{continuation.notrump_game}+ or over 2NT with {continuation.notrump_game_over_two}+",
         NOTRUMP_ANSWER
         & ((ANSWER_LEVEL > LEVEL) & (HCP >= A.continuation.notrump_jump_game)
            | (ANSWER_LEVEL == LEVEL)
              & ((LEVEL == 1) & (HCP >= A.continuation.notrump_game)
                 | (LEVEL == 2) & (HCP >= A.continuation.notrump_game_over_two))), bid="3NT"),
    Rule("two_notrump_accepted", "responder invites with 2NT over 1NT on "
         "{continuation.notrump_invite}+ HCP, and opener accepts with "
         "{continuation.notrump_accept}+: 3NT",
         NOTRUMP_ANSWER & (ANSWER_LEVEL == 1) & (HCP >= A.continuation.notrump_invite)
         & (OPENERS_HCP >= A.continuation.notrump_accept), bid="3NT"),
    Rule("two_notrump", "responder invites with 2NT over 1NT on {continuation.notrump_invite}+ "
         "HCP, and opener has less: opener passes",
         NOTRUMP_ANSWER & (ANSWER_LEVEL == 1) & (HCP >= A.continuation.notrump_invite), bid="2NT"),
    Rule(SETTLES_FOR_GAME,
         lambda a: (
             "over a rebid or a second suit, the pair settles for game if responder has "
             f"{a.continuation.settle}+ total points, {a.continuation.settle_strong}+ if opener "
             "jumped in the suit opened or bid a second suit higher than the cheapest rebid of it, "
             f"{a.continuation.settle_light}+ if opener has "
             f"{a.continuation.opener_light}+ HCP, or {a.continuation.settle_light + 1}+ if opener has "
             f"{a.continuation.opener}+"
         ),
         REBID
         & ((TOTAL >= A.continuation.settle)
            | (JUMPED | REVERSED) & (TOTAL >= A.continuation.settle_strong)
            | (TOTAL >= A.continuation.settle_light) & (OPENERS_HCP >= A.continuation.opener_light)
            | (TOTAL >= A.continuation.settle_light + 1) & (OPENERS_HCP >= A.continuation.opener)),
         bid=IN_GAME),
    Rule("one_up",
         lambda a: (
             f"raise a rebid or a second suit one level with {a.continuation.settle_light + 1}+ total "
             "points, if that is below game and no higher than level 3"
         ),
         REBID & ROOM & (ANSWER_LEVEL <= 2) & (TOTAL >= A.continuation.settle_light + 1),
         bid=ONE_UP),
    Rule("own_major", "opener did not raise, and six or more in the one promised major: bid it, "
         "if it can be bid at level 3 or lower",
         answer_was("not a raise", "own_suit", "second_suit", "notrump", "rebid") & ONE_PROMISED
         & (LONG_PROMISED.cards >= 6), bid=bid_over_last(LONG_PROMISED)),
    Rule("back_to_opened", "opener bid a second suit lower than a rebid: go back to the suit "
         "opened with at least as many cards in it as in the second suit",
         LOWER_SECOND_SUIT & (OPENED.cards >= OPENERS_SUIT.cards), bid=bid_over_last(OPENED)),
    Rule("rests", "anything else: responder passes", bid=OPENERS_BID),
))
