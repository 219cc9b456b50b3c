"""The cases of a lesson: the doubles a teacher asks for, and the deals a class sees.

A case is written ``message=other_major,level=2,reason=five_or_more``; what it leaves out may be
anything. Besides the messages of the double there is :data:`FIVE_SPADES`, a question for opener
alone: 1♠ over 1♥ showed five spades, and opener holds three or more, so raises.

A *topic* is what the double promises and over which level: a teacher explains these together, and the
reasons for which hands double are its parts. For readers it is named by its auctions.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass, fields

import numpy as np

from double_study.agreements.reader import Agreement
from double_study.cards.bids import Bid
from double_study.cards.hands import CLASS_WORDS, BoolArray, Hands
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.rules.answer import SPADE_RAISE
from double_study.rules.response import DOUBLE_CALL, REASON, decide_call, double_needs
from double_study.rules.terms import (
    FOUR_SPADES,
    PROMISES,
    SEQUENCES,
    Overcalled,
    every_sequence,
    messages_by_sequence,
)
from double_study.words import listed

RESPONDER, OPENER = "responder", "opener"
REOPENING = "reopening"
"""The opener in the pass-out seat: the responder and the advancer passed over the overcall."""

FIVE_SPADES = "five_spades"
FIVE_SPADES_CODE = COLUMNS["lesson_message"].code(FIVE_SPADES)

_DIMENSIONS = ("message", "level", "reason", "opening", "overcall", "answer")
"""The keys of a case, in the order of its fields."""
_ALLOWED: dict[str, tuple[str, ...]] = {
    key: tuple(map(str, COLUMNS["lesson_message" if key == "message" else key].names))
    for key in _DIMENSIONS
}


@dataclass(frozen=True)
class Case:
    """A case; an empty string stands for anything. ``answer`` is the opener's."""

    message: str = ""
    level: str = ""
    reason: str = ""
    opening: str = ""
    overcall: str = ""
    answer: str = ""

    @classmethod
    def parse(cls, text: str) -> Case:
        """Read ``key=value,key=value``. Raises :class:`InputError`."""
        values: dict[str, str] = {}
        for part in text.split(","):
            key, equals, value = (word.strip() for word in part.partition("="))
            if not equals:
                raise InputError(
                    f"--case {text}: {part.strip()!r} is not key=value; allowed: {_KEYS_HELP}"
                )
            if key not in _ALLOWED:
                raise InputError(
                    f"--case {text}: there is no key {key!r}; allowed: {', '.join(_ALLOWED)}"
                )
            if key in values:
                raise InputError(f"--case {text}: {key} is given twice; allowed: each key once")
            values[key] = _value(text, key, value)
        return cls(**values)

    def __str__(self) -> str:
        given = [(field.name, getattr(self, field.name)) for field in fields(self)]
        return ",".join(f"{key}={value}" for key, value in given if value) or "any double"

    @property
    def wording(self) -> str:
        """The case as readers see it: what is promised, over what, why, and the opener's answer."""
        told = zip(_DIMENSIONS, astuple(self), strict=True)
        return ", ".join(COLUMNS[key].label(value) for key, value in told if value) or str(self)

    @property
    def to_opener_only(self) -> bool:
        """Whether only the opener can be asked about the case."""
        return self.message == FIVE_SPADES

    @property
    def of_a_double(self) -> bool:
        """Whether the case specifies more than the auction up to the overcall."""
        return bool(self.message or self.reason or self.answer)

    def sequences(self, agreement: Agreement) -> BoolArray:
        """Return which of SEQUENCES (openings with overcalls) belong to the case; shape (42,)."""
        ceiling = agreement.response.double_through
        messages = messages_by_sequence(agreement)
        wanted = (
            COLUMNS["message"].names[FOUR_SPADES] if self.message == FIVE_SPADES else self.message
        )
        return np.array(
            [
                (not wanted or messages[at] == wanted)
                and self.level in ("", str(bid.level))
                and self.opening in ("", COLUMNS["opening"].names[opening])
                and self.overcall in ("", str(bid))
                and (self.message == FIVE_SPADES or bid <= ceiling)
                for at, (opening, bid) in enumerate(SEQUENCES)
            ]
        )

    def check(self, agreement: Agreement) -> None:
        """Raise :class:`InputError` if the case cannot occur under the agreement."""
        sequences = np.flatnonzero(self.sequences(agreement))
        if self.message == FIVE_SPADES:
            answers = ("", *(set(SPADE_RAISE.names) & set(COLUMNS["answer"].names)))
            possible = len(sequences) > 0 and not self.reason and self.answer in answers
        else:
            possible = any(_reasons(agreement, int(at), self.reason) for at in sequences)
        if not possible:
            raise InputError(
                f"--case {self} cannot occur under the agreement {agreement.name} (double through "
                f"{agreement.response.double_through}); allowed: an auction and a reason that go together"
            )


