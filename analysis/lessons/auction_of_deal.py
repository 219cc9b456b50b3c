"""One deal's auction, call by call, as far as the rules go."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from analysis.agreements.agreement import Agreement
from analysis.asking.question import Question, reply
from analysis.bidding.after_overcall import PAIRS, Overcalled
from analysis.bidding.answer import ANSWER, SPADE_RAISE, SpadeRaiseSituation
from analysis.bidding.auction import Auctions, Doubles
from analysis.bidding.continuation import CONTINUATION, RestSituation
from analysis.bidding.final_contract import GOES_ON, RESTS
from analysis.bidding.response import ABOVE_CEILING, DOUBLE_CALL, RESPONSE
from analysis.bidding.rules import RuleTable, S
from analysis.cards.bids import DOUBLE, HEARTS, NO_BID, NOTRUMP, PASS, SPADES, Bid
from analysis.cards.hands import Hands
from analysis.cards.notation import Auction
from analysis.errors import InputError

_ONE_HEART, _ONE_SPADE = Bid(1, HEARTS), Bid(1, SPADES)
_ONE_NOTRUMP, _TWO_NOTRUMP = Bid(1, NOTRUMP), Bid(2, NOTRUMP)
_PASSES_THAT_END = 3


@dataclass(frozen=True)
class Made:
    """A call of our side, and the rule that chose it, by name and in words.

    ``call`` is None where the rules do not say what it is.
    """

    call: str | None
    rule: str
    sentence: str


@dataclass(frozen=True)
class Rest:
    """What came after opener's answer.

    ``bids`` are our side's further bids in turn, ``place`` one of RESTS, ``last`` the last bid
    (None where it goes on), ``trumps`` the cards of our side in its suit, ``sentence`` the rule.
    """

    bids: tuple[str, ...]
    place: str
    last: Bid | None
    trumps: int
    sentence: str


@dataclass(frozen=True)
class Course:
    """The auction of one deal: ``cards`` are the four hands by seat, 52 bits each.

    Raises :class:`InputError` if nobody overcalled an opening of one of a suit in a suit.
    """

    cards: tuple[int, ...]
    agreement: Agreement

    def __post_init__(self) -> None:
        if not len(self.auctions.responses.rows):
            raise InputError(
                "the auction does not reach the responder; allowed: a deal with an opening of one of a "
                "suit and an overcall in a suit"
            )

    @cached_property
    def auctions(self) -> Auctions:
        """The deal as the rules see it, an array of one."""
        return Auctions(np.array(self.cards, dtype=np.uint64)[:, np.newaxis], self.agreement)

    @cached_property
    def auction(self) -> Auction:
        """The auction as far as the overcall."""
        responses = self.auctions.responses
        opening, overcall = PAIRS[int(responses.pair[0])]
        return Auction(int(responses.seat[0]) - 1, opening, overcall)

    @property
    def opener_cards(self) -> int:
        """The opener's hand."""
        return self.cards[self.auction.seat_of_opener - 1]

    @property
    def responder_cards(self) -> int:
        """The responder's hand."""
        return self.cards[self.auction.seat_of_responder - 1]

    @property
    def responder(self) -> Overcalled:
        """The responder's hand as its rules see it, in an array of one."""
        return self.auctions.responses.situation

    @property
    def opener(self) -> Hands:
        """The opener's hand as the rules see it, in an array of one."""
        return self.auctions.responses.opener

    @cached_property
    def response(self) -> Made:
        """The responder's call."""
        responses = self.auctions.responses
        if responses.call[0] == ABOVE_CEILING:
            above = reply(Question(self.responder_cards, self.auction, self.agreement))
            return Made(above.call, above.rule, above.sentence)
        without_bid = DOUBLE if responses.call[0] == DOUBLE_CALL else PASS
        return self._made(RESPONSE, responses.situation, without_bid)

    def _made(self, table: RuleTable[S], situation: S, without_bid: str | None) -> Made:
        """What a table of rules chooses in an array of one."""
        chosen = table.decide(situation)
        rule, bid = table.rules[chosen[0]], table.bids(situation, chosen)[0]
        call = without_bid if bid == NO_BID else str(Bid.from_code(bid))
        return Made(call, rule.name, rule.sentence(self.agreement))

    @property
    def doubled(self) -> bool:
        """Whether the responder doubled."""
        return self.response.call == DOUBLE

    @property
    def showed_five_spades(self) -> bool:
        """Whether the responder bid 1♠ over 1♥, which shows five."""
        return self.auction.overcall == _ONE_HEART and self.response.call == str(_ONE_SPADE)

    @cached_property
    def _double(self) -> Doubles:
        return self.auctions.doubles

    @cached_property
    def answer(self) -> Made | None:
        """Opener's answer to the double or to 1♠ over 1♥; None after any other call."""
        if self.doubled:
            return self._made(ANSWER, self._double.opener, PASS)
        if self.showed_five_spades:
            return self._made(SPADE_RAISE, SpadeRaiseSituation(self.opener, self.agreement), None)
        return None

    @cached_property
    def rest(self) -> Rest | None:
        """What came after the answer to the double; None where there was no double."""
        if not self.doubled:
            return None
        double = self._double
        auction = (self.agreement, *double.responder.auction)
        situation = RestSituation(
            double.responder.hands, *auction, double.opener.hands, double.answer, double.answer_bid
        )
        rule = CONTINUATION.rules[int(CONTINUATION.decide(situation)[0])]
        last = None if double.rest[0] == GOES_ON else Bid.from_code(double.last_bid[0])
        return Rest(
            tuple(map(str, self._further(rule.name, last))),
            RESTS[double.rest[0]],
            last,
            int(double.trumps[0]),
            rule.sentence(self.agreement),
        )

    def _further(self, rule: str, last: Bid | None) -> list[Bid]:
        """Our bids after the answer; an invitation that is accepted makes two of them."""
        answer = self._double.answer_bid[0]
        if last is None or rule == "defended" or last.code == answer:
            return []
        if rule == "invitation_accepted":
            return [Bid(Bid.from_code(answer).level + 1, last.denomination), last]
        hcp = self.responder.hands.hcp[0]
        if (
            rule == "three_notrump"
            and answer == _ONE_NOTRUMP.code
            and hcp < self.agreement.rest.notrump_game
        ):
            return [_TWO_NOTRUMP, last]
        return [last]

    @cached_property
    def complete(self) -> bool:
        """Whether the rules take the auction to its end."""
        return self.rest is not None and self.rest.last is not None

    def before(self, asked: int) -> tuple[str, ...]:
        """The calls before the turn of our side's call number ``asked``: 1 responder's, 2 opener's."""
        return self.calls[: self.auction.passes + 2 * asked]

    @cached_property
    def calls(self) -> tuple[str, ...]:
        """Every call from the dealer on: ``pass``, ``double`` or a bid such as ``1H``."""
        auction = self.auction
        calls = [PASS] * auction.passes + [str(auction.opening_bid), str(auction.overcall)]
        ours = [self.response.call, self.answer.call if self.answer else None]
        for at, call in enumerate(ours + list(self.rest.bids if self.rest else ())):
            if call is None:
                break
            calls += [PASS, call] if at else [call]
        while self.complete and calls[-_PASSES_THAT_END:] != [PASS] * _PASSES_THAT_END:
            calls.append(PASS)
        return tuple(calls)
