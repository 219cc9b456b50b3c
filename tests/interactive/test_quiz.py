"""The quiz: questions, verdicts, scores, as widgets and in the terminal. 8 seconds."""

import io
import sys
from dataclasses import replace

import pytest
from double_study.agreements.reader import REFERENCE
from double_study.app.quiz import Quiz
from double_study.app.quiz_questions import (
    ANSWERS,
    DOUBLES,
    NEAR_POINTS,
    REOPENING,
    SCOPES,
    Score,
    choices,
    question,
    verdict,
)
from double_study.asking.question import Question, reply
from double_study.cards.notation import hand_symbols, read_auction
from double_study.cli.main import main
from double_study.columns import COLUMNS

SEED = 831


def test_questions_can_be_put_again() -> None:
    one, again, next_one = (question(number, REFERENCE, SEED) for number in (3, 3, 4))
    assert one == again
    assert one != next_one


@pytest.mark.parametrize("number", range(4))
def test_the_right_call_is_on_offer_and_only_it_is_right(number: int) -> None:
    asked = question(number, REFERENCE, SEED)
    call = reply(asked).call
    offered = choices(asked)
    assert call is not None
    assert offered.count(call) == 1
    right = verdict(asked, call)
    assert right.right
    assert right.lines[0] == "Right."
    wrong = verdict(asked, next(choice for choice in offered if choice != call))
    assert not wrong.right
    assert wrong.lines[0].startswith("By this agreement ")


def test_rare_calls_are_asked_about_as_well() -> None:
    asked = {reply(question(number, REFERENCE, SEED)).rule for number in range(40)}
    # Eleven rules, each drawn with about the same chance: fewer than six of them in 40 draws has a
    # chance below C(11, 5) (5/11)^40 = 1e-11.
    assert len(asked) >= 6
    assert asked <= set(COLUMNS["call"].names)


def test_doubles_and_near_misses() -> None:
    doubles = near = 0
    for number in range(40):
        asked = question(number, REFERENCE, SEED, DOUBLES)
        if reply(asked).rule == "double":
            doubles += 1
            continue
        near += 1
        # With the double's figures lower it would double, unless an earlier rule holds.
        easier = REFERENCE
        for key in ("one", "two_minor", "two_major", "three", "four"):
            points = getattr(REFERENCE.response, f"double_{key}") - NEAR_POINTS
            easier = easier.changed(f"response.double_{key}", points)
        answer = reply(replace(asked, agreement=easier))
        assert answer.rule in ("double", reply(asked).rule)
    # Each with chance a half: both seen unless all 40 are alike, 2^-39.
    assert doubles
    assert near


@pytest.mark.parametrize("scope", SCOPES)
def test_every_scope_has_questions_whose_answers_are_on_offer(scope: str) -> None:
    rules = set()
    for number in range(12):
        asked = question(number, REFERENCE, SEED, scope)
        answer = reply(asked)
        assert answer.call is not None
        assert choices(asked).count(answer.call) == 1
        assert asked.auction.opener_asked == (scope in (ANSWERS, REOPENING))
        rules.add(answer.rule)
    # A dozen draws of four rules or more are all of one with a chance of at most 4^-11 = 2e-7; the
    # doubles are drawn half and half, 2^-11 = 5e-4, and the seed is fixed.
    assert len(rules) > 1


def test_partner_s_double_cannot_be_doubled() -> None:
    asked = Question.read("K5.AJ43.KQJ64.92", "1D 1S X P")
    assert "double" not in choices(asked)
    offered = choices(replace(asked, auction=read_auction("1D 1S X 2S")))
    assert [str(call) for call in offered[:3]] == [
        "pass",
        "double",
        "2NT",
    ]


def test_without_the_double_the_quiz_asks_about_the_other_calls() -> None:
    without = REFERENCE.changed("response.double", False)
    for scope in (DOUBLES, ANSWERS):
        asked = question(0, without, SEED, scope)
        assert not asked.auction.later
        assert reply(asked).rule != "double"


def test_the_quiz_takes_a_call_explains_and_scores() -> None:
    agreement = REFERENCE.changed("response.double_one", 9)
    quiz = Quiz(lambda: agreement, SEED)
    assert "total points of the double at level 1: 9 (not 6)" in quiz.judged_by.value
    assert hand_symbols(quiz.asked.cards) in quiz.head.value
    quiz.call.value = reply(quiz.asked).call
    quiz.answer.click()
    assert ">Right." in quiz.explanation.value
    assert "1 right of 1" in quiz.score.value
    assert quiz.answer.disabled
    first = quiz.head.value
    quiz.another.click()
    assert quiz.head.value != first
    assert quiz.explanation.value == ""
    right = reply(quiz.asked).call
    quiz.call.value = next(call for _, call in quiz.call.options if call != right)
    quiz.answer.click()
    assert "1 right of 2" in quiz.score.value
    quiz.scope.value = DOUBLES
    assert (quiz.number, quiz.score.value, quiz.answer.disabled) == (0, "", False)


def test_a_quiz_starts_anew_unless_a_seed_is_given() -> None:
    one, other = Quiz(), Quiz()
    # Two seeds out of 2^32 are equal with chance 2e-10.
    assert one.seed.value != other.seed.value
    one.seed.value = other.seed.value
    assert one.head.value == other.head.value


def test_an_open_question_follows_the_agreement() -> None:
    playing = [REFERENCE]
    quiz = Quiz(lambda: playing[0], SEED)
    playing[0] = REFERENCE.changed("response.double_one", 9)
    quiz.follow()
    assert quiz.asked.agreement == playing[0]
    quiz.answer.click()
    judged = quiz.explanation.value
    playing[0] = REFERENCE
    quiz.follow()
    assert quiz.explanation.value == judged


def test_in_the_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = [question(number, REFERENCE, SEED) for number in range(2)]
    right = reply(asked[0]).call
    wrong = next(call for call in choices(asked[1]) if call != reply(asked[1]).call)
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"perhaps\n1C\n{right}\n{wrong}\nq\n"))
    assert main(["quiz", "--seed", str(SEED)]) == 0
    said = capsys.readouterr().out
    assert "'perhaps' is not a bid" in said
    assert "1♣ is not a legal call here" in said
    assert hand_symbols(asked[1].cards) in said
    assert "3. You hold" in said
    assert said.endswith("Your score: 1 right of 2.\n")


def test_the_terminal_s_quiz_ends_with_its_input_or_its_number(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    assert main(["quiz"]) == 0
    monkeypatch.setattr(sys, "stdin", io.StringIO("p\np\np\n"))
    assert main(["quiz", "--questions", "2", "--about", "doubles"]) == 0
    assert "of 2." in capsys.readouterr().out


def test_scores() -> None:
    score = Score()
    for right in (True, False, True):
        score.add(right)
    assert str(score) == "2 right of 3"
