"""A question about a hand in an auction: whether the two go together, the call, and why.

The hand is the responder's, after partner opened one of a suit and the opponent on the right
overcalled; or the fourth hand's, after the responder's double; or the opener's, when it is opener's
turn again: after that double, or in the pass-out seat.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.bids import NO_BID, PASS, Bid
from double_study.cards.hands import CLASS_WORDS, OF_CLASS, Hands, hand_words
from double_study.cards.notation import Auction, read_auction, read_hand
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.rules.advancer import ADVANCER, AdvancerSituation
from double_study.rules.answer import ANSWER, AnswerSituation
from double_study.rules.contested import CONTESTED_ANSWER, ContestedSituation
from double_study.rules.explain import Reply, explain
from double_study.rules.opening import opening_lookup
from double_study.rules.reopening import REOPENING, ReopeningSituation
from double_study.rules.response import ABOVE_CEILING, RESPONSE, above_ceiling_sentence
from double_study.rules.terms import SEQUENCE_CODE, SEQUENCES, Overcalled, RuleTable

EVERY_HAND = Hands(np.concatenate([CLASS_WORDS, CLASS_WORDS | ~OF_CLASS]))
"""Every class of hands, first with no flag set, then with all."""


@dataclass(frozen=True)
class Question:
    """The hand (52 bits) of the player to call, the auction so far and the agreement.

    Raises :class:`InputError` if the rules never make the overcall, or if the hand would not have
    made its earlier call.
    """

    cards: int
    auction: Auction
    agreement: Agreement = REFERENCE

    def __post_init__(self) -> None:
        opening, overcall = self.auction.opening, self.auction.overcall
        if overcall.code >= SEQUENCE_CODE.shape[1] or SEQUENCE_CODE[opening, overcall.code] < 0:
            allowed = ", ".join(str(bid) for suit, bid in SEQUENCES if suit == opening)
            raise InputError(
                f"overcall {overcall} is never made over {self.auction.opening_bid} by the rules; "
                f"allowed: {allowed}"
            )
        seat = self.auction.seat_asked
        if seat > self.auction.seat_of("opener"):
            return
        lookup = opening_lookup(self.agreement.opening)
        bid = int(lookup.bids(self.situation.hands.words, seat)[0])
        made = self.auction.opening_bid.code if self.auction.opener_asked else NO_BID
        if bid != made:
            did, would = (
                "passed" if code == NO_BID else f"opened {Bid.from_code(code)}"
                for code in (made, bid)
            )
            raise InputError(
                f"auction {self.auction}: the hand {did} in seat {seat}, but it would have {would}; "
                f"allowed: a hand that would have {did} there"
            )

    @classmethod
    def read(cls, hand: str, auction: str, agreement: Agreement = REFERENCE) -> Question:
        """Read a question as typed; raise :class:`InputError` if it cannot be read."""
        return cls(read_hand(hand), read_auction(auction), agreement)

    @property
    def _turn(self) -> tuple[RuleTable[Any], Callable[..., Overcalled]]:
        """The table of rules for this turn, and the class of its situation."""
        match self.auction.later:
            case ():
                return RESPONSE, Overcalled
            case (_,):
                return ADVANCER, partial(AdvancerSituation, doubled=True)
            case ("pass", "pass"):
                return REOPENING, ReopeningSituation
            case (_, Bid() as bid):
                return CONTESTED_ANSWER, partial(ContestedSituation, over=bid.code)
        return ANSWER, AnswerSituation

    @property
    def rules(self) -> RuleTable[Any]:
        return self._turn[0]

    @property
    def situation(self) -> Overcalled:
        """The hand as a situation of those rules, as an array of one."""
        cards = np.array([self.cards], dtype=np.uint64)
        return self._with(Hands(hand_words(cards, self.agreement.hand.good_suit)))

    @property
    def promised(self) -> tuple[int, ...]:
        """The suits that a double promises or promised; none if there can be no double."""
        response = self.agreement.response
        passed = self.auction.later[:1] == (PASS,)
        if passed or not response.double or self.auction.overcall > response.double_through:
            return ()
        return tuple(np.flatnonzero(self.situation.promised[:, 0]).tolist())

    def _with(self, hands: Hands) -> Overcalled:
        opening, overcall = self.auction.opening, self.auction.overcall
        return self._turn[1](hands, self.agreement, opening, overcall.denomination, overcall.level)


def reply(question: Question) -> Reply:
    """Return the agreement's call and the reason for it."""
    rules, agreement = question.rules, question.agreement
    ceiling = agreement.response.double_through
    if rules is RESPONSE and question.auction.overcall > ceiling:
        sentence = above_ceiling_sentence(agreement)
        name = COLUMNS["call"].names[ABOVE_CEILING]
        return Reply(None, name, sentence, f"{sentence.capitalize()}.", ())
    return explain(rules, question.situation, question._with(EVERY_HAND))
