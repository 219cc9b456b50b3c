"""``double-study agreement --new``: the questions on a terminal, and when nothing is written."""

from pathlib import Path

import pytest
from double_study.agreements.questions import QUESTIONS
from double_study.agreements.reader import REFERENCE, load
from double_study.cli.main import BAD_INPUT
from shared.commands import complaint, ran, said

NEW = "agreement --new mine.toml"
ENTER = "\n" * len(QUESTIONS)


@pytest.fixture(autouse=True)
def _here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)


def test_enter_alone_is_the_reference() -> None:
    status, told, err = ran(NEW, typed=ENTER)
    assert (status, err) == (0, "")
    assert load("mine.toml").digest == REFERENCE.digest
    for number, question in enumerate(QUESTIONS, start=1):
        assert f"\n{number}. {question.text}\n" in told
        assert f"{question.allowed} [{question.reference}]: " in told


def test_a_bad_answer_is_named_and_asked_again() -> None:
    told = said(NEW, typed="six\n4\n" + "\n" + "18-20\n12-14\n" + ENTER[3:])
    assert told.count("“six” does not answer") == 1
    assert told.count("contradicts") == 1
    mine = load("mine.toml")
    assert (mine.opening.major_cards, str(mine.opening.one_notrump)) == (4, "12–14")


@pytest.mark.parametrize("lines", range(len(QUESTIONS)))
def test_the_end_of_input_writes_nothing(lines: int, tmp_path: Path) -> None:
    status, _, err = ran(NEW, typed="\n" * lines)
    ended = f"double-study: the input ended before question {lines + 1} was answered; allowed: "
    assert status == BAD_INPUT
    assert err.startswith(ended)
    assert err.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_a_file_is_overwritten_only_with_force() -> None:
    mine = Path("mine.toml")
    mine.write_text("# mine")
    assert complaint(NEW, typed=ENTER) == (
        "double-study: --new mine.toml: this file exists; allowed: another name, or --force\n"
    )
    assert mine.read_text() == "# mine"
    assert said(f"{NEW} --force", typed=ENTER)
    assert mine.read_text() != "# mine"
