"""The questions of the quiz, from random deals, and the verdicts on a player's calls.

Each question first draws one of the rules that decided a call in a block of deals, then one of the
hands it decided, so that rare calls are asked about as often as common ones.
"""

import secrets

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.asking.answer import Answer, matters, why
from double_study.asking.question import Question, reply
from double_study.cards.bids import DOUBLE, HEARTS, PASS, Bid, Call, call_symbol, legal_calls
from double_study.cards.deal import deal_block
from double_study.cards.notation import Auction
from double_study.numbers_in_words import listed
from double_study.rules.auction import call_of
from double_study.rules.batch import Batch
from double_study.rules.explain import Reply, call_by
from double_study.rules.response import ABOVE_CEILING, DOUBLE_CALL, DOUBLE_RULE, ENOUGH_POINTS
from double_study.rules.terms import SEQUENCES

SCOPES = {
    "calls": "responder: any call",
    "doubles": "responder: doubles and look-alikes",
    "answers": "opener: the answer to the double",
    "pass-out": "opener: to reopen or not",
    "fourth-hand": "the fourth hand, over the double",
}
"""The scopes to which questions may be limited, by the names that commands use."""
_COLUMNS = {"answers": "answer", "pass-out": "reopening", "fourth-hand": "advancer"}
"""The columns of the scopes that ask for no response."""
STAGE_OF = {
    "call": "overcalled",
    "answer": "doubled",
    "reopening": "passed_round",
    "advancer": "doubled",
}
"""The stage of the auction at which a call of each column is made."""

NEAR_POINTS = 2
"""A hand that lacks no more than these points, and nothing else, nearly doubles."""

MAX_SEED = 2**32

_HIGHEST = Bid(5, HEARTS)
"""The highest call that the rules make: a raise of hearts after 4♠."""


def new_seed() -> int:
    return secrets.randbelow(MAX_SEED)


def column_of(scope: str, agreement: Agreement) -> str:
    """Return the column of rules from which a scope draws its questions.

    Under an agreement without the double nobody doubles or answers a double, so every scope
    except ``pass-out`` consists of the responder's calls.
    """
    played = agreement.response.double or scope == "pass-out"
    return _COLUMNS.get(scope, "call") if played else "call"


def question(number: int, agreement: Agreement, seed: int, scope: str = "calls") -> Question:
    """Return question ``number`` (0, 1, ...) under an agreement; a pure function of its arguments.

    With the scope ``doubles`` every other question has a hand that doubles; the others have hands
    that meet, or nearly meet, the rule of the double but make another call.
    """
    coin, rule, place = np.random.SeedSequence(seed, spawn_key=(number,)).generate_state(3).tolist()
    column = column_of(scope, agreement)
    b = Batch(deal_block(seed, number), agreement).at(STAGE_OF[column])
    if scope == "doubles" and agreement.response.double:
        b = b.where(b["call"] == DOUBLE_CALL) if coin % 2 else b.where(_nearly(b))
    elif column == "call":
        b = b.where(b["call"] != ABOVE_CEILING)
    rules = np.unique(b[column])
    among = np.flatnonzero(b[column] == rules[rule % len(rules)])
    at = int(among[place % len(among)])
    opening, overcall = SEQUENCES[b["auction"][at]]
    later: tuple[Call, ...] = () if column == "call" else (DOUBLE,)
    if column in ("answer", "reopening"):
        later = DOUBLE if column == "answer" else PASS, call_of(int(b["advancer_bid"][at]))
    auction = Auction(int(b["seat"][at]) - 1, opening, overcall, later)
    hand = int(b.cards[auction.seat_asked - 1, b["deal"][at]])
    return Question(hand, auction, agreement)


def _nearly(b: Batch) -> NDArray[np.bool_]:
    """Return which hands make another call, but would double with a few points more."""
    met = DOUBLE_RULE.almost(b.decided("response").situation, ENOUGH_POINTS, NEAR_POINTS)
    return met & (b["call"] != DOUBLE_CALL) & (b["call"] != ABOVE_CEILING)


def choices(asked: Question) -> list[Call]:
    """Return the calls to choose from: the legal ones, as high as the rules ever bid."""
    return legal_calls(asked.auction.calls, _HIGHEST)


def why_in_one_sentence(made: Reply, call: Call) -> str:
    """Explain the agreement's call and, if ``call`` is another, what the hand lacks for that."""
    above = (rule for rule in made.above if call == call_by(rule.rule, rule.bid))
    passed = next((rule for rule in above if rule.missed), None)
    if call in (made.call, PASS) or passed is None:
        return made.because
    lacking = passed.lacking.removesuffix(f" for {call_symbol(call)}").split("; ")
    other = "a double" if call == DOUBLE else call_symbol(call)
    return f"{made.because.removesuffix('.')}; for {other} you need {listed(lacking)}."


def verdict(asked: Question, call: Call) -> tuple[bool, list[str]]:
    """Return whether the agreement makes ``call``, and lines that explain its own call and say what
    partner may hold.
    """
    made = reply(asked)
    right = call == made.call
    head = f"Under this agreement the call is {call_symbol(made.call)}, not {call_symbol(call)}."
    partner = matters(Answer(asked.cards, asked))
    because = why_in_one_sentence(made, call)
    return right, ["Right." if right else head, because, partner, *why(made)]
