"""An agreement from answers to questions: what each answer sets, and what cannot be an answer."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from double_study.agreements.questions import QUESTIONS, AgreementQuestion, agreement_of
from double_study.agreements.reader import REFERENCE, load, short_file
from double_study.agreements.settings import Range
from double_study.cards.bids import Bid
from double_study.errors import InputError


def doubles(**points: int) -> dict[str, Any]:
    return {f"response.double_{level}": needs for level, needs in points.items()}


ANSWERS: list[tuple[str, str, dict[str, Any]]] = [
    ("major", "4", {"opening.major_cards": 4}),
    ("diamond", " 4 ", {"opening.diamond_cards": 4}),
    ("notrump", "12-14", {"opening.one_notrump": Range(12, 14)}),
    ("notrump", "12 to 14", {"opening.one_notrump": Range(12, 14)}),
    ("notrump", "12–14", {"opening.one_notrump": Range(12, 14)}),
    ("raise", "4", {"response.raise_cards": 4}),
    ("ceiling", "2s", {"response.double_through": Bid.parse("2S")}),
    ("ceiling", "4♠", {"response.double_through": Bid.parse("4S")}),
    ("points", "7", doubles(one=7, two_minor=7, two_major=7, three=7, four=7)),
    ("points", "6, 9,10/11", doubles(two_minor=9, two_major=9, four=11)),
    ("penalty", "4", {"response.penalty_cards": 4}),
    ("both_majors", "no", {"response.both_majors": False}),
    ("both_majors", "N", {"response.both_majors": False}),
    ("both_majors", "yes", {}),
]

NO_ANSWERS = [
    *(("major", text) for text in ("3", "six", "4.5", "4 5")),
    ("diamond", "-4"),
    *(("notrump", text) for text in ("15", "17-15", "15-17-19", "15-40")),
    *(("ceiling", text) for text in ("3NT", "5C", "3")),
    *(("points", text) for text in ("6 8 10", "6 8 10 12 14", "6 8 10 x", ",", "99")),
    *(("both_majors", text) for text in ("maybe", "9" * 5_000)),
]


def changed(answers: dict[str, str]) -> dict[str, object]:
    """Return the settings that are not the reference's once these questions were answered."""
    standing = REFERENCE.values
    values = agreement_of(answers, "ours").values
    return {key: value for key, value in values.items() if value != standing[key]}


@pytest.mark.parametrize(("name", "answer", "expected"), ANSWERS)
def test_an_answer_sets_what_it_is_about(name: str, answer: str, expected: object) -> None:
    assert changed({name: answer}) == expected


@pytest.mark.parametrize(("name", "answer"), NO_ANSWERS)
def test_what_is_no_answer_is_named_in_one_line(name: str, answer: str) -> None:
    (question,) = (question for question in QUESTIONS if question.name == name)
    with pytest.raises(InputError) as caught:
        agreement_of({name: answer}, "ours")
    said = str(caught.value)
    assert question.text in said
    assert said.endswith(f"; allowed: {question.allowed}")
    assert "\n" not in said
    assert len(said) < 250


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.name)
def test_the_reference_is_an_answer_and_so_is_nothing(question: AgreementQuestion) -> None:
    assert changed({question.name: question.reference}) == {}
    assert changed({question.name: " \n"}) == {}
    # Every question can be answered otherwise too.
    assert any(expected for name, _, expected in ANSWERS if name == question.name)


def test_answers_that_contradict_and_questions_that_are_not_there() -> None:
    contradicts = r"the answers: .* contradicts .*; allowed: a range for 1NT that ends below"
    with pytest.raises(InputError, match=contradicts):
        agreement_of({"notrump": "18-20"}, "ours")
    with pytest.raises(InputError, match="there is no question 'colour'; allowed: major, "):
        agreement_of({"colour": "red"}, "ours")


def test_the_short_file_states_what_differs_and_reads_back(tmp_path: Path) -> None:
    answers = {name: answer for name, answer, expected in ANSWERS if expected}
    agreement = agreement_of(answers, "ours.toml")
    text = "\n".join(short_file(agreement))
    file = tmp_path / "ours.toml"
    file.write_text(text, encoding="utf-8")
    assert load(str(file)) == agreement
    stated = {f"{s}.{name}" for s, part in tomllib.loads(text).items() for name in part}
    assert stated == set(changed(answers))
    assert "# HCP of a balanced 1NT opening; in the reference [15, 17]" in text.splitlines()
    (line,) = short_file(REFERENCE)
    assert line == "# The agreement reference: nothing differs from the reference."
