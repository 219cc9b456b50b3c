"""Every call of a sample of deals, one by one, beside what the exact side says of its class of hand.

Where the opener is not in first seat there are no exact frequencies to compare with, but the exact
side still says what each class of hands calls. The first deals of a run are dealt again and bid by
the sampler; seat by seat, opening, next hand's call and responder's call must be those of the
classes that the hands are in. One call that differs is a fault, so a machine that is right never
fails here.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import SEQUENCES
from analysis.bidding.auction import Auctions
from analysis.cards.bids import NO_BID, SEAT, SUITS
from analysis.cards.hand_classes import N_HCP, class_of
from analysis.cards.hands import Hands, Suit
from analysis.checking.family import Family
from analysis.counting.run import Run
from analysis.counting.sampling import BATCH_BLOCKS, blocks_of, cards_of
from analysis.exact.opening import opening_bids
from analysis.exact.overcall import next_hand_calls
from analysis.exact.responses import responder_calls

SAMPLE_BLOCKS = 20
"""Blocks whose deals are gone through, the first of the run: a million deals."""

STEPS = ("opening", "next hand's call", "responder's call")

Differ = tuple[NDArray[np.integer], NDArray[np.bool_]]
"""The opener's seat, 0 where nobody opened, and whether the call differs; shape (deals,) each."""


def deal_by_deal(run: Run) -> Family:
    """How many deals have a call that is not that of its class, by step and opener's seat.

    None should. A fault that shows in one deal of n is missed with chance (1 - 1/n)^deals.
    """
    blocks = blocks_of(run.tally.deals)[:SAMPLE_BLOCKS]
    classes, seats = ClassCalls(run.agreement), (0, *SEAT.names)
    counts = np.zeros((len(STEPS), len(seats)), dtype=np.int64)
    for start in range(0, len(blocks), BATCH_BLOCKS):
        cards = cards_of(run.record.seed, blocks[start : start + BATCH_BLOCKS])
        for step, (seat, differs) in enumerate(classes.differing(Auctions(cards, run.agreement))):
            counts[step] += np.bincount(seat[differs], minlength=len(seats))
    return Family(
        "calls deal by deal",
        [f"{step}, opener in seat {seat}" for step in STEPS for seat in seats],
        counts.ravel(),
        np.zeros(counts.size),
        sum(deals for _, deals in blocks),
    )


class ClassCalls:
    """What every class of hands calls at each step, as the exact side has it."""

    def __init__(self, agreement: Agreement) -> None:
        self._openings = [opening_bids(agreement, seat) for seat in SEAT.names]
        calls, bids = zip(*(next_hand_calls(agreement, suit) for suit in SUITS), strict=True)
        self._next_calls, self._overcalls = np.stack(calls), np.stack(bids)
        self._responses = np.stack(
            [
                responder_calls(agreement, opening, bid.denomination, bid.level)
                for opening, bid in SEQUENCES
            ]
        )

    def differing(self, auctions: Auctions) -> tuple[Differ, Differ, Differ]:
        """For each of :data:`STEPS` the deals that come to it, and where the sampler differs."""
        return self._at_opening(auctions), self._at_next_hand(auctions), self._at_response(auctions)

    def _at_opening(self, auctions: Auctions) -> Differ:
        opened = auctions.openings
        seat, bid = np.zeros(opened.seat.shape, np.int8), np.full(opened.bid.shape, NO_BID)
        for number in reversed(SEAT.names):
            hands = Hands(auctions.words[number - 1])
            bids = self._openings[number - 1][
                *_class(hands), _flag(hands.good_in(hands.longest(*SUITS)))
            ]
            seat = np.where(bids != NO_BID, number, seat)
            bid = np.where(bids != NO_BID, bids, bid)
        return opened.seat, (seat != opened.seat) | (bid != opened.bid)

    def _at_next_hand(self, auctions: Auctions) -> Differ:
        stage = auctions.next_hands
        hands = _hands(auctions, stage.rows, stage.seat + 1)
        place = (
            stage.suit,
            *_class(hands),
            *_flags(hands, hands.longest_but(stage.suit), stage.suit),
        )
        action, overcall = self._next_calls[place], self._overcalls[place]
        return stage.seat, (action != stage.action) | (overcall != stage.overcall)

    def _at_response(self, auctions: Auctions) -> Differ:
        stage = auctions.responses
        hands = _hands(auctions, stage.rows, stage.seat + 2)
        suit = np.array([bid.denomination for _, bid in SEQUENCES])[stage.sequence]
        call = self._responses[stage.sequence, *_class(hands), *_flags(hands, suit, suit)]
        return stage.seat, call != stage.call


def _hands(auctions: Auctions, rows: NDArray[np.intp], seat: NDArray[np.integer]) -> Hands:
    """The hands of ``rows`` in ``seat``, counted from 1 and round again after 4."""
    return Hands(auctions.words[(seat - 1) % SEAT.size, rows])


def _class(hands: Hands) -> tuple[NDArray[np.integer], NDArray[np.integer]]:
    """The number of each hand's shape, and its HCP."""
    shape, hcp = np.divmod(class_of(hands.words), N_HCP)
    return shape, hcp


def _flags(hands: Hands, good: Suit, stopped: Suit) -> tuple[NDArray[np.integer], ...]:
    """Whether one suit is good, and whether another is stopped."""
    return _flag(hands.good_in(good)), _flag(hands.stopper_in(stopped))


def _flag(yes: NDArray[np.bool_]) -> NDArray[np.integer]:
    return yes.astype(np.intp)
