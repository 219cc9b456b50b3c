"""The quiz: questions and verdicts, and the quiz in the terminal."""

from dataclasses import replace

import pytest
from double_study.agreements.reader import REFERENCE
from double_study.app import quiz
from double_study.app.quiz import SCOPES, choices, question, verdict
from double_study.asking.question import Question, reply
from double_study.cards.notation import hand_symbols, read_auction, read_call
from double_study.columns import COLUMNS
from shared.commands import said
from shared.table_rows import cases

SEED = 831
TURNS = {"answers": "opener", "pass-out": "opener", "fourth-hand": "fourth hand"}


def test_questions_can_be_put_again() -> None:
    one, again, next_one = (question(number, REFERENCE, SEED) for number in (3, 3, 4))
    assert one == again
    assert one != next_one


@pytest.mark.parametrize("number", range(2))
def test_the_right_call_is_on_offer_and_only_it_is_right(number: int) -> None:
    asked = question(number, REFERENCE, SEED)
    call = reply(asked).call
    offered = choices(asked)
    assert call is not None
    assert offered.count(call) == 1
    right, lines = verdict(asked, call)
    assert right
    assert lines[0] == "Right."
    right, lines = verdict(asked, next(choice for choice in offered if choice != call))
    assert not right
    assert lines[0].startswith("Under this agreement ")


def test_rare_calls_are_asked_about_as_well() -> None:
    asked = {reply(question(number, REFERENCE, SEED)).rule for number in range(40)}
    # Eleven rules, each drawn with about the same chance: fewer than six of them in 40 draws has a
    # chance below C(11, 5) (5/11)^40 = 1e-11.
    assert len(asked) >= 6
    assert asked <= set(COLUMNS["call"].names)


def test_doubles_and_near_misses() -> None:
    doubles = near = 0
    for number in range(40):
        asked = question(number, REFERENCE, SEED, "doubles")
        if reply(asked).rule == "double":
            doubles += 1
            continue
        near += 1
        # With the double's figures lower it would double, unless an earlier rule holds.
        easier = REFERENCE
        for key in ("one", "two_minor", "two_major", "three", "four"):
            points = getattr(REFERENCE.response, f"double_{key}") - quiz.NEAR_POINTS
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
        assert asked.auction.asked == TURNS.get(scope, "responder")
        rules.add(answer.rule)
    # A dozen draws of four rules or more are all of one with a chance of at most 4^-11 = 2e-7; the
    # doubles are drawn half and half, 2^-11 = 5e-4, and the seed is fixed.
    assert len(rules) > 1


def test_partner_s_double_cannot_be_doubled() -> None:
    asked = Question.read("K5.AJ43.KQJ64.92", "1D 1S X P")
    assert "double" not in choices(asked)
    offered = choices(replace(asked, auction=read_auction("1D 1S X 2S")))
    assert [str(call) for call in offered[:3]] == ["pass", "double", "2NT"]


def test_without_the_double_the_quiz_asks_about_the_other_calls() -> None:
    without = REFERENCE.changed("response.double", False)
    for scope in ("doubles", "answers", "fourth-hand"):
        asked = question(0, without, SEED, scope)
        assert not asked.auction.later
        assert reply(asked).rule != "double"


WHY = """
K752.AJ64.83.T92 | double | The rule “the double” asks for 4 hearts, 6 total points, 5 HCP and at most 4 \
spades; you hold 4 hearts, 8 total points, 8 HCP and 4 spades.
K752.AJ64.83.T92 | 2H     | 8 HCP and 4 spades; for 2♥ you need one more heart and 2 more total points.
8752.J64.K83.T92 | double | 3 diamonds and 4 support points; for a double you need one more heart, 2 more \
total points and one more HCP.
"""


@pytest.mark.parametrize(("hand", "call", "why"), cases(WHY))
def test_why_in_one_sentence(hand: str, call: str, why: str) -> None:
    told = quiz.why_in_one_sentence(reply(Question.read(hand, "1D 1S")), read_call(call))
    assert told.endswith(why)
    assert told.count(". ") <= 1


def test_in_the_terminal() -> None:
    asked = [question(number, REFERENCE, SEED) for number in range(2)]
    right = reply(asked[0]).call
    wrong = next(call for call in choices(asked[1]) if call != reply(asked[1]).call)
    told = said(f"quiz --seed {SEED}", typed=f"perhaps\n1C\n{right}\n{wrong}\nq\n")
    assert "'perhaps' is not a bid" in told
    assert "1♣ is not a legal call here" in told
    assert hand_symbols(asked[1].cards) in told
    assert "3. You hold" in told
    assert told.endswith("Your score: 1 right of 2.\n")


def test_the_terminal_s_quiz_ends_with_its_input_or_its_number() -> None:
    assert said("quiz", typed="")
    assert "of 2." in said("quiz --questions 2 --about doubles", typed="p\np\np\n")
