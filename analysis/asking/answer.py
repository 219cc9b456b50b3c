"""Everything that there is to say to a question, worked out part by part as it is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from analysis.agreements.agreement import REFERENCE, Agreement
from analysis.asking.odds import Odds, odds, odds_before_bidding
from analysis.asking.question import Question, Reply
from analysis.asking.question import reply as replied
from analysis.asking.what_next import HowOften, WhatNext, how_often, waiting, what_next
from analysis.cards.notation import read_hand


@dataclass(frozen=True)
class Answer:
    """The answer to a question; without an auction to a hand alone, which has only odds."""

    cards: int
    question: Question | None

    @classmethod
    def to(cls, hand: str, auction: str | None, agreement: Agreement = REFERENCE) -> Answer:
        """The answer to what people type; raises :class:`~analysis.errors.InputError`."""
        if auction is None:
            return cls(read_hand(hand), None)
        question = Question.read(hand, auction, agreement)
        return cls(question.cards, question)

    @cached_property
    def reply(self) -> Reply | None:
        """The call and the rule."""
        return replied(self.question) if self.question else None

    @cached_property
    def chances(self) -> Odds:
        """The odds on partner's hand; raises :class:`~analysis.errors.InputError` if no deal fits."""
        return odds(self.question) if self.question else odds_before_bidding(self.cards)

    @property
    def partner(self) -> str:
        """Who the partner is: the opener, if the responder asks."""
        return "responder" if self.question and self.question.auction.opener_asked else "opener"

    @cached_property
    def follows(self) -> WhatNext | None:
        """What follows a double of the responder's."""
        if self.question is None or self.reply is None:
            return None
        return what_next(self.question, self.reply, self.chances)

    @cached_property
    def waits(self) -> tuple[float, float, float] | None:
        """In the pass-out seat, the chance that partner waits with a penalty pass."""
        return waiting(self.question, self.chances) if self.question else None

    @cached_property
    def often(self) -> HowOften | None:
        """How often the auction and the call come up."""
        if self.question is None or self.reply is None:
            return None
        return how_often(self.question, self.reply)
