"""Example deals, drawn by rule: the first deal of each case that a run dealt and that may be shown."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE, NO_BID, PASS, Bid
from double_study.cards.deal import deal_block
from double_study.cards.notation import Auction
from double_study.columns import COLUMNS
from double_study.counting.record import Counted
from double_study.counting.run import blocks_of
from double_study.lessons.pitfalls import PITFALLS, Pitfall
from double_study.lessons.teachable import may_be_shown
from double_study.rules.batch import Batch
from double_study.rules.response import REASON
from double_study.rules.terms import SEQUENCES


@dataclass(frozen=True)
class Example:
    """A deal of a case: where it was dealt, the hands (52 bits each, by seat), what was bid.

    The auction is that up to the advancer's call. ``answer_bid`` is None for a pass or a double.
    """

    block: int
    deal: int
    cards: tuple[int, ...]
    auction: Auction
    total_points: int
    answer: str
    answer_bid: Bid | None
    final_contract: str
    last_bid: Bid


def examples(run: Counted) -> dict[str, Example]:
    """By the name of each of PITFALLS that came up: its first deal.

    First in the order of blocks and of deals within a block; a deal shown for an earlier case is
    passed over, and so are those that :mod:`double_study.lessons.teachable` leaves out. A case without
    any other deal has none.
    """
    drawn: dict[str, Example] = {}
    for case in PITFALLS:
        shown = {(example.block, example.deal) for example in drawn.values()}
        for block, deals in blocks_of(run.record.deals) if case.deals(run) else ():
            doubles = _doubles_of(case, _batch(run.record.seed, block, deals, run.agreement))
            new = [(block, deal) not in shown for deal in doubles["deal"].tolist()]
            if any(new):
                drawn[case.name] = _example(doubles.where(np.flatnonzero(new)[:1]), block)
                break
    return drawn


def _doubles_of(case: Pitfall, deals: Batch) -> Batch:
    """The doubles of a case that may be shown."""
    b, reasons = deals.at("doubled"), [REASON.names.index(reason) for reason in case.reasons]
    after = case.after(deals.agreement)[b["auction"]]
    shown = may_be_shown(deals.at("overcalled"))[b.rows]
    return b.where(after & np.isin(b["reason"], reasons) & shown)


@lru_cache(maxsize=2)
def _batch(seed: int, block: int, deals: int, agreement: Agreement) -> Batch:
    return Batch(deal_block(seed, block)[:, :deals], agreement)


def _example(b: Batch, block: int) -> Example:
    """The example that a batch of one double is."""
    opening, overcall = SEQUENCES[b["auction"][0]]
    deal, advancer = int(b["deal"][0]), _bid(b["advancer_bid"][0])
    return Example(
        block,
        deal,
        tuple(b.cards[:, deal].tolist()),
        Auction(int(b["seat"][0]) - 1, opening, overcall, (DOUBLE, advancer or PASS)),
        int(b["total_points"][0]),
        COLUMNS["answer"].names[b["answer"][0]],
        _bid(b["answer_bid"][0]),
        COLUMNS["final_contract"].names[b["final_contract"][0]],
        Bid.from_code(int(b["last_bid"][0])),
    )


def _bid(code: np.int8) -> Bid | None:
    return None if code == NO_BID else Bid.from_code(int(code))
