"""Common mistakes: cases of the double, each with the case that looks like it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from double_study.agreements.reader import Agreement
from double_study.cards.bids import CLUBS, DIAMONDS, HEARTS, Bid
from double_study.cards.hands import BoolArray
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
    every_sequence,
)


@dataclass(frozen=True)
class Pitfall:
    """A case that is easy to get wrong, and the case that looks like it.

    ``auctions`` selects the sequences of opening and overcall, ``reasons`` the reasons for the double.
    After those sequences a hand that looks like it makes the call ``instead``; without one it has the
    right shape and too few points for a jump overcall. ``alike_title`` is for readers and holds under
    every agreement.
    """

    name: str
    alike_title: str
    auctions: Callable[[Overcalled], BoolArray]
    reasons: tuple[str, ...]
    instead: str = ""

    def _after(self, agreement: Agreement) -> BoolArray:
        """Return which of SEQUENCES belong to the case."""
        return np.broadcast_to(self.auctions(every_sequence(agreement)), (len(SEQUENCES),))

    def deals(self, run: Counted) -> int:
        table = run.tally.along(DOUBLE_COUNTS, SEQUENCE, "reason")[self._after(run.agreement)]
        return int(table[:, [COLUMNS["reason"].code(reason) for reason in self.reasons]].sum())

    def deals_alike(self, run: Counted) -> int:
        after = self._after(run.agreement)
        if not self.instead:
            return int(run.tally[JUMP_TOO_WEAK.name][after].sum())
        calls = run.tally[CALL_COUNTS.name].sum(axis=0)
        return int(calls[after, COLUMNS["call"].code(self.instead)].sum())


PITFALLS = (
    Pitfall(
        "five_hearts_too_light",
        "hearts bid at once",
        lambda s: (s.message == OTHER_MAJOR) & s.promised[HEARTS],
        ("five_or_more",),
        "new_major",
    ),
    Pitfall(
        "four_and_strong",
        "five cards or more and the points to bid the major",
        lambda s: s.message == OTHER_MAJOR,
        ("four_and_strong",),
        "new_major",
    ),
    Pitfall(
        "exactly_four_spades",
        "five spades or more, which bid 1♠",
        lambda s: s.message == FOUR_SPADES,
        ("exactly_four_spades",),
        "one_level_major",
    ),
    Pitfall(
        "both_majors_over_diamonds",
        "one major bid at level 1",
        lambda s: (
            (s.message == BOTH_MAJORS)
            & (np.asarray(s.opening) == CLUBS)
            & (s.overcall_bid == Bid(1, DIAMONDS).code)
        ),
        ("both_suits",),
        "one_level_major",
    ),
    Pitfall(
        "both_minors",
        "one minor bid as a new suit",
        lambda s: s.message == BOTH_MINORS,
        ("both_suits",),
        "new_minor",
    ),
    Pitfall(
        "jump_overcall",
        "the right shape, with enough points over a simple overcall but too few over the jump",
        lambda s: s.jump,
        REASON.names,
    ),
)
