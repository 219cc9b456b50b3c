"""Example deals, drawn by rule and not by taste: the first ordinary deal of each case that a run dealt."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import SEQUENCES
from analysis.bidding.auction import Auctions
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import FINAL_CONTRACT
from analysis.cards.bids import DOUBLE, NO_BID, PASS, Bid
from analysis.cards.dealing import deal_block
from analysis.cards.notation import Auction
from analysis.counting.run import Run
from analysis.counting.sampling import blocks_of
from analysis.lessons.ordinary import ordinary
from analysis.lessons.pitfalls import PITFALLS, Pitfall


@dataclass(frozen=True)
class Example:
    """A deal of a case: where it was dealt, the hands (52 bits each, by seat), what was bid.

    The auction is that up to the advancer's call. ``answer_bid`` is None for a pass, ``last_bid``
    where the auction goes on.
    """

    block: int
    deal: int
    cards: tuple[int, ...]
    auction: Auction
    total_points: int
    answer: str
    answer_bid: Bid | None
    final_contract: str
    last_bid: Bid | None


def examples(run: Run) -> dict[str, Example]:
    """By the name of each of PITFALLS that came up: its first deal.

    First in the order of blocks and of deals within a block; a deal shown for an earlier case is
    passed over, and so are those that :mod:`analysis.lessons.ordinary` leaves out. A case without
    any other deal has none.
    """
    drawn: dict[str, Example] = {}
    for case in PITFALLS:
        shown = {(example.block, example.deal) for example in drawn.values()}
        for block, deals in blocks_of(run.record.deals) if case.deals(run) else ():
            auctions = _auctions(run.record.seed, block, deals, run.agreement)
            places = (
                at for at in _deals_of(case, auctions) if (block, _deal(auctions, at)) not in shown
            )
            at = next(places, None)
            if at is not None:
                drawn[case.name] = _example(auctions, block, at)
                break
    return drawn


def _deals_of(case: Pitfall, auctions: Auctions) -> list[int]:
    """The doubles of a case, by their places among all doubles."""
    doubles, after = auctions.doubles, case.after(auctions.agreement)
    reasons = [REASON.names.index(reason) for reason in case.reasons]
    of_case = after[auctions.responses.sequence[doubles.rows]] & np.isin(doubles.reason, reasons)
    return np.flatnonzero(of_case & ordinary(auctions)[doubles.rows]).tolist()


def _deal(auctions: Auctions, at: int) -> int:
    """The number of a double's deal in its block."""
    return int(auctions.responses.rows[auctions.doubles.rows[at]])


@lru_cache(maxsize=2)
def _auctions(seed: int, block: int, deals: int, agreement: Agreement) -> Auctions:
    return Auctions(deal_block(seed, block)[:, :deals], agreement)


def _example(auctions: Auctions, block: int, at: int) -> Example:
    doubles, responses = auctions.doubles, auctions.responses
    row = doubles.rows[at]
    opening, overcall = SEQUENCES[responses.sequence[row]]
    deal = _deal(auctions, at)
    advancer = _bid(doubles.advancer.bid[at])
    return Example(
        block,
        deal,
        tuple(auctions.cards[:, deal].tolist()),
        Auction(int(responses.seat[row]) - 1, opening, overcall, (DOUBLE, advancer or PASS)),
        int(doubles.responder.total_points[at]),
        ANSWER_GIVEN.names[doubles.answer[at]],
        _bid(doubles.answer_bid[at]),
        FINAL_CONTRACT.names[doubles.final_contract[at]],
        _bid(doubles.last_bid[at]),
    )


def _bid(code: np.int8) -> Bid | None:
    return None if code == NO_BID else Bid.from_code(int(code))
