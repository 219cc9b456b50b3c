"""A hand and an auction that somebody asks about: can it be, what is the call, and why.

The hand is the responder's, whose partner opened one of a suit, and the opponent to the right
overcalled; or it is the opener's, when it is its turn again: after a double of the responder's, or in
the pass-out seat.

Why a call and no other, in words that fit the auction: what a rule asks here, and what is held.

A rule is written for every auction; here its suits have names and what the auction alone settles is
left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.agreements.settings import Range
from double_study.cards.bids import DOUBLE, NO_BID, PASS, Bid, Call
from double_study.cards.hands import CLASS_WORDS, GOOD_SHIFT, STOPPER_SHIFT, Hands, hand_words
from double_study.cards.notation import Auction, read_auction, read_hand
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.rules.answer import ANSWER, AnswerSituation
from double_study.rules.contested import CONTESTED_ANSWER, ContestedSituation
from double_study.rules.lookup import opening_lookup
from double_study.rules.reopening import REOPENING, ReopeningSituation
from double_study.rules.response import ABOVE_CEILING, RESPONSE, above_ceiling_sentence
from double_study.rules.terms import (
    SEQUENCE_CODE,
    SEQUENCES,
    UNREACHABLE,
    Condition,
    Overcalled,
    Rule,
    RuleTable,
)

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
        return Reply(
            None, COLUMNS["call"].names[ABOVE_CEILING], above_ceiling_sentence(agreement), ()
        )
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


_UNCOUNTED = 2
"""What a missing stopper or good suit counts for, in cards and points."""


def because(question: Question) -> str:
    """What the rule of the call asks here and what the hand holds; or what came nearest to a call."""
    situation = question.situation
    rules = question.rules.rules
    chosen = int(question.rules.decide(situation).rule[0])
    met = [way for way in rules[chosen].ways if all(c.met(situation).all() for c in way)]
    if met and (asked := _asks(question, met[0])):
        return f"The rule “{rules[chosen].wording}” asks for {asked}."
    tried = [rule for rule in rules[:chosen] if _open_ways(question, rule)]
    if not tried:
        return "No other call is there to be made."
    nearest = min(tried, key=lambda rule: _missed(question, rule)[0])
    return f"No other call fits. The nearest, “{nearest.wording}”, {_lacks(question, nearest)}."


def rules_above(question: Question) -> list[tuple[str, str]]:
    """The rules before the one that decides: how each is worded, and what it asks for besides."""
    chosen = int(question.rules.decide(question.situation).rule[0])
    return [(rule.wording, _lacks(question, rule)) for rule in question.rules.rules[:chosen]]


def _open_ways(question: Question, rule: Rule[Any]) -> list[list[Condition[Any]]]:
    """The ways of a rule that some hand could meet in this auction."""
    every = question.every_situation
    return [list(way) for way in rule.ways if all(c.met(every).any() for c in way)]


def _missed(question: Question, rule: Rule[Any]) -> tuple[int, list[Condition[Any]]]:
    """What the hand misses of a rule's nearest way: cards and points in all, and the conditions."""
    situation = question.situation
    ways = [[c for c in way if not c.met(situation).all()] for way in _open_ways(question, rule)]
    return min(
        ((sum(_short_of(question, c) for c in way), way) for way in ways), key=lambda way: way[0]
    )


def _short_of(question: Question, condition: Condition[Any]) -> int:
    """By how many cards or points a hand misses a condition; one that is not counted is two."""
    if condition.kind == "true":
        return _UNCOUNTED
    have = int(np.asarray(condition.have(question.situation)).item())
    need = condition.need(question.situation)
    if isinstance(need, Range):
        return max(need.low - have, have - need.high)
    return abs(int(np.asarray(need).item()) - have)


def _lacks(question: Question, rule: Rule[Any]) -> str:
    """What a rule that does not hold asks for, in positive words."""
    if not _open_ways(question, rule):
        every = question.every_situation
        barred = next(c for c in rule.ways[0] if not c.met(every).any())
        return barred.barred()
    return f"asks for {_asks(question, _missed(question, rule)[1])}"


def _asks(question: Question, conditions: Sequence[Condition[Any]]) -> str:
    """What the conditions ask of the hand and what it holds; empty if the auction settles them all."""
    situation, every = question.situation, question.every_situation
    relevant = [c for c in conditions if not c.met(every).all()]
    counted = [c for c in relevant if c.kind != "true"]
    exact = _exactly(question, counted)
    counted = [c for c in counted if c not in exact.values()]
    asked = [("exactly " if c in exact else "") + _need(question, c) for c in counted]
    asked += [c.what_here(question.situation) for c in relevant if c.kind == "true"]
    if not asked:
        return ""
    held = [str(np.asarray(c.have(situation)).item()) for c in counted]
    return _and(asked) + (f"; you hold {_and(held)}" if held else "")


def _exactly(
    question: Question, conditions: Sequence[Condition[Any]]
) -> dict[Condition[Any], Condition[Any]]:
    """Conditions that ask for a number of cards, each with the one that allows no more of them."""
    at_most = {_amount(question, c): c for c in conditions if c.kind == "most"}
    least = {c: _amount(question, c) for c in conditions if c.kind == "least"}
    return {c: at_most[amount] for c, amount in least.items() if amount in at_most}


def _need(question: Question, condition: Condition[Any]) -> str:
    if condition.kind == "within":
        return f"{condition.need(question.situation)} {condition.what_here(question.situation)}"
    number, what = _amount(question, condition)
    if number >= UNREACHABLE:
        return f"more {what} than there are"
    return f"{'at most ' if condition.kind == 'most' else ''}{number} {what}"


def _amount(question: Question, condition: Condition[Any]) -> tuple[int, str]:
    """The number that a condition compares with, and of what."""
    need = int(np.asarray(condition.need(question.situation)).item())
    return need, condition.what_here(question.situation)


def _and(parts: list[str]) -> str:
    *before, last = parts
    return f"{', '.join(before)} and {last}" if before else last
