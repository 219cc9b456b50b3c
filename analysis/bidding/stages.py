"""The stages of many auctions at once, as :class:`~analysis.bidding.auction.Auctions` works them out.

Each stage holds only the deals that reach it; ``rows`` says which those are. A bid is its code, or
:data:`~analysis.cards.bids.NO_BID`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.advancer import AdvancerSituation
from analysis.bidding.after_answer import RestSituation
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

Codes = NDArray[np.int8]
Rows = NDArray[np.intp]


@dataclass(frozen=True)
class Openings:
    """Every deal: ``seat`` of the opener (1 to 4, 0 passed out), code of the ``bid``; shape (n,)."""

    seat: Codes
    bid: Codes


@dataclass(frozen=True)
class NextHands:
    """Deals opened with one of a suit: the opener's hand, and what the next hand did.

    ``rows`` are positions among all deals; ``seat`` and ``suit`` are the opener's; ``call`` is a
    position in ``OVERCALL.names``, ``overcall`` the code of a suit overcall or NO_BID.
    """

    rows: Rows
    seat: Codes
    suit: Codes
    call: Codes
    overcall: Codes


@dataclass(frozen=True)
class Responses:
    """Deals with an overcall of a suit: opener's hand, and what the responder's rules say.

    ``rows`` are positions among all deals; ``pair`` is the position of opening and overcall in
    ``PAIRS``.
    """

    rows: Rows
    seat: Codes
    pair: Codes
    opener: Hands
    decided: Decided[Overcalled]

    @property
    def situation(self) -> Overcalled:
        """The responder's hand in the auction so far."""
        return self.decided.situation

    @cached_property
    def call(self) -> Codes:
        """The responder's call, a position in ``CALLS``."""
        return calls_of(self.decided)

    @cached_property
    def bid(self) -> Codes:
        """The code of the responder's bid, NO_BID for any other call and above the ceiling."""
        return np.where(self.call == ABOVE_CEILING, np.int8(NO_BID), self.decided.bid)


@dataclass(frozen=True)
class Undisturbed:
    """Doubles that the advancer passes; ``rows`` are positions among :class:`Doubles`."""

    rows: Rows
    answer: Decided[AnswerSituation]
    end: Decided[RestSituation]


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

    ``rows`` are positions among :class:`Responses`. ``reason`` is a position in ``REASON.names``,
    ``answer`` in ``ANSWERS``, ``rest`` in ``RESTS``; ``trumps`` are opener's
    and responder's cards in the suit last bid. Every double is in ``undisturbed`` or in
    ``contested``.
    """

    rows: Rows
    responder: Overcalled
    opener: AnswerSituation
    reason: Codes
    advancer: Decided[AdvancerSituation]
    undisturbed: Undisturbed
    contested: Contested
    answer: Codes
    answer_bid: Codes
    rest: Codes
    last_bid: Codes
    trumps: Codes


@dataclass(frozen=True)
class Passes:
    """Deals where the responder passed, to defend or for want of a call.

    ``rows`` are positions among :class:`Responses`; ``to_opener`` are positions among these, where
    the advancer passes, too, and ``opener`` says what the opener then does. ``reopening`` is a
    position in ``REOPENINGS``, one entry a pass of the responder's.
    """

    rows: Rows
    advancer: Decided[AdvancerSituation]
    to_opener: Rows
    opener: Decided[ReopeningSituation]
    reopening: Codes
