"""An independent oracle for the bidding: the reference agreement read plainly, hand by hand.

Written from the text of the agreement alone and kept apart from the package, so that the
package's vectorised rules can be compared with it; slow on purpose. Each comment quotes the
sentence that the lines below it carry out, and a docstring says which reading was taken where
the text leaves a choice. ``played`` has it play by other settings.
"""

from plain.advancer import advancer
from plain.answers import answer, spade_raise
from plain.auction import Auction, whole_auction
from plain.contested import contested_answer, contested_end, overcaller_again
from plain.continuation import continuation_end, overcaller_after_answer
from plain.ending import End
from plain.opening import opening, overcall
from plain.reopening import reopening, reopening_name
from plain.response import message, promised_suits, reason, response
from plain.settings import SETTINGS, played, settings
from plain.words import Hand, read_bid, read_hand

__all__ = [
    "SETTINGS",
    "Auction",
    "End",
    "Hand",
    "advancer",
    "answer",
    "contested_answer",
    "contested_end",
    "continuation_end",
    "message",
    "opening",
    "overcall",
    "overcaller_after_answer",
    "overcaller_again",
    "played",
    "promised_suits",
    "read_bid",
    "read_hand",
    "reason",
    "reopening",
    "reopening_name",
    "response",
    "settings",
    "spade_raise",
    "whole_auction",
]
