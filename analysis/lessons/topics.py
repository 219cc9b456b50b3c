"""What a lesson has as one topic: what the double promises, and over which level.

A promise and a level settle the rule, so a teacher explains them together; the reasons for which
hands double are the parts of a topic. Levels three and four, where the double needs an opening bid's
worth, are taught as one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import FOUR_SPADES, MESSAGE, SEQUENCES, every_sequence
from analysis.bidding.double import PROMISES, double_needs, values
from analysis.cards.hands import BoolArray
from analysis.lessons.case import Case
from analysis.vocabulary.dimension import Dimension
from analysis.vocabulary.numerals import listed

_NO_MAJOR_BID = ("both_minors", MESSAGE.names[FOUR_SPADES])
"""Promises that a longer major does not keep."""


@dataclass(frozen=True)
class Topic:
    """A promise of the double, one of MESSAGE, over overcalls at some levels."""

    message: str
    levels: tuple[int, ...]

    @property
    def name(self) -> str:
        """Its name in tables."""
        return f"{self.message}_{self.levels[0]}"

    @property
    def wording(self) -> str:
        """Its name for readers."""
        higher = " or higher" if len(self.levels) > 1 else ""
        return f"{MESSAGE.wording(self.message)}, level {self.levels[0]}{higher}"

    def cases(self, agreement: Agreement) -> tuple[Case, ...]:
        """Its cases, a level each, as far as the double reaches."""
        every = (Case(self.message, str(level)) for level in self.levels)
        return tuple(case for case in every if case.sequences(agreement).any())

    def sequences(self, agreement: Agreement) -> BoolArray:
        """Which of SEQUENCES it is about; shape (42,)."""
        nowhere = np.zeros(len(SEQUENCES), dtype=np.bool_)
        cases = self.cases(agreement)
        return np.any([nowhere, *(case.sequences(agreement) for case in cases)], axis=0)

    def rule(self, agreement: Agreement) -> str:
        """The rule of the double, the part that applies here, in one line."""
        s = every_sequence(agreement)
        needs = double_needs(agreement, s.level, s.overcall)
        overcalls: dict[int, dict[str, None]] = {}
        for at in np.flatnonzero(self.sequences(agreement)):
            overcalls.setdefault(int(needs[at]), {})[SEQUENCES[at][1].symbol] = None
        points = (
            values(min(overcalls))
            if len(overcalls) == 1
            else "total points enough for the overcall: "
            + listed(f"{need} over {listed(bids)}" for need, bids in sorted(overcalls.items()))
        )
        longer = (
            ""
            if self.message in _NO_MAJOR_BID
            else " A major of five or more is bid instead where the points and the room allow it."
        )
        return f"Double with {PROMISES[self.message]} and {points}.{longer}"


TOPICS = tuple(
    Topic(message, levels) for message in MESSAGE.names for levels in ((1,), (2,), (3, 4))
)
TOPIC = Dimension(
    "topic",
    "topic",
    "What a lesson has as one topic: what the double promises, and the level of the overcall.",
    {topic.name: topic.wording for topic in TOPICS},
)
TOPIC_OF = {(topic.message, level): topic for topic in TOPICS for level in topic.levels}
"""The topic of each message and level."""
