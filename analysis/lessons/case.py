"""The cases of a lesson: which doubles a teacher asks for, and whether they can occur.

A case is written ``message=other_major,level=2,reason=five_or_more``; what it leaves out may be
anything. Besides the messages of the double there is :data:`FIVE_SPADES`, a question for opener
alone: 1♠ over 1♥ showed five spades, and opener holds three or more, so raises.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass, fields

import numpy as np

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import (
    FOUR_SPADES,
    LEVEL,
    MESSAGE,
    OPENING_BID,
    OVERCALL_BID,
    SEQUENCES,
    Overcalled,
    messages_by_sequence,
)
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.double import REASON, REASON_GIVEN
from analysis.bidding.response import DOUBLE_CALL, decide_call
from analysis.bidding.spade_raise import SPADE_RAISE
from analysis.cards.bids import Bid
from analysis.cards.hand_classes import CLASS_WORDS
from analysis.cards.hands import BoolArray, Hands
from analysis.errors import InputError
from analysis.vocabulary.dimension import Dimension

RESPONDER, OPENER = "responder", "opener"
REOPENING = "reopening"
"""The opener in the pass-out seat: the responder and the advancer passed over the overcall."""

FIVE_SPADES = "five_spades"
LESSON_MESSAGE = Dimension(
    "message", MESSAGE.heading, MESSAGE.description, MESSAGE.wordings | {FIVE_SPADES: "five spades"}
)
FIVE_SPADES_CODE = LESSON_MESSAGE.code(FIVE_SPADES)

_DIMENSIONS = (LESSON_MESSAGE, LEVEL, REASON_GIVEN, OPENING_BID, OVERCALL_BID, ANSWER_GIVEN)
"""What a case may say, in the order of its fields."""
_ALLOWED: dict[str, tuple[str, ...]] = {
    str(dimension): tuple(map(str, dimension.names)) for dimension in _DIMENSIONS
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
                    f"--case {text}: unknown key {key!r}; allowed: {', '.join(_ALLOWED)}"
                )
            if key in values:
                raise InputError(f"--case {text}: {key} twice; allowed: each key once")
            values[key] = _value(text, key, value)
        return cls(**values)

    def __str__(self) -> str:
        given = [(field.name, getattr(self, field.name)) for field in fields(self)]
        return ",".join(f"{key}={value}" for key, value in given if value) or "any double"

    @property
    def wording(self) -> str:
        """The case as readers see it: what is promised, over what, why, and the opener's answer."""
        told = zip(_DIMENSIONS, astuple(self), strict=True)
        return ", ".join(d.label(value) for d, value in told if value) or str(self)

    @property
    def to_opener_only(self) -> bool:
        """Whether only opener can be asked about it."""
        return self.message == FIVE_SPADES

    @property
    def of_a_double(self) -> bool:
        """Whether it says more than the auction up to the overcall."""
        return bool(self.message or self.reason or self.answer)

    def sequences(self, agreement: Agreement) -> BoolArray:
        """Which of SEQUENCES, the openings with their overcalls, the case is about; shape (42,)."""
        ceiling = agreement.response.double_through
        messages = messages_by_sequence(agreement)
        wanted = MESSAGE.names[FOUR_SPADES] if self.message == FIVE_SPADES else self.message
        return np.array(
            [
                (not wanted or messages[at] == wanted)
                and self.level in ("", str(bid.level))
                and self.opening in ("", OPENING_BID.names[opening])
                and self.overcall in ("", str(bid))
                and (self.message == FIVE_SPADES or bid <= ceiling)
                for at, (opening, bid) in enumerate(SEQUENCES)
            ]
        )

    def check(self, agreement: Agreement) -> None:
        """Raise :class:`InputError` if the case cannot occur under the agreement."""
        sequences = np.flatnonzero(self.sequences(agreement))
        if self.message == FIVE_SPADES:
            answers = ("", *(set(SPADE_RAISE.names) & set(ANSWER_GIVEN.names)))
            possible = len(sequences) > 0 and not self.reason and self.answer in answers
        else:
            possible = any(_reasons(agreement, int(at), self.reason) for at in sequences)
        if not possible:
            raise InputError(
                f"--case {self}: cannot occur under the agreement {agreement.name} (double through "
                f"{agreement.response.double_through}); allowed: an auction and a reason that go together"
            )


_KEYS_HELP = ", ".join(f"{key}=..." for key in _ALLOWED)


def _value(text: str, key: str, value: str) -> str:
    """``value`` as the case holds it; bids may be written with suit symbols or small letters."""
    if key in (OPENING_BID, OVERCALL_BID):
        try:
            value = str(Bid.parse(value))
        except InputError:
            pass  # the complaint below says what is allowed here
    if value not in _ALLOWED[key]:
        raise InputError(f"--case {text}: {key} {value!r}; allowed: {', '.join(_ALLOWED[key])}")
    return value


def _reasons(agreement: Agreement, sequence: int, reason: str) -> bool:
    """Whether any class of hands doubles after a sequence for that reason (or for any).

    The classes have no flags set, and no rule above the double asks for a flag to be absent, so no
    double is missed.
    """
    opening, overcall = SEQUENCES[sequence]
    situation = Overcalled(
        Hands(CLASS_WORDS), agreement, opening, overcall.denomination, overcall.level
    )
    doubles = decide_call(situation) == DOUBLE_CALL
    if reason:
        doubles &= REASON.decide(situation).name == REASON_GIVEN.code(reason)
    return bool(doubles.any())
