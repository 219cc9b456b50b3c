"""The draw of a lesson, checked: the hands drawn beside all the deals that they were drawn from.

Example deals, drawn by rule and not by taste: the first ordinary deal of each case that a run dealt.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE, NO_BID, PASS, Bid
from double_study.cards.deal import deal_block
from double_study.cards.notation import Auction
from double_study.columns import COLUMNS
from double_study.counting.run import Run
from double_study.counting.sampling import blocks_of
from double_study.lessons.case import ordinary
from double_study.lessons.lesson import Lesson
from double_study.lessons.pitfalls import PITFALLS, Pitfall
from double_study.lessons.search import search
from double_study.rules.auction import Auctions
from double_study.rules.response import REASON
from double_study.rules.terms import SEQUENCES
from double_study.stats import goodness_of_fit


def drawn_points(lesson: Lesson) -> pd.DataFrame:
    """Responder's total points: in all doubles of the lesson's search, and in the boards drawn.

    Meant for a lesson without cases or look-alikes, by the natural mix, which asks the responder.
    A row a number of points: ``deals`` that have it, their share (``estimate``), how many of the
    boards are ``expected`` to have it and how many ``drawn`` do.
    """
    lesson.check()
    found = search(lesson.seed, lesson.deals, lesson.agreement, progress=False)
    doubles = found.points[found.reason >= 0]
    points, deals = np.unique(doubles, return_counts=True)
    drawn = found.points[[pick.at for pick in lesson.draw(found)]]
    share = deals / deals.sum()
    return pd.DataFrame(
        {
            "total_points": points,
            "deals": deals,
            "estimate": share,
            "expected": share * len(drawn),
            "drawn": [int((drawn == number).sum()) for number in points],
        }
    )


def reading(table: pd.DataFrame) -> str:
    """What the table of :func:`drawn_points` says, in a sentence."""
    test = goodness_of_fit(table["drawn"], table["estimate"])
    return (
        f"{table['drawn'].sum()} boards were drawn from {table['deals'].sum():,} doubles. A fair draw "
        f"differs from the doubles' points by as much as this one, or by more, in "
        f"{test.p_value:.1%} of draws (chi-square, {test.df} degrees of freedom)."
    )


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
    passed over, and so are those that :mod:`double_study.lessons.case` leaves out. A case without
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
        COLUMNS["answer"].names[doubles.answer[at]],
        _bid(doubles.answer_bid[at]),
        COLUMNS["final_contract"].names[doubles.final_contract[at]],
        _bid(doubles.last_bid[at]),
    )


def _bid(code: np.int8) -> Bid | None:
    return None if code == NO_BID else Bid.from_code(int(code))
