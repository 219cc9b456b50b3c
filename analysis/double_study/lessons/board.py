"""A deal's auction, call by call, and the board on which it is dealt.

A deal has its own dealer, seat 1. At a board it is rotated so that seat 1 sits where the board's
dealer does, and nothing else is done to it, so the passes before the opening stay as they were.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE, NO_BID, NOTRUMP, PASS, Bid, Call
from double_study.cards.deal import deal_block
from double_study.cards.hands import SUIT_CARDS, Hands
from double_study.cards.notation import Auction
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.lessons.case import REOPENING, RESPONDER
from double_study.rules.auction import call_codes, calls_made, reached
from double_study.rules.batch import Batch
from double_study.rules.explain import sentence_here
from double_study.rules.reopening import DOUBLE_AGAIN
from double_study.rules.response import ABOVE_CEILING, DOUBLE_CALL, above_ceiling_sentence
from double_study.rules.settle import DEFENDED, THEIR_CONTRACT
from double_study.rules.terms import SEQUENCES, Decided, Overcalled, S

_END = (PASS,) * 3


@dataclass(frozen=True)
class Made:
    """A call by our side and the rule that chose it, by name and in words.

    ``call`` is None if the rules do not decide the call.
    """

    call: Call | None
    rule: str
    sentence: str


@dataclass(frozen=True)
class End:
    """The end of the auction after opener's answer.

    ``contract`` is a name of the column ``final_contract``, ``last`` the last bid, ``trumps`` the
    declaring side's cards in its suit (0 in notrump), ``sentence`` the rule. ``reached`` is the contract of a
    pair that settles, and empty otherwise.
    """

    contract: str
    last: Bid
    trumps: int
    sentence: str
    reached: str


@dataclass(frozen=True)
class Course:
    """The auction of one deal: ``cards`` are the four hands by seat, 52 bits each.

    Raises :class:`InputError` if nobody overcalled an opening of one of a suit in a suit.
    """

    cards: tuple[int, ...]
    agreement: Agreement

    def __post_init__(self) -> None:
        if not len(self.batch.at("overcalled")):
            raise InputError(
                "the auction does not reach the responder; allowed: a deal with an opening of one of a "
                "suit and an overcall in a suit"
            )

    @cached_property
    def batch(self) -> Batch:
        """The deal as the rules see it, a batch of one."""
        return Batch(np.array(self.cards, dtype=np.uint64)[:, np.newaxis], self.agreement)

    @cached_property
    def auction(self) -> Auction:
        """The auction as far as the overcall."""
        b = self.batch.at("overcalled")
        opening, overcall = SEQUENCES[b["auction"][0]]
        return Auction(int(b["seat"][0]) - 1, opening, overcall)

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
        return self.batch.at("overcalled").decided("response").situation

    @property
    def opener(self) -> Hands:
        """The opener's hand as the rules see it, in an array of one."""
        return self.batch.at("overcalled").hands("opener")

    @cached_property
    def response(self) -> Made:
        """The responder's call."""
        b = self.batch.at("overcalled")
        if b["call"][0] == ABOVE_CEILING:
            return Made(
                None, COLUMNS["call"].names[ABOVE_CEILING], above_ceiling_sentence(self.agreement)
            )
        return self._made(b.decided("response"), DOUBLE if b["call"][0] == DOUBLE_CALL else PASS)

    def _made(self, decided: Decided[S], without_bid: Call | None) -> Made:
        """Return the call that a table of rules chose, from an array of one."""
        rule, bid = decided.table.rules[decided.rule[0]], decided.bid[0]
        call = without_bid if bid == NO_BID else Bid.from_code(bid)
        return Made(call, rule.name, sentence_here(rule, decided.situation))

    @property
    def doubled(self) -> bool:
        """Whether the responder doubled."""
        return self.response.call == DOUBLE

    @property
    def reason(self) -> str:
        """Return why the responder doubled, a name of the column ``reason``."""
        return COLUMNS["reason"].names[self.batch.at("doubled")["reason"][0]]

    @property
    def plays_double(self) -> bool:
        """Whether the agreement has the double over this overcall."""
        played = self.agreement.response
        return played.double and self.auction.overcall <= played.double_through

    def turn(self, asked: str) -> Decided[Any]:
        """Return what the rules say about the responder's first call or opener's second, in an
        array of one.
        """
        if asked == RESPONDER:
            return self.batch.at("overcalled").decided("response")
        if asked == REOPENING:
            return self.batch.at("passed_round").decided("reopening")
        return self._followed.decided("answer")

    @cached_property
    def _followed(self) -> Batch:
        """The double with all that comes after the advancer's call."""
        return self.batch.at("quiet" if len(self.batch.at("quiet")) else "contested")

    @cached_property
    def advancer(self) -> Made | None:
        """The advancer's call over the double or a pass; None after any other call."""
        for b in map(self.batch.at, ("doubled", "passed")):
            if len(b):
                return self._made(b.decided("advancer"), PASS)
        return None

    @cached_property
    def reopening(self) -> Made | None:
        """Opener's call after passes of the responder and the advancer; None in another auction."""
        b = self.batch.at("passed_round")
        if not len(b):
            return None
        doubled = b["reopening"][0] == DOUBLE_AGAIN
        return self._made(b.decided("reopening"), DOUBLE if doubled else PASS)

    @cached_property
    def answer(self) -> Made | None:
        """Opener's answer to the double or to 1♠ over 1♥; None after any other call."""
        if self.doubled:
            answer = self._followed.decided("answer")
            return self._made(answer, DOUBLE if answer.named("strong_double")[0] else PASS)
        showed_five = self.batch.at("one_spade")
        return self._made(showed_five.decided("spade_answer"), None) if len(showed_five) else None

    @cached_property
    def end(self) -> End | None:
        """The final contract after a double; None if there was no double."""
        if not self.doubled:
            return None
        b, end = self.batch.at("doubled"), self._followed.decided("end")
        contract, ours = b["final_contract"][0], int(b["trumps"][0])
        last = Bid.from_code(b["last_bid"][0])
        theirs = contract in (DEFENDED, THEIR_CONTRACT) and last.denomination != NOTRUMP
        trumps = SUIT_CARDS - ours if theirs else ours
        sentence = sentence_here(end.table.rules[end.rule[0]], end.situation)
        contract_name = COLUMNS["final_contract"].names[contract]
        return End(contract_name, last, trumps, sentence, reached(self.batch))

    def before(self, asked: int) -> tuple[Call, ...]:
        """Return the calls before our side's call number ``asked``: 1 responder's, 2
        opener's.
        """
        return self.calls[: self.auction.passes + 2 * asked]

    @property
    def complete(self) -> bool:
        """Whether every call is written out to the end of the auction."""
        return len(self.calls) > len(_END) and self.calls[-len(_END) :] == _END

    @cached_property
    def calls(self) -> tuple[Call, ...]:
        """Every call from the dealer on."""
        return calls_made(call_codes(self.batch)[0])


