"""``double-study agreement --new``: the questions on a terminal, and when nothing is written."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from double_study.agreements.questions import QUESTIONS
from double_study.agreements.reader import REFERENCE, load
from double_study.cli.main import BAD_INPUT, main
from shared.complaints import complaint

Typed = Callable[[str], None]


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Typed:
    """Call it with what is typed."""
    monkeypatch.chdir(tmp_path)
    return lambda text: monkeypatch.setattr("sys.stdin", io.StringIO(text))


def test_enter_alone_is_the_reference(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    typed("\n" * len(QUESTIONS))
    assert main(["agreement", "--new", "mine.toml"]) == 0
    assert load("mine.toml").digest == REFERENCE.digest
    said = capsys.readouterr()
    assert said.err == ""
    for number, question in enumerate(QUESTIONS, start=1):
        assert f"\n{number}. {question.text}\n" in said.out
        assert f"{question.allowed} [{question.reference}]: " in said.out


def test_a_bad_answer_is_named_and_asked_again(
    typed: Typed, capsys: pytest.CaptureFixture[str]
) -> None:
    typed("six\n4\n" + "\n" + "18-20\n12-14\n" + "\n" * (len(QUESTIONS) - 3))
    assert main(["agreement", "--new", "mine.toml"]) == 0
    said = capsys.readouterr().out
    assert said.count("“six” does not answer") == 1
    assert said.count("contradicts") == 1
    mine = load("mine.toml")
    assert mine.opening.major_cards == 4
    assert str(mine.opening.one_notrump) == "12–14"


@pytest.mark.parametrize("lines", range(len(QUESTIONS)))
def test_the_end_of_input_writes_nothing(
    lines: int, typed: Typed, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    typed("\n" * lines)
    assert main(["agreement", "--new", "mine.toml"]) == BAD_INPUT
    said = capsys.readouterr().err
    ended = f"double-study: the input ended before question {lines + 1} was answered; allowed: "
    assert said.startswith(ended)
    assert said.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_a_file_is_overwritten_only_with_force(
    typed: Typed, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine.toml").write_text("# mine")
    typed("\n" * len(QUESTIONS))
    assert complaint(["agreement", "--new", "mine.toml"], capsys) == (
        "double-study: --new mine.toml: this file exists; allowed: another name, or --force\n"
    )
    assert (tmp_path / "mine.toml").read_text() == "# mine"
    assert main(["agreement", "--new", "mine.toml", "--force"]) == 0
    assert (tmp_path / "mine.toml").read_text() != "# mine"
