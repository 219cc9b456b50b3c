"""Look-alikes: deals where the auction is that of a double and the hand nearly is, but it is none.

Boards of them are asked for by ``--decoys``. A new kind is one more entry of LOOK_ALIKES.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.after_overcall import GAME_LEVEL
from analysis.bidding.answer import jump_needs
from analysis.bidding.auction import Auctions
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.double import DOUBLE, ENOUGH_POINTS, PROMISED_LENGTH, one_short
from analysis.bidding.response import CALL
from analysis.bidding.stages import Doubles, Responses
from analysis.cards.bids import DIAMONDS, HEARTS, NO_BID, Bid, bid_code
from analysis.cards.hands import BoolArray
from analysis.lessons.case import OPENER, RESPONDER

_ONE_HEART = Bid(1, HEARTS).code


def _called(r: Responses, call: str) -> BoolArray:
    return r.call == CALL.code(call)


def _could_double(r: Responses) -> BoolArray:
    return DOUBLE.holds(r.situation)


def five_spades(r: Responses) -> BoolArray:
    """Deals where the responder bids 1♠ over 1♥."""
    return _called(r, "one_level_major") & (r.situation.overcall_bid == _ONE_HEART)


def _one_major(r: Responses) -> BoolArray:
    return _called(r, "one_level_major") & (np.asarray(r.situation.overcall) == DIAMONDS)


def _one_card_short(r: Responses) -> BoolArray:
    other = np.any([_called(r, call) for call in ("new_minor", "notrump", "raise_minor")], axis=0)
    return other & one_short(r.situation, PROMISED_LENGTH)


def _answered(d: Doubles, *names: str) -> BoolArray:
    return np.isin(d.answer, [ANSWER_GIVEN.code(name) for name in names])


def _undisturbed(d: Doubles) -> BoolArray:
    return d.advancer.bid == NO_BID


def _below_next_raise(d: Doubles) -> BoolArray:
    """Raises that one point more would have made higher: below game, where there is room."""
    needs, points = d.opener.agreement.answer, d.opener.hands.support_points
    room = d.answer_bid < bid_code(GAME_LEVEL.take(d.opener.longest_promised), 0)
    jump = _answered(d, "raise_minimum") & (points == jump_needs(d.opener) - 1)
    game = _answered(d, "raise_jump") & (points == needs.raise_game - 1)
    return (jump | (game & (d.opener.longest_promised >= HEARTS))) & room & _undisturbed(d)


def _three_only(d: Doubles) -> BoolArray:
    three = (d.opener.three_card_suit >= 0) & _undisturbed(d)
    return three & _answered(d, "own_suit", "second_suit", "notrump", "cue_bid")


@dataclass(frozen=True)
class LookAlike:
    """A kind of look-alike: its name, its wording, whom it asks, which deals are of it.

    ``responses`` looks at deals where the responder is asked, ``doubles`` at deals doubled, where
    opener is.
    """

    name: str
    wording: str
    responses: Callable[[Responses], BoolArray] | None = None
    doubles: Callable[[Doubles], BoolArray] | None = None

    @property
    def asks(self) -> str:
        """RESPONDER or OPENER."""
        return OPENER if self.responses is None else RESPONDER


LOOK_ALIKES = (
    LookAlike("five_spades", "five spades over 1♥, where the double denies five", five_spades),
    LookAlike(
        "penalty_pass",
        "shape and values for a double, but a hand that would rather defend",
        lambda r: _called(r, "penalty_pass") & _could_double(r),
    ),
    LookAlike(
        "just_under",
        "the right shape, one point under the values",
        lambda r: _called(r, "pass") & one_short(r.situation, ENOUGH_POINTS),
    ),
    LookAlike(
        "bid_the_major",
        "the length and the points to bid the major",
        lambda r: _called(r, "new_major") & _could_double(r),
    ),
    LookAlike(
        "raise_first",
        "four in the other major, but support for the major opened",
        lambda r: _called(r, "raise_major") & _could_double(r),
    ),
    LookAlike("one_major", "a major to bid at level 1 over 1♦", _one_major),
    LookAlike("one_card_short", "the values, one card short of the promise", _one_card_short),
    LookAlike(
        "below_next_raise",
        "four in support, one point under a higher raise",
        doubles=_below_next_raise,
    ),
    LookAlike(
        "three_only",
        "three in a promised major, where another call comes first",
        doubles=_three_only,
    ),
    LookAlike(
        "opener_defends",
        "a hand that leaves the double in",
        doubles=lambda d: _answered(d, "penalty_pass"),
    ),
)


def kinds_marked(auctions: Auctions) -> NDArray[np.int16]:
    """The kinds of look-alike of each deal with an overcall, as bits; int16 of shape (overcalls,)."""
    r, d = auctions.responses, auctions.doubles
    marks = np.zeros(len(r.rows), dtype=np.int16)
    for bit, kind in enumerate(LOOK_ALIKES):
        if kind.responses:
            marks |= kind.responses(r).astype(np.int16) << bit
        if kind.doubles:
            marks[d.rows] |= kind.doubles(d).astype(np.int16) << bit
    return marks


def look_alike_of(auctions: Auctions, asked: str) -> LookAlike | None:
    """The kind of look-alike that a single deal with an overcall is to whoever is asked, if any."""
    marks = kinds_marked(auctions)[0]
    kinds = [kind for bit, kind in enumerate(LOOK_ALIKES) if marks >> bit & 1]
    return next((kind for kind in kinds if kind.asks == asked), None)
