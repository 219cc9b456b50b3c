"""The stages of many auctions at once, as :class:`~analysis.bidding.auction.Auctions` works them out.

Each stage holds only the deals that reach it; ``rows`` says which those are. A bid is its code, or
:data:`~analysis.cards.bids.NO_BID`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NewType

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.advancer import AdvancerSituation
from analysis.bidding.after_answer import AfterAnswer
from analysis.bidding.after_overcall import Overcalled
from analysis.bidding.answer import AnswerSituation
from analysis.bidding.contested_answer import ContestedSituation
from analysis.bidding.contested_end import ContestedEndSituation
from analysis.bidding.overcaller_again import OvercallerSituation
from analysis.bidding.reopening import ReopeningSituation
from analysis.bidding.response import ABOVE_CEILING, calls_of
from analysis.bidding.rules import Decided
from analysis.cards.bids import NO_BID
from analysis.cards.hands import Hands

Rows = NewType("Rows", NDArray[np.intp])
"""Positions among the deals of an earlier stage."""

# Each kind of small whole number has a type of its own: none may be taken for another.
Seats = NewType("Seats", NDArray[np.int8])
"""Seats from the dealer, 1 to 4; 0 for none."""
Suits = NewType("Suits", NDArray[np.int8])
BidCodes = NewType("BidCodes", NDArray[np.int8])
Actions = NewType("Actions", NDArray[np.int8])
"""Codes of ``ACTION``, the next hand's call."""
Sequences = NewType("Sequences", NDArray[np.int8])
"""Codes of ``SEQUENCE``, positions in ``SEQUENCES``."""
Calls = NewType("Calls", NDArray[np.int8])
"""Codes of ``CALL``, the responder's."""
Reasons = NewType("Reasons", NDArray[np.int8])
"""Codes of ``REASON_GIVEN``."""
Answers = NewType("Answers", NDArray[np.int8])
"""Codes of ``ANSWER_GIVEN``."""
Contracts = NewType("Contracts", NDArray[np.int8])
"""Codes of ``FINAL_CONTRACT``."""
Declarers = NewType("Declarers", NDArray[np.int8])
"""Codes of ``DECLARER``."""
AdvancerCalls = NewType("AdvancerCalls", NDArray[np.int8])
"""Codes of ``ADVANCER_CALL``."""
Reopenings = NewType("Reopenings", NDArray[np.int8])
"""Codes of ``REOPENING_CALL``."""


@dataclass(frozen=True)
class Openings:
    """Every deal: ``seat`` of the opener, 0 where all passed, and its ``bid``; shape (n,)."""

    seat: Seats
    bid: BidCodes


@dataclass(frozen=True)
class NextHands:
    """Deals opened with one of a suit: the opener's hand, and what the next hand did.

    ``rows`` are positions among all deals; ``seat`` and ``suit`` are the opener's; ``action`` is
    what the next hand did, ``overcall`` its bid where that was an overcall of a suit.
    """

    rows: Rows
    seat: Seats
    suit: Suits
    action: Actions
    overcall: BidCodes


@dataclass(frozen=True)
class Responses:
    """Deals with an overcall of a suit: opener's hand, and what the responder's rules say.

    ``rows`` are positions among all deals; ``sequence`` is the opening and the overcall.
    """

    rows: Rows
    seat: Seats
    sequence: Sequences
    opener: Hands
    decided: Decided[Overcalled]

    @property
    def situation(self) -> Overcalled:
        """The responder's hand in the auction so far."""
        return self.decided.situation

    @cached_property
    def call(self) -> Calls:
        """The responder's call."""
        return Calls(calls_of(self.decided))

    @cached_property
    def bid(self) -> BidCodes:
        """The responder's bid, NO_BID for any other call and above the ceiling."""
        return BidCodes(np.where(self.call == ABOVE_CEILING, np.int8(NO_BID), self.decided.bid))


@dataclass(frozen=True)
class Undisturbed:
    """Doubles that the advancer passes; ``rows`` are positions among :class:`Doubles`."""

    rows: Rows
    answer: Decided[AnswerSituation]
    end: Decided[AfterAnswer]


@dataclass(frozen=True)
class Contested:
    """Doubles over which the advancer bids; ``rows`` are positions among :class:`Doubles`."""

    rows: Rows
    answer: Decided[ContestedSituation]
    overcaller: Decided[OvercallerSituation]
    end: Decided[ContestedEndSituation]


@dataclass(frozen=True)
class Doubles:
    """Deals where the responder doubled: everything that follows.

    ``rows`` are positions among :class:`Responses`; ``trumps`` are opener's and responder's cards
    in the suit last bid. Every double is in ``undisturbed`` or in ``contested``.
    """

    rows: Rows
    responder: Overcalled
    opener: AnswerSituation
    reason: Reasons
    advancer: Decided[AdvancerSituation]
    undisturbed: Undisturbed
    contested: Contested
    answer: Answers
    answer_bid: BidCodes
    final_contract: Contracts
    declarer: Declarers
    last_bid: BidCodes
    trumps: NDArray[np.int8]

    @property
    def advancer_call(self) -> AdvancerCalls:
        """The advancer's call over the double."""
        return AdvancerCalls(self.advancer.name)


@dataclass(frozen=True)
class Passes:
    """Deals where the responder passed, for penalties or for want of a call, or would pass.

    ``rows`` are positions among :class:`Responses`; ``to_opener`` are positions among these, where
    the advancer passes, too, and ``opener`` says what the opener then does. ``reopening`` has
    one entry a pass of the responder's.
    """

    rows: Rows
    advancer: Decided[AdvancerSituation]
    to_opener: Rows
    opener: Decided[ReopeningSituation]
    reopening: Reopenings

    @property
    def advancer_call(self) -> AdvancerCalls:
        """The advancer's call over the pass."""
        return AdvancerCalls(self.advancer.name)
