"""Which deals a class is shown: those that the written rules follow to an end a table might reach.

The rules stop in some contracts where a table would go on. So a deal is left out if opener or
responder has a suit of eight cards or more, or if the two hold the points for game in notrump and
to spare and yet, after a double, the auction ends in a part-score or in the opponents' contract.
Opponents may have such suits: an overcall at level four is made on one.
Boards, examples and the hands of the lesson plan only illustrate: no frequency of the study rests
on them.
"""

from __future__ import annotations

import numpy as np

from analysis.bidding.auction import Auctions
from analysis.bidding.final_contract import (
    PART_FIT,
    PART_NO_FIT,
    PART_NOTRUMP,
    THEIR_CONTRACT,
)
from analysis.cards.hands import BoolArray

_FREAK_LENGTH = 8
_COMBINED_HCP = 26
_BELOW_GAME = (PART_FIT, PART_NO_FIT, PART_NOTRUMP, THEIR_CONTRACT)

LEFT_OUT = (
    "Left out are deals on which the written rules stop where a table would go on: opener and "
    f"responder with {_COMBINED_HCP} HCP or more together, in a part-score or in the opponents' "
    f"contract after a double. Left out are, too, those where one of them has a suit of "
    f"{_FREAK_LENGTH} cards or more. What is shown only illustrates: no frequency of the study rests on it."
)


def ordinary(auctions: Auctions) -> BoolArray:
    """Whether the deals with an overcall may be shown; shape (overcalls,)."""
    r, d = auctions.responses, auctions.doubles
    opener, responder = r.opener, r.situation.hands
    longest = np.maximum(opener.lengths, responder.lengths).max(axis=0)
    stops = np.zeros(len(r.rows), dtype=np.bool_)
    stops[d.rows] = np.isin(d.final_contract, _BELOW_GAME)
    return (longest < _FREAK_LENGTH) & ~(stops & (opener.hcp + responder.hcp >= _COMBINED_HCP))
