"""The questions of the quiz: a hand and an auction as dealt, a call, and what the rules say to it.

Each question first draws one of the rules that some hand of a block of deals came under, then one
of those hands, so that rare calls are asked about as often as common ones.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.asking.answer import Answer
from analysis.asking.answer_text import matters, why
from analysis.asking.question import Question
from analysis.asking.reasons import because
from analysis.bidding.after_overcall import SEQUENCES
from analysis.bidding.auction import Auctions
from analysis.bidding.double import DOUBLE
from analysis.bidding.response import ABOVE_CEILING, DOUBLE_CALL
from analysis.bidding.stages import Responses
from analysis.cards.bids import DOUBLE as DOUBLED
from analysis.cards.bids import PASS, Bid, call_symbol
from analysis.cards.dealing import deal_block
from analysis.cards.notation import Auction

EVERY_CALL, DOUBLES = "every call", "doubles and near misses"
SCOPES = (EVERY_CALL, DOUBLES)
"""What the questions may be limited to."""

NEAR_POINTS = 2
"""A hand that lacks no more than these points, and nothing else, nearly doubles."""

MAX_SEED = 2**32

_HIGHEST = Bid.parse("5H")
"""The highest call that the rules make: a raise of hearts after 4♠."""
_BLOCKS_TRIED = 100


def new_seed() -> int:
    """A seed that nobody chose, so that a quiz starts anew; one may be given to put one again."""
    return secrets.randbelow(MAX_SEED)


def question(number: int, agreement: Agreement, seed: int, scope: str = EVERY_CALL) -> Question:
    """Question ``number`` (0, 1, ...) by an agreement; a pure function of its arguments.

    With the scope :data:`DOUBLES` every other question is of a hand that doubles, the others of
    hands that meet the double's rule or nearly do, and make another call.
    """
    cards = deal_block(seed, number)
    responses = Auctions(cards, agreement).responses
    rule, place = np.random.SeedSequence(seed, spawn_key=(number,)).generate_state(2).tolist()
    chosen = responses.call != ABOVE_CEILING
    if scope == DOUBLES:
        doubles, near = responses.call == DOUBLE_CALL, nearly(responses)
        # An agreement without the double has neither, and is asked about as it is.
        chosen = (doubles if rule % 2 else near) if doubles.any() else chosen
    rules = np.unique(responses.call[chosen])
    rows = np.flatnonzero(chosen & (responses.call == rules[(rule // 2) % len(rules)]))
    row = rows[place % len(rows)]
    seat, (opening, overcall) = int(responses.seat[row]), SEQUENCES[responses.sequence[row]]
    hand = int(cards[(seat + 1) % 4, responses.rows[row]])
    return Question(hand, Auction(seat - 1, opening, overcall), agreement)


def nearly(responses: Responses) -> NDArray[np.bool_]:
    """Which hands make another call, but would meet the double's rule with a few points more."""
    situation = responses.situation
    easier = situation.agreement
    for key, _, value in situation.agreement.settings():
        if key.startswith("response.double_") and isinstance(value, int):
            easier = easier.changed(key, max(value - NEAR_POINTS, 0))
    met = DOUBLE.holds(replace(situation, agreement=easier))
    return met & (responses.call != DOUBLE_CALL) & (responses.call != ABOVE_CEILING)


def choices(asked: Question) -> list[str]:
    """The calls to choose from."""
    higher = range(asked.auction.overcall.code + 1, _HIGHEST.code + 1)
    return [PASS, DOUBLED, *(str(Bid.from_code(code)) for code in higher)]


@dataclass(frozen=True)
class Verdict:
    """Whether a call is the agreement's, and the lines that say so and why."""

    right: bool
    lines: tuple[str, ...]


def verdict(asked: Question, call: str) -> Verdict:
    """Judge ``call``: why the agreement's call is what it is, and what partner may hold."""
    answer = Answer(asked.cards, asked)
    made = answer.reply.call if answer.reply else None
    right = call == made
    head = "Right." if right else f"By this agreement {call_symbol(made)}, not {call_symbol(call)}."
    return Verdict(right, (head, because(asked), matters(answer), *why(asked)))


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
