"""The final contracts of the doubles: who plays what, on what fit, with what points."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from analysis.bidding.advancer import ADVANCER_CALL
from analysis.bidding.after_overcall import LEVEL, SEQUENCE
from analysis.bidding.auction import Auctions
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.final_contract import DECLARER, FINAL_CONTRACT, FIT_TRUMPS
from analysis.bidding.stages import Doubles
from analysis.cards.hand_classes import MAX_PARTNERSHIP_HCP
from analysis.counting.tally import Count
from analysis.vocabulary.dimension import Numbers

MOST_OVER = 4
"""Tricks bid above or below the combined trumps that are still told apart."""

BOTH_HCP = Numbers(
    "combined_hcp",
    "both hands' HCP",
    "High-card points of opener and responder together.",
    range(MAX_PARTNERSHIP_HCP + 1),
    "points",
)
LAST_LEVEL = Numbers(
    "last_level", "last bid's level", "The level of the last bid; 0 for none.", range(8), "level"
)
OVER_TRUMPS = Numbers(
    "over_trumps",
    "tricks bid above trumps",
    "Tricks bid above the combined trumps; the lowest and highest values stand for all beyond.",
    range(-MOST_OVER, MOST_OVER + 1),
    "tricks",
)
TRUMPS = Numbers("trumps", "trumps", "Both hands' cards in the suit last bid.", range(14), "cards")
LONGEST_FIT = Numbers(
    "longest_fit",
    "longest fit",
    "The most cards that both hands have in a suit.",
    range(14),
    "cards",
)
IN_FIT = Numbers("in_fit", "in a fit", "1 where the suit last bid is a fit, else 0.", range(2))


def sequence_of(a: Auctions) -> ArrayLike:
    """The opening and overcall of each deal that was doubled."""
    return a.responses.sequence[a.doubles.rows]


def _level(d: Doubles) -> np.ndarray:
    """The level of the overcall."""
    return np.broadcast_to(d.responder.level, d.trumps.shape)


def _last_level(d: Doubles) -> ArrayLike:
    """The level of the last bid, 0 where the auction goes on."""
    return np.where(d.last_bid < 0, 0, d.last_bid // 5 + 1)


def _combined(d: Doubles) -> np.ndarray:
    return d.responder.hands.lengths + d.opener.hands.lengths


def _best_fits(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    fit = d.trumps >= FIT_TRUMPS, _combined(d).max(axis=0)
    return _level(d), d.advancer_call, d.final_contract, _last_level(d), *fit


def _contracts(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    contract = d.final_contract, d.declarer, _last_level(d), d.trumps
    return _level(d), d.advancer_call, *contract


def _combined_hcp(d: Doubles) -> np.ndarray:
    return d.responder.hands.hcp + d.opener.hands.hcp


def _landing_points(a: Auctions) -> tuple[ArrayLike, ...]:
    """Tricks bid in a suit above the combined trumps in it, beside the combined points."""
    d = a.doubles
    rows = np.flatnonzero(d.trumps > 0)
    over = d.last_bid[rows] // 5 + 7 - d.trumps[rows]
    over = np.clip(over, -MOST_OVER, MOST_OVER)
    return _level(d)[rows], d.final_contract[rows], over, _combined_hcp(d)[rows]


CONTRACTS = Count(
    "contracts",
    (LEVEL, ADVANCER_CALL, FINAL_CONTRACT, DECLARER, LAST_LEVEL, TRUMPS),
    _contracts,
)
BEST_FITS = Count(
    "best_fits",
    (LEVEL, ADVANCER_CALL, FINAL_CONTRACT, LAST_LEVEL, IN_FIT, LONGEST_FIT),
    _best_fits,
)
COMBINED_HCP = Count(
    "combined_hcp",
    (SEQUENCE, ANSWER_GIVEN, BOTH_HCP),
    lambda a: (sequence_of(a), a.doubles.answer, _combined_hcp(a.doubles)),
)
LANDING_POINTS = Count(
    "landing_points", (LEVEL, FINAL_CONTRACT, OVER_TRUMPS, BOTH_HCP), _landing_points
)

CONTRACT_COUNTS = (CONTRACTS, BEST_FITS, COMBINED_HCP, LANDING_POINTS)
"""The tables of what the doubles come to."""
