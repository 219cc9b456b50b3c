"""A hand and an auction that somebody asks about: can it be, what is the call, and why.

The hand is the responder's, whose partner opened one of a suit, and the opponent to the right
overcalled; or it is the opener's, when it is its turn again: after a double of the responder's, or in
the pass-out seat.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from analysis.agreements.agreement import REFERENCE, Agreement
from analysis.bidding.after_overcall import SEQUENCE_CODE, SEQUENCES, Overcalled
from analysis.bidding.answer import ANSWER, AnswerSituation
from analysis.bidding.class_tables import opening_lookup
from analysis.bidding.contested_answer import CONTESTED_ANSWER, ContestedSituation
from analysis.bidding.reopening import REOPENING, ReopeningSituation
from analysis.bidding.response import (
    ABOVE_CEILING,
    CALL,
    RESPONSE,
    above_ceiling_sentence,
)
from analysis.bidding.rules import Rule, RuleTable
from analysis.cards.bids import DOUBLE, NO_BID, PASS, Bid, Call
from analysis.cards.hand_classes import CLASS_WORDS
from analysis.cards.hands import GOOD_SHIFT, STOPPER_SHIFT, Hands, hand_words
from analysis.cards.notation import Auction, read_auction, read_hand
from analysis.errors import InputError

_DOUBLES = ("double", "strong_double")
"""The rules whose call is a double."""

_EVERY_FLAG = (0b1111 << GOOD_SHIFT[0]) | (0b1111 << STOPPER_SHIFT[0])
EVERY_HAND = np.concatenate([CLASS_WORDS, CLASS_WORDS | np.uint32(_EVERY_FLAG)])
"""Every class of hands as a word, first with no flag set, then with all."""


@dataclass(frozen=True)
class Question:
    """A hand (52 bits) of whoever is to call, and the auction; by which agreement it was bid.

    Raises :class:`InputError` if the rules never make the overcall, or if the hand would not have
    called as it did.
    """

    cards: int
    auction: Auction
    agreement: Agreement = REFERENCE

    def __post_init__(self) -> None:
        opening, overcall = self.auction.opening, self.auction.overcall
        if overcall.code >= SEQUENCE_CODE.shape[1] or SEQUENCE_CODE[opening, overcall.code] < 0:
            allowed = ", ".join(str(bid) for suit, bid in SEQUENCES if suit == opening)
            raise InputError(
                f"overcall {overcall}: the rules never overcall so over {self.auction.opening_bid}; "
                f"allowed: {allowed}"
            )
        seat = self.auction.seat_asked
        if seat > self.auction.seat_of_opener:
            return
        words = hand_words(np.array([self.cards], dtype=np.uint64), self._good_suit)
        bid = int(opening_lookup(self.agreement).bids(words, seat)[0])
        made = self.auction.opening_bid.code if self.auction.opener_asked else NO_BID
        if bid != made:
            did, would = (_opens(made), _opens(bid))
            raise InputError(
                f"auction {self.auction}: the hand {did[0]} in seat {seat}, but it would have "
                f"{would[1]}; allowed: a hand that {did[2]} there"
            )

    @classmethod
    def read(cls, hand: str, auction: str, agreement: Agreement = REFERENCE) -> Question:
        """The question in people's notation; raises :class:`InputError`."""
        return cls(read_hand(hand), read_auction(auction), agreement)

    @property
    def _good_suit(self) -> int:
        return self.agreement.hand.good_suit

    @property
    def rules(self) -> RuleTable[Any]:
        """The rules of the hand's turn."""
        match self.auction.later:
            case ():
                return RESPONSE
            case ("pass", "pass"):
                return REOPENING
            case (_, "pass"):
                return ANSWER
        return CONTESTED_ANSWER

    @property
    def situation(self) -> Overcalled:
        """The hand as those rules see it, in an array of one."""
        words = hand_words(np.array([self.cards], dtype=np.uint64), self._good_suit)
        return self._with(Hands(words))

    @property
    def promised(self) -> tuple[int, ...]:
        """The suits that a double would promise, or did; none where there is no double."""
        response = self.agreement.response
        passed = self.auction.later[:1] == (PASS,)
        if passed or not response.double or self.auction.overcall > response.double_through:
            return ()
        return tuple(np.flatnonzero(self.situation.promised[:, 0]).tolist())

    @property
    def every_situation(self) -> Overcalled:
        """Every class of hands in the same auction, with no flag set and with all."""
        return self._with(Hands(EVERY_HAND))

    def _with(self, hands: Hands) -> Overcalled:
        overcall = self.auction.overcall
        after = (
            hands,
            self.agreement,
            self.auction.opening,
            overcall.denomination,
            overcall.level,
        )
        match self.auction.later:
            case ():
                return Overcalled(*after)
            case ("pass", "pass"):
                return ReopeningSituation(*after)
            case (_, Bid() as bid):
                return ContestedSituation(*after, bid.code)
        return AnswerSituation(*after)


def _opens(code: int) -> tuple[str, str, str]:
    """What a hand did first, by the code of its bid: as it did, would have and does."""
    if code == NO_BID:
        return "passed", "passed", "passes"
    bid = Bid.from_code(code)
    return f"opened {bid}", f"opened {bid}", f"opens {bid}"


@dataclass(frozen=True)
class PassedOver:
    """A rule that did not hold: by name and as readers see it, its bid here, what the hand lacks.

    ``bid`` is None for a rule that makes none, or none in this auction.
    """

    rule: str
    wording: str
    bid: Bid | None
    lacking: str


@dataclass(frozen=True)
class Reply:
    """The call: ``pass``, ``double`` or a bid (none above the ceiling), and the rule that chose it.

    ``rule`` is the rule's name in the tables, ``sentence`` the rule in words, ``above`` the rules
    that came before it.
    """

    call: Call | None
    rule: str
    sentence: str
    above: tuple[PassedOver, ...]


def reply(question: Question) -> Reply:
    """The call by the agreement, and why it is that and no other."""
    rules, agreement = question.rules, question.agreement
    ceiling = agreement.response.double_through
    if rules is RESPONSE and question.auction.overcall > ceiling:
        return Reply(None, CALL.names[ABOVE_CEILING], above_ceiling_sentence(agreement), ())
    decided = rules.decide(question.situation)
    chosen, bid = int(decided.rule[0]), int(decided.bid[0])
    rule = rules.rules[chosen]
    made: Call = DOUBLE if rule.name in _DOUBLES else PASS
    if bid != NO_BID:
        made = Bid.from_code(bid)
    above = tuple(_passed_over(question, earlier) for earlier in rules.rules[:chosen])
    return Reply(made, rule.name, rule.told(question.situation), above)


def _passed_over(question: Question, rule: Rule[Overcalled]) -> PassedOver:
    """Why a rule did not hold, leaving out what no hand at all could meet in this auction."""
    situation, every = question.situation, question.every_situation
    barred = [[c for c in way if not c.met(every).any()] for way in rule.ways]
    open_ways = [way for way, bars in zip(rule.ways, barred, strict=True) if not bars]
    if not open_ways:
        return PassedOver(rule.name, rule.wording, None, barred[0][0].barred())
    shortfalls = rule.shortfalls(situation, open_ways)
    lacking = "; ".join(short.text for short in shortfalls)
    code = int(np.ravel(rule.bid(situation))[0])
    if code == NO_BID:
        return PassedOver(rule.name, rule.wording, None, lacking)
    bid = Bid.from_code(code)
    made_here = f" for {bid.symbol}" if shortfalls[-1].short else ""
    return PassedOver(rule.name, rule.wording, bid, lacking + made_here)
