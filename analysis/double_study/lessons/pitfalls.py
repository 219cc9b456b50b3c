"""Common mistakes: cases of the double, each with the case that looks like it.

A pitfall is a choice of auctions and reasons, so the same definition picks its cells of the counts
and its deals among those that are dealt again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import CLUBS, DIAMONDS, HEARTS, Bid
from double_study.columns import COLUMNS
from double_study.counting.counts import CALL_COUNTS, DOUBLE_COUNTS, JUMP_TOO_WEAK
from double_study.counting.record import Counted
from double_study.rules.response import REASON
from double_study.rules.terms import (
    BOTH_MAJORS,
    BOTH_MINORS,
    FOUR_SPADES,
    OTHER_MAJOR,
    SEQUENCE,
    SEQUENCES,
    Overcalled,
    cheapest_level,
    every_sequence,
)

SequenceMask = NDArray[np.bool_]


def _calls(*names: str) -> Callable[[Counted, SequenceMask], int]:
    """Return deals on which the responder chose one of some calls after some sequences."""

    def deals(run: Counted, after: SequenceMask) -> int:
        table = run.tally[CALL_COUNTS.name].sum(axis=0)
        return int(table[after][:, [COLUMNS["call"].code(name) for name in names]].sum())

    return deals


def _doubles(run: Counted, after: SequenceMask, reasons: tuple[str, ...]) -> int:
    """Return doubles for some reasons after some sequences."""
    table = run.tally.along(DOUBLE_COUNTS, SEQUENCE, "reason")
    return int(table[after][:, [COLUMNS["reason"].code(reason) for reason in reasons]].sum())


def _too_weak(run: Counted, after: SequenceMask) -> int:
    return int(run.tally[JUMP_TOO_WEAK.name][after].sum())


def _says(message: int) -> Callable[[Overcalled], NDArray[np.bool_]]:
    return lambda s: s.message == message


def _after(opening: int, overcall: Bid) -> Callable[[Overcalled], NDArray[np.bool_]]:
    return lambda s: (np.asarray(s.opening) == opening) & (s.overcall_bid == overcall.code)


@dataclass(frozen=True)
class Pitfall:
    """A case that is easy to get wrong, and the case that looks like it.

    ``auctions`` selects the sequences of opening and overcall, ``reasons`` the reasons for the double,
    ``alike`` counts the hands that look like it after those sequences; ``title``, ``lesson`` and
    ``alike_title`` are for readers and hold under every agreement.
    """

    name: str
    title: str
    lesson: str
    alike_title: str
    auctions: Callable[[Overcalled], NDArray[np.bool_]]
    reasons: tuple[str, ...]
    alike: Callable[[Counted, SequenceMask], int]

    def after(self, agreement: Agreement) -> SequenceMask:
        """Return which of SEQUENCES belong to the case."""
        return np.broadcast_to(self.auctions(every_sequence(agreement)), (len(SEQUENCES),))

    def deals(self, run: Counted) -> int:
        """Return deals of the case."""
        return _doubles(run, self.after(run.agreement), self.reasons)

    def deals_alike(self, run: Counted) -> int:
        """Return deals of the case that looks like it."""
        return self.alike(run, self.after(run.agreement))


PITFALLS: tuple[Pitfall, ...] = (
    Pitfall(
        "five_hearts_too_light",
        "Five hearts or more, but too light to bid them",
        "Bidding the suit shows more strength or length than this; passing loses the suit. The "
        "double shows hearts, and the hand may bid them later.",
        "hearts bid at once",
        lambda s: _says(OTHER_MAJOR)(s) & s.promised[HEARTS],
        ("five_or_more",),
        _calls("new_major"),
    ),
    Pitfall(
        "four_and_strong",
        "A strong hand with four cards in the one major",
        "A double may be as strong as you like. A strong hand with only four cards in the major has "
        "no better start: it doubles first and shows its strength afterwards.",
        "five cards or more and the points to bid the major",
        _says(OTHER_MAJOR),
        ("four_and_strong",),
        _calls("new_major"),
    ),
    Pitfall(
        "exactly_four_spades",
        "Exactly four spades over 1♥",
        "With four spades the hand doubles; 1♠ shows five or more. A partnership that mixes the two "
        "cannot raise on three cards.",
        "five spades or more, which bid 1♠",
        _says(FOUR_SPADES),
        (COLUMNS["message"].names[FOUR_SPADES],),
        _calls("one_level_major"),
    ),
    Pitfall(
        "both_majors_over_diamonds",
        "Both majors after 1♣ (1♦)",
        "With four cards in each major the double shows both at once; a hand that can bid a major at "
        "level 1 bids it.",
        "one major bid at level 1",
        lambda s: _says(BOTH_MAJORS)(s) & _after(CLUBS, Bid(1, DIAMONDS))(s),
        ("both_suits",),
        _calls("one_level_major"),
    ),
    Pitfall(
        "both_minors",
        "Both minors when both majors were bid",
        "Neither major is left to show, so the double shows the two unbid suits, the minors.",
        "one minor bid as a new suit",
        _says(BOTH_MINORS),
        ("both_suits",),
        _calls("new_minor"),
    ),
    Pitfall(
        "jump_overcall",
        "A jump overcall",
        "The double needs the points for the level of the jump, not for the level of a simple "
        "overcall. A hand with enough for a simple overcall may have too little for the jump.",
        "the right shape, with enough points over a simple overcall but too few over the jump",
        lambda s: np.asarray(s.level) > cheapest_level(s.overcall, np.asarray(s.opening)),
        REASON.names,
        _too_weak,
    ),
)
