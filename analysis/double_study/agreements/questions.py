"""Questions in plain words whose answers make a partnership's own agreement.

The questions are data, so that both a command line and a form on a page can ask them.
:func:`agreement_of`, a pure function, turns the answers, as typed, into an agreement.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from double_study.agreements.reader import REFERENCE, Agreement, document_of, of_document
from double_study.agreements.settings import Kind, SettingValue
from double_study.errors import InputError
from double_study.escape import shortened

_ENTRIES = {setting.key: setting.field for setting in REFERENCE.settings()}


@dataclass(frozen=True)
class AgreementQuestion:
    """One question to a player.

    ``name`` identifies its answer. ``parts`` holds the keys of the settings that the answer
    determines: one group, whose settings all get the same value, or several groups in a row, each
    with its own value.
    """

    name: str
    text: str
    parts: Sequence[Sequence[str]]

    @property
    def kind(self) -> Kind:
        return _ENTRIES[self.parts[0][0]].metadata["kind"]

    @property
    def reference(self) -> str:
        return ", ".join(self.kind.shown(_ENTRIES[keys[0]].default) for keys in self.parts)

    @property
    def allowed(self) -> str:
        if len(self.parts) == 1:
            return self.kind.asked
        return f"{len(self.parts)} numbers in a row, or one for all"

    def settings(self, answer: str) -> dict[str, SettingValue]:
        """Return the settings that an answer determines, by key; none for an empty answer.

        An empty answer means the reference's value. Raises :class:`InputError` for an answer that
        cannot be used.
        """
        text = " ".join(answer.split())
        if not text:
            return {}
        pieces = [text] if len(self.parts) == 1 else re.split(r"[ ,/]+", text)
        values = [self.kind.answered(piece) for piece in pieces]
        if len(values) == 1:
            values *= len(self.parts)
        if len(values) != len(self.parts) or None in values:
            raise InputError(
                f"“{shortened(text)}” does not answer “{self.text}”; allowed: {self.allowed}"
            )
        found = zip(self.parts, values, strict=True)
        return {key: value for keys, value in found for key in keys if value is not None}


# fmt: off
QUESTIONS = tuple(AgreementQuestion(name, text, parts) for name, text, *parts in (
    ("major", "How many cards does an opening of 1♥ or 1♠ promise?", ["opening.major_cards"]),
    ("diamond", "How many cards does an opening of 1♦ promise?", ["opening.diamond_cards"]),
    ("notrump", "How many high-card points is an opening of 1NT?", ["opening.one_notrump"]),
    ("raise", "With how many cards do you raise partner's 1♥ or 1♠?", ["response.raise_cards"]),
    ("ceiling", "What is the highest overcall over which you play the double?",
     ["response.double_through"]),
    ("points", "How many points does the double need over an overcall at level 1, 2, 3 and 4?",
     ["response.double_one"], ["response.double_two_minor", "response.double_two_major"],
     ["response.double_three"], ["response.double_four"]),
    ("both_majors", "When both minors were bid, does the double promise both majors?",
     ["response.both_majors"]),
    ("penalty", "With how many good cards in the overcaller's suit do you make a penalty pass?",
     ["response.penalty_cards"]),
))
# fmt: on


def agreement_of(answers: Mapping[str, str], name: str) -> Agreement:
    """Return the agreement called ``name`` that ``answers``, by the names of their questions, describe.

    A question with no answer, or an empty one, gets the reference's value. Raises
    :class:`InputError` for an answer that cannot be used, an answer to an unknown question, and
    answers that contradict each other.
    """
    values: dict[str, Any] = {}
    asked = {question.name: question for question in QUESTIONS}
    for to, answer in answers.items():
        if to not in asked:
            raise InputError(f"there is no question {to!r}; allowed: {', '.join(asked)}")
        values |= asked[to].settings(answer)
    return of_document(document_of(values), name, source="the answers")