COMPASS = ("North", "East", "South", "West")
SOUTH = COMPASS.index("South")
VULNERABILITIES = ("None", "NS", "EW", "All")


def dealer_of(number: int) -> int:
    """Return the dealer of a board, a position in COMPASS: Law 2 of the Laws of Duplicate Bridge 2017."""
    return (number - 1) % 4


def vulnerability_of(number: int) -> str:
    """Return the vulnerability of a board by Law 2, whose cycle shifts by one every four boards."""
    return VULNERABILITIES[(number - 1 + (number - 1) // 4) % 4]


def number_with(seat: int, compass: int, earlier: int = 0) -> int:
    """Return the number of the board that seats ``seat`` (1 to 4 from the dealer) at ``compass``.

    The lowest such number after ``earlier`` others; every fourth board has the same dealer.
    """
    return (compass - (seat - 1)) % 4 + 1 + 4 * earlier


@lru_cache(maxsize=8)
def _block(seed: int, block: int) -> NDArray[np.uint64]:
    """Return the deals of a block, cached for the boards of a lesson that come from the same one."""
    return deal_block(seed, block)


@dataclass(frozen=True)
class Origin:
    """The origin of a deal: the seed, the block and the deal's place in it, both counted from 0."""

    seed: int
    block: int
    deal: int

    @property
    def cards(self) -> tuple[int, ...]:
        """The four hands, 52 bits each, by seat; dealt again."""
        return tuple(_block(self.seed, self.block)[:, self.deal].tolist())

    @property
    def place(self) -> str:
        """Block and deal as ``--only`` reads them."""
        return f"{self.block}:{self.deal}"

    def __str__(self) -> str:
        return f"seed {self.seed}, block {self.block}, deal {self.deal}"


@dataclass(frozen=True)
class Board:
    """A deal at board ``number`` and the course of its auction."""

    number: int
    origin: Origin
    course: Course

    @property
    def dealer(self) -> int:
        """The dealer, a position in COMPASS."""
        return dealer_of(self.number)

    @property
    def vulnerability(self) -> str:
        """Who is vulnerable, one of VULNERABILITIES."""
        return vulnerability_of(self.number)

    def compass(self, seat: int) -> int:
        """Return the position in COMPASS of a seat (1 to 4 from the dealer)."""
        return (self.dealer + seat - 1) % 4

    @property
    def hands(self) -> tuple[int, ...]:
        """The four hands, 52 bits each, in the order of COMPASS."""
        return tuple(self.course.cards[(place - self.dealer) % 4] for place in range(4))

    @cached_property
    def contract(self) -> tuple[str, int] | None:
        """The contract, such as ``4H`` or ``2SX``, and its declarer (a position in COMPASS).

        The declarer is the first player of the side to have named the denomination. None if the
        auction is not written out to its end.
        """
        calls = self.course.calls
        if not self.course.complete:
            return None
        bids = {at: call for at, call in enumerate(calls) if isinstance(call, Bid)}
        last = max(bids)
        first = min(
            at
            for at, bid in bids.items()
            if bid.denomination == bids[last].denomination and (at - last) % 2 == 0
        )
        doubled = "X" if DOUBLE in calls[last:] else ""
        return f"{bids[last]}{doubled}", (self.dealer + first) % 4
