"""What a call leads to, and how often the question comes up: by deals that the rules bid to the end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.asking.around_the_hand import both_bid, round_the_table, sample
from analysis.asking.odds import SEED, Odds
from analysis.asking.question import Question, Reply
from analysis.bidding.advancer import ADVANCER
from analysis.bidding.after_overcall import OPENING_BID, OVERCALL_BID
from analysis.bidding.auction import Auctions
from analysis.bidding.call_by_call import NO_CALL, call_code, call_codes
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.final_contract import DEFENDED, GOES_ON, THEIR_CONTRACT
from analysis.bidding.response import CALL, PENALTY_PASS_CALL
from analysis.cards.bids import DOUBLE, NO_BID, PASS, Bid
from analysis.cards.dealing import deal_block
from analysis.counting.sampling import blocks_of
from analysis.counting.tally import DEALS
from analysis.exact.responses import PROBABILITY
from analysis.exact.table import calls_kept, exact_table
from analysis.statistics.intervals import ESTIMATE, HIGH, LOW, wilson

WHAT = "what"
"""The column of what may come next, in words."""

COUNTED_DEALS = 1_000_000
"""Deals counted for how often a question comes up; a second or two."""

_RARE = 0.01
"""What is rarer than this is put together."""


@dataclass(frozen=True, eq=False)
class WhatNext:
    """What follows a double of the responder's: tables of words with estimate, low and high.

    ``deals`` around the hand are behind them. Advancer's calls, opener's answers, final contracts.
    """

    deals: int
    advancer: pd.DataFrame
    opener: pd.DataFrame
    contracts: pd.DataFrame


def what_next(question: Question, answer: Reply, chances: Odds) -> WhatNext | None:
    """What follows the responder's double; None after any other call."""
    if question.auction.opener_asked or answer.call != DOUBLE:
        return None
    hands = chances.hands
    if hands is None:
        hands = round_the_table(question, sample(question, both_bid(question), SEED))
    doubles = Auctions(hands, question.agreement).doubles
    advancer = zip(doubles.advancer.name.tolist(), doubles.advancer.bid.tolist(), strict=True)
    opener = zip(doubles.answer.tolist(), doubles.answer_bid.tolist(), strict=True)
    rests = zip(doubles.final_contract.tolist(), doubles.last_bid.tolist(), strict=True)
    overcall = question.auction.overcall.symbol
    return WhatNext(
        len(doubles.rows),
        _table(_call(ADVANCER.wordings[ADVANCER.names[name]], bid) for name, bid in advancer),
        _table(_call(ANSWER_GIVEN.label(ANSWER_GIVEN.names[name]), bid) for name, bid in opener),
        _table(_contract(rest, bid, overcall) for rest, bid in rests),
    )


def _call(wording: str, bid: int) -> str:
    """A call with what it says, such as ``2♥, raise with a minimum``."""
    if bid != NO_BID:
        return f"{Bid.from_code(bid).symbol}, {wording}"
    return wording if PASS in wording else DOUBLE


def _contract(rest: int, bid: int, overcall: str) -> str:
    """Where an auction rests, in a few words."""
    if rest == GOES_ON:
        return "goes on, not followed further"
    if rest == DEFENDED:
        return f"{overcall} doubled, defended"
    contract = Bid.from_code(bid).symbol
    return f"{contract}, theirs" if rest == THEIR_CONTRACT else contract


def _table(cases: Iterable[str]) -> pd.DataFrame:
    """How often each of some words comes, the most frequent first; rare ones together at the end."""
    counts = Counter(cases)
    total = counts.total()
    common = [(what, n) for what, n in counts.most_common() if n >= _RARE * total]
    if rest := total - sum(n for _, n in common):
        common.append(("anything rarer", rest))
    table = pd.DataFrame(common, columns=[WHAT, DEALS])
    table[ESTIMATE] = table[DEALS] / total
    table[LOW], table[HIGH] = wilson(table[DEALS], total)
    return table


def waiting(question: Question, chances: Odds) -> tuple[float, float, float] | None:
    """The chance that partner, who passed, waits with a penalty pass; None in any other seat."""
    if question.auction.later[:1] != (PASS,) or chances.hands is None:
        return None
    call = Auctions(chances.hands, question.agreement).responses.call
    waits, of = int((call == PENALTY_PASS_CALL).sum()), len(call)
    low, high = wilson(waits, of)
    return (waits / of if of else float("nan")), float(low), float(high)


@dataclass(frozen=True)
class HowOften:
    """The share of all deals that have the question's auction and the answer's call.

    ``counted`` of ``deals`` that were dealt at random had them, None where the share is exact.
    """

    share: float
    low: float
    high: float
    counted: int | None = None
    deals: int = COUNTED_DEALS


def how_often(question: Question, answer: Reply, deals: int = COUNTED_DEALS) -> HowOften:
    """How often the auction and the call come up: exactly where that is worked out, else counted."""
    auction = question.auction
    first_double = not auction.passes and not auction.later and answer.call == DOUBLE
    if first_double and calls_kept(question.agreement):
        table = exact_table(question.agreement, calls=True)
        row = table[
            (table[OPENING_BID] == str(auction.opening_bid))
            & (table[OVERCALL_BID] == str(auction.overcall))
            & (table[CALL] == DOUBLE)
        ]
        if len(row):
            share = float(row[PROBABILITY].iloc[0])
            return HowOften(share, share, share)
    last = NO_CALL if answer.call is None else call_code(answer.call)
    asked = np.array([*map(call_code, auction.calls), last], dtype=np.int8)
    counted = 0
    for block, kept in blocks_of(deals):
        made = call_codes(Auctions(deal_block(SEED, block)[:, :kept], question.agreement))
        counted += int((made[:, : len(asked)] == asked).all(axis=1).sum())
    low, high = wilson(counted, deals)
    return HowOften(counted / deals, float(low), float(high), counted, deals)