_KEYS_HELP = ", ".join(f"{key}=..." for key in _ALLOWED)


def _value(text: str, key: str, value: str) -> str:
    """Return ``value`` as the case holds it; bids may be written with suit symbols or small letters."""
    if key in ("opening", "overcall"):
        try:
            value = str(Bid.parse(value))
        except InputError:
            pass  # the complaint below says what is allowed here
    if value not in _ALLOWED[key]:
        raise InputError(
            f"--case {text}: {key} cannot be {value!r}; allowed: {', '.join(_ALLOWED[key])}"
        )
    return value


def _reasons(agreement: Agreement, sequence: int, reason: str) -> bool:
    """Return whether any class of hands doubles after a sequence for that reason (or for any).

    The classes have no flags set. No rule above the double requires the absence of a flag, so no
    double is missed.
    """
    opening, overcall = SEQUENCES[sequence]
    situation = Overcalled(
        Hands(CLASS_WORDS), agreement, opening, overcall.denomination, overcall.level
    )
    doubles = decide_call(situation) == DOUBLE_CALL
    if reason:
        doubles &= REASON.decide(situation).name == COLUMNS["reason"].code(reason)
    return bool(doubles.any())


_NO_MAJOR_BID = ("both_minors", COLUMNS["message"].names[FOUR_SPADES])
"""Promises that a hand with a longer major does not fulfil."""


@dataclass(frozen=True)
class Topic:
    """A promise of the double, one of the column ``message``, over overcalls at some levels."""

    message: str
    levels: tuple[int, ...]

    @property
    def name(self) -> str:
        """The topic's name in tables."""
        return f"{self.message}_{self.levels[0]}"

    @property
    def wording(self) -> str:
        """The topic's name for readers."""
        return COLUMNS["topic"].wording(self.name)

    def cases(self, agreement: Agreement) -> tuple[Case, ...]:
        """The cases of the topic, one per level, as far as the double is played."""
        every = (Case(self.message, str(level)) for level in self.levels)
        return tuple(case for case in every if case.sequences(agreement).any())

    def sequences(self, agreement: Agreement) -> BoolArray:
        """Return which of SEQUENCES belong to the topic; shape (42,)."""
        nowhere = np.zeros(len(SEQUENCES), dtype=np.bool_)
        cases = self.cases(agreement)
        return np.any([nowhere, *(case.sequences(agreement) for case in cases)], axis=0)

    def rule(self, agreement: Agreement) -> str:
        """Return in one line the part of the double's rule that applies to the topic."""
        s = every_sequence(agreement)
        needs = double_needs(agreement, s.level, s.overcall)
        overcalls: dict[int, dict[str, None]] = {}
        for at in np.flatnonzero(self.sequences(agreement)):
            overcalls.setdefault(int(needs[at]), {})[SEQUENCES[at][1].symbol] = None
        points = (
            f"{min(overcalls)}+ total points"
            if len(overcalls) == 1
            else "enough total points for the overcall: "
            + listed(f"{need} over {listed(bids)}" for need, bids in sorted(overcalls.items()))
        )
        longer = (
            ""
            if self.message in _NO_MAJOR_BID
            else " With a major of five or more, bid it instead if you have the points and the room."
        )
        return f"Double with {PROMISES[self.message]} and {points}.{longer}"


TOPICS = tuple(
    Topic(message, levels)
    for message in COLUMNS["message"].names
    for levels in ((1,), (2,), (3,), (4,))
)
TOPIC_OF = {(topic.message, level): topic for topic in TOPICS for level in topic.levels}
"""The topic of each message and level."""
