"""An independent oracle for the bidding: the reference agreement read plainly, hand by hand.

Written from the text of the agreement alone and kept apart from the package, so that the
package's vectorised rules can be compared with it; slow on purpose. Each comment quotes the
sentence that the lines below it carry out, and a docstring says which reading was taken where
the text leaves a choice. A test may alter an attribute of REFERENCE.
"""

from plain.advancer import advancer
from plain.answers import answer, spade_raise
from plain.auction import Auction, whole_auction
from plain.contested import contested_answer, contested_end
from plain.continuation import resting_place
from plain.opening import opening, overcall
from plain.reopening import reopening
from plain.response import message, promised_suits, reason, response
from plain.words import REFERENCE, Hand, read_bid, read_hand

__all__ = [
    "REFERENCE",
    "Auction",
    "Hand",
    "advancer",
    "answer",
    "contested_answer",
    "contested_end",
    "message",
    "opening",
    "overcall",
    "promised_suits",
    "read_bid",
    "read_hand",
    "reason",
    "reopening",
    "response",
    "resting_place",
    "spade_raise",
    "whole_auction",
]
