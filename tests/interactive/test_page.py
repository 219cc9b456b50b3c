"""The page's parts, without a browser, and its server's manners. 10 seconds."""

import socket
from dataclasses import replace

import pytest
from double_study import escape
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.app import server
from double_study.app.ask_form import AskForm
from double_study.app.explorer import Explorer
from double_study.app.own_agreement import OwnAgreement
from double_study.app.page import LocalPage, page
from double_study.cli.main import FAILED, main
from shared.hostile_names import HOSTILE_FILE, hostile_names

COUNTED, SEED = 50_000, 841


def test_the_form_answers_as_the_command_does(capsys: pytest.CaptureFixture[str]) -> None:
    form = AskForm()
    form.hand.value, form.auction.value = "-.AJ643.8753.QT92", "1D1S?"
    assert main(["ask", form.hand.value, form.auction.value]) == 0
    for line in capsys.readouterr().out.splitlines()[:3]:
        assert line in form.answer.value
    assert "<img alt=" in form.figure.value


def test_the_form_says_what_cannot_be_asked() -> None:
    form = AskForm()
    form.hand.value = "K752"
    assert "not four suits" in form.answer.value
    assert form.figure.value == ""


def test_a_hostile_text_gets_one_clear_line_and_runs_nothing() -> None:
    names = hostile_names()
    long = [letter * 10_000 for letter in "A1♠.( "]
    for field, texts in (("hand", names[:500] + long), ("auction", names[500:] + long)):
        form = AskForm()
        for text in texts:
            form.answer.value = ""
            getattr(form, field).value = "nothing"
            getattr(form, field).value = text
            said = form.answer.value
            assert said.startswith("<b>"), text
            assert said.endswith("</b>"), text
            assert "<" not in said[3:-4], text
            assert said.isprintable(), text
            # Sixty letters of it, each perhaps as its number, and what is allowed.
            assert len(said) < 600, text
            assert form.figure.value == ""


def test_all_parts_go_by_the_agreement_chosen_and_moved() -> None:
    whole = LocalPage(Explorer(REFERENCE, COUNTED, SEED))
    whole.ask.ask.click()
    whole.explorer.thresholds["response.double_one"].value = 9
    for part in (whole.ask.by, whole.quiz.judged_by):
        assert "total points of the double at level 1: 9 (not 6)" in part.value
    whole.own.answers["points"].value = "7"
    whole.own.button.click()
    for part in (whole.ask.by, whole.quiz.judged_by):
        assert "the agreement mine" in part.value
    assert whole.explorer.now().response.double_four == 7


def test_answers_that_cannot_be_used_are_named() -> None:
    played: list[Agreement] = []
    form = OwnAgreement(played.append)
    form.answers["points"].value = "many"
    form.button.click()
    assert "many" in form.result.value
    assert played == []
    form.answers["points"].value = ""
    form.button.click()
    assert played[0].response == REFERENCE.response


def test_the_page_begins_with_the_player_s_own_agreement() -> None:
    strict = REFERENCE.changed("opening.suit", 13)
    assert page("strict", strict.document).children[1].label == "strict"


def test_an_agreement_of_any_name_is_text_in_every_part() -> None:
    whole = LocalPage(Explorer(replace(REFERENCE, name=HOSTILE_FILE), COUNTED, SEED))
    whole.ask.ask.click()
    for part in (whole.explorer.sentence, whole.ask.by, whole.quiz.judged_by):
        assert escape.html(HOSTILE_FILE) in part.value
        assert "<" not in part.value


def test_without_its_server_the_page_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(server, "find_spec", lambda _: None)
    assert main(["explore"]) == FAILED
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "[web]" in said


@pytest.mark.parametrize("port", ["80", "many", "70000"])
def test_a_port_that_cannot_be(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explore", "--port", port]) == 2
    assert f"--port {port} is not a whole number from 1024" in capsys.readouterr().err


def test_a_port_at_which_something_else_is_served_is_not_shown(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(server, "find_spec", lambda _: True)
    with socket.create_server((server.LOOPBACK, 0)) as other:
        port = other.getsockname()[1]
        assert main(["explore", "--port", str(port)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"double-study: --port {port}: ")
    assert said.err.endswith("; allowed: one at which nothing is served\n")
