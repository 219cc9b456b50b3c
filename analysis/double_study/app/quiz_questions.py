"""The questions of the quiz: a hand and an auction as dealt, a call, and what the rules say to it.

Each question first draws one of the rules that some hand of a block of deals came under, then one
of those hands, so that rare calls are asked about as often as common ones.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.asking.answer import Answer, matters, why
from double_study.asking.question import Question, reply
from double_study.cards.bids import DOUBLE as DOUBLED
from double_study.cards.bids import HEARTS, PASS, Bid, Call, call_symbol
from double_study.cards.deal import deal_block
from double_study.cards.notation import Auction
from double_study.rules.auction import call_of
from double_study.rules.batch import Batch
from double_study.rules.response import ABOVE_CEILING, DOUBLE_CALL, DOUBLE_RULE, ENOUGH_POINTS
from double_study.rules.terms import SEQUENCES

EVERY_CALL, DOUBLES = "the responder: every call", "the responder: doubles and near misses"
ANSWERS, REOPENING = "the opener: answers to the double", "the opener: the pass-out seat"
SCOPES = (EVERY_CALL, DOUBLES, ANSWERS, REOPENING)
"""What the questions may be limited to."""

NEAR_POINTS = 2
"""A hand that lacks no more than these points, and nothing else, nearly doubles."""

MAX_SEED = 2**32

_HIGHEST = Bid(5, HEARTS)
"""The highest call that the rules make: a raise of hearts after 4♠."""


def new_seed() -> int:
    """A random seed, unless one is given to repeat a quiz."""
    return secrets.randbelow(MAX_SEED)


def question(number: int, agreement: Agreement, seed: int, scope: str = EVERY_CALL) -> Question:
    """Question ``number`` (0, 1, ...) by an agreement; a pure function of its arguments.

    With the scope :data:`DOUBLES` every other question is of a hand that doubles, the others of
    hands that meet the double's rule or nearly do, and make another call.
    """
    coin, rule, place = np.random.SeedSequence(seed, spawn_key=(number,)).generate_state(3).tolist()
    b, column = _drawn(Batch(deal_block(seed, number), agreement), scope, bool(coin % 2))
    rules = np.unique(b[column])
    among = np.flatnonzero(b[column] == rules[rule % len(rules)])
    at = int(among[place % len(among)])
    opening, overcall = SEQUENCES[b["auction"][at]]
    later: tuple[Call, ...] = ()
    if column != "call":
        later = DOUBLED if column == "answer" else PASS, call_of(int(b["advancer_bid"][at]))
    auction = Auction(int(b["seat"][at]) - 1, opening, overcall, later)
    hand = int(b.cards[auction.seat_asked - 1, b["deal"][at]])
    return Question(hand, auction, agreement)


def _drawn(deals: Batch, scope: str, doubled: bool) -> tuple[Batch, str]:
    """What a scope's questions are drawn from, and the column of the rules that decide there.

    ``doubled``: of doubles, where half of them are. Without the double nobody doubles nor answers
    one: such an agreement is asked about as it is.
    """
    b, doubles = deals.at("overcalled"), deals.at("doubled")
    if scope == REOPENING:
        return deals.at("passed_round"), "reopening"
    if scope == ANSWERS and len(doubles):
        return doubles, "answer"
    if scope == DOUBLES and len(doubles):
        return (doubles if doubled else b.where(_nearly(b))), "call"
    return b.where(b["call"] != ABOVE_CEILING), "call"


def _nearly(b: Batch) -> NDArray[np.bool_]:
    """Which hands make another call, but would meet the double's rule with a few points more."""
    met = DOUBLE_RULE.almost(b.decided("response").situation, ENOUGH_POINTS, NEAR_POINTS)
    return met & (b["call"] != DOUBLE_CALL) & (b["call"] != ABOVE_CEILING)


def choices(asked: Question) -> list[Call]:
    """The calls to choose from: those that are legal, as high as the rules ever go."""
    last = max(call for call in asked.auction.calls if isinstance(call, Bid))
    # Partner's own double cannot be doubled.
    double = [] if asked.auction.later == (DOUBLED, PASS) else [DOUBLED]
    return [PASS, *double, *map(Bid.from_code, range(last.code + 1, _HIGHEST.code + 1))]


@dataclass(frozen=True)
class Verdict:
    """Whether a call is the agreement's, and the lines that say so and why."""

    right: bool
    lines: tuple[str, ...]


def verdict(asked: Question, call: Call) -> Verdict:
    """Judge ``call``: why the agreement's call is what it is, and what partner may hold."""
    made = reply(asked)
    right = call == made.call
    head = f"By this agreement {call_symbol(made.call)}, not {call_symbol(call)}."
    partner = matters(Answer(asked.cards, asked))
    return Verdict(right, ("Right." if right else head, made.because, partner, *why(made)))


@dataclass
class Score:
    """Questions answered, and those of them answered rightly."""

    right: int = 0
    answered: int = 0

    def add(self, right: bool) -> None:
        """Count one answer."""
        self.right += right
        self.answered += 1

    def __str__(self) -> str:
        return f"{self.right} right of {self.answered}"
