"""The cases of a lesson: the doubles a teacher asks for, and the deals a class sees.

A case is written ``message=other_major,level=2,reason=five_or_more``; what it leaves out may be
anything. Besides the messages of the double there is :data:`FIVE_SPADES`, a question for opener
alone: 1♠ over 1♥ showed five spades, and opener holds three or more, so raises.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import NoReturn

import numpy as np

from double_study.agreements.reader import Agreement
from double_study.cards.bids import Bid
from double_study.cards.hands import CLASS_WORDS, BoolArray, Hands
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.rules.answer import SPADE_RAISE
from double_study.rules.response import DOUBLE_CALL, REASON, decide_call
from double_study.rules.terms import FOUR_SPADES, SEQUENCES, after_sequence, messages_by_sequence

RESPONDER, OPENER = "responder", "opener"
REOPENING = "reopening"
"""The opener in the pass-out seat: the responder and the advancer passed over the overcall."""

FIVE_SPADES = "five_spades"
FIVE_SPADES_CODE = COLUMNS["lesson_message"].code(FIVE_SPADES)

KEYS = {"message": COLUMNS["lesson_message"]}
KEYS |= {key: COLUMNS[key] for key in ("level", "reason", "opening", "overcall", "answer")}
"""The keys of a case, in the order of its fields, each with its column."""


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

        def refuse(why: str) -> NoReturn:
            raise InputError(f"--case {text}: {why}")

        values: dict[str, str] = {}
        for part in text.split(","):
            key, equals, value = (word.strip() for word in part.partition("="))
            if not equals:
                keys = ", ".join(f"{key}=..." for key in KEYS)
                refuse(f"{part.strip()!r} is not key=value; allowed: {keys}")
            if key not in KEYS:
                refuse(f"there is no key {key!r}; allowed: {', '.join(KEYS)}")
            if key in values:
                refuse(f"{key} is given twice; allowed: each key once")
            if key in ("opening", "overcall"):  # suit symbols or small letters will do
                with suppress(InputError):
                    value = str(Bid.parse(value))
            allowed = [*map(str, KEYS[key].names)]
            if value not in allowed:
                refuse(f"{key} cannot be {value!r}; allowed: {', '.join(allowed)}")
            values[key] = value
        return cls(**values)

    def __str__(self) -> str:
        return ",".join(f"{key}={value}" for key, value in self._given.items()) or "any double"

    @property
    def _given(self) -> dict[str, str]:
        return {key: value for key, value in vars(self).items() if value}

    @property
    def wording(self) -> str:
        """The case as readers see it: what is promised, over what, why, and the opener's answer."""
        return ", ".join(KEYS[key].label(value) for key, value in self._given.items()) or str(self)

    @property
    def to_opener_only(self) -> bool:
        """Whether only the opener can be asked about the case."""
        return self.message == FIVE_SPADES

    def sequences(self, agreement: Agreement) -> BoolArray:
        """Return which of SEQUENCES (openings with overcalls) belong to the case; shape (42,)."""
        four_spades = COLUMNS["message"].names[FOUR_SPADES]
        wanted = four_spades if self.to_opener_only else self.message
        return np.array(
            [
                wanted in ("", message)
                and self.level in ("", str(bid.level))
                and self.opening in ("", COLUMNS["opening"].names[opening])
                and self.overcall in ("", str(bid))
                and (self.to_opener_only or bid <= agreement.response.double_through)
                for (opening, bid), message in zip(
                    SEQUENCES, messages_by_sequence(agreement), strict=True
                )
            ]
        )

    def check(self, agreement: Agreement) -> None:
        """Raise :class:`InputError` if the case cannot occur under the agreement."""
        sequences = np.flatnonzero(self.sequences(agreement))
        if self.to_opener_only:
            answers = {"", *SPADE_RAISE.names} & {"", *COLUMNS["answer"].names}
            possible = len(sequences) > 0 and not self.reason and self.answer in answers
        else:
            possible = any(_reasons(agreement, int(at), self.reason) for at in sequences)
        if not possible:
            raise InputError(
                f"--case {self} cannot occur under the agreement {agreement.name} (double through "
                f"{agreement.response.double_through}); allowed: an auction and a reason that go together"
            )


def _reasons(agreement: Agreement, sequence: int, reason: str) -> bool:
    """Return whether any class of hands doubles after a sequence for that reason (or for any).

    The classes have no flags set. No rule above the double requires the absence of a flag, so no
    double is missed.
    """
    situation = after_sequence(sequence, Hands(CLASS_WORDS), agreement)
    doubles = decide_call(situation) == DOUBLE_CALL
    if reason:
        doubles &= REASON.decide(situation).name == COLUMNS["reason"].code(reason)
    return bool(doubles.any())
