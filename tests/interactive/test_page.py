"""The page's parts, without a browser. 15 seconds."""

import re
import time
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from pathlib import Path
from urllib.parse import parse_qsl

import pytest
from double_study.agreements.questions import QUESTIONS
from double_study.agreements.reader import REFERENCE, load
from double_study.app.page import Page
from double_study.asking.question import Question, reply
from double_study.counting.run import DEFAULT_SEED
from shared.commands import said
from shared.hostile_names import HOSTILE_FILE, hostile_names
from shared.table_rows import cases

HAND, AUCTION = "K752.AJ64.83.T92", "1D 1S"
DEALS, LONG = 100_000, 300_000


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    made = Page(REFERENCE, DEALS, LONG)
    yield made
    made.close()


def words(html: str) -> str:
    """Return the text of some HTML, without the selectors that ask for suits as text."""
    return " ".join(unescape(re.sub(r"<[^>]*>|\ufe0e", "", html)).split())


def shown(page: Page, part: str, **fields: str) -> str:
    text = page.part(part, {name.replace("__", "."): value for name, value in fields.items()})
    assert text is not None
    return text


def hidden(html: str) -> dict[str, str]:
    """Return the hidden fields of a part, which its next request sends back."""
    return dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', html))


def test_a_call_is_judged_scored_once_and_followed_by_another_hand(page: Page) -> None:
    first = hidden(shown(page, "call", scope="doubles"))
    asked = Question.read(first["hand"], first["auction"])
    best = reply(asked)
    assert hidden(shown(page, "call", scope="doubles", **first))["hand"] == first["hand"]
    right = shown(page, "call", scope="doubles", call=str(best.call), **first)
    assert "✓ Right" in right
    assert best.because in words(right)
    assert "1 right of 1" in words(right)
    # Shown again, as after a look at another part, it is not counted again.
    assert "1 right of 1" in words(shown(page, "call", scope="doubles", **hidden(right)))
    other = "pass" if str(best.call) != "pass" else "double"
    wrong = shown(page, "call", scope="doubles", call=other, **first)
    assert "✗ Not under this agreement" in wrong
    assert "0 right of 1" in words(wrong)
    after = hidden(shown(page, "call", scope="doubles", again="1", **hidden(wrong)))
    assert (after["made"], after["answered"]) == ("", "1")
    # The same hand again has a chance of one in millions.
    assert after["hand"] != first["hand"]


@pytest.mark.parametrize("scope", ["calls", "doubles", "answers", "pass-out", "fourth-hand"])
def test_every_level_has_its_picture_of_partner(page: Page, scope: str) -> None:
    asked = shown(page, "call", scope=scope)
    seen = words(shown(page, "partner", **hidden(asked)))
    cards = [float(number) for number in re.findall(r"(\d\.\d) cards", seen)]
    assert len(cards) == 4 or "too rare" in seen
    if cards:
        assert sum(cards) == pytest.approx(13, abs=0.21)
    assert "comes up for one partnership" in seen or "none of" in seen


def test_an_asked_hand_gets_what_the_command_says(page: Page) -> None:
    told = " ".join(said(f"ask {HAND} {AUCTION} --full").split())
    answer, odds, glance = (
        shown(page, part, hand=HAND, auction=AUCTION) for part in ("ask", "odds", "glance")
    )
    for part in ("✓ 4 hearts: you hold 4", "✓ 6 total points: you hold 8", "penalty pass"):
        assert part in words(answer)
    assert "double by the responder" in words(answer)
    matters = re.search(r"The chance of eight cards or more together: [^.]*\.\d%\.", told)
    assert matters
    assert matters[0] in words(odds)
    assert odds.count('role="img"') == glance.count('role="img"') == 5
    # 60% of openers have 12 to 14 points here; of 9,600 deals that fit the share is within four
    # standard errors, 2 points, but for one seed in 16,000, and this one is fixed.
    exact, near = (
        [int(chance) for chance in re.findall(r"12–14, (\d+)%", html)] for html in (odds, glance)
    )
    assert abs(exact[0] - near[0]) <= 3


ASKED = """
K752             | 1D 1S   | Choose thirteen cards: 4 so far.
K752.AJ64.83.T92 |         | Now the auction
K752.AJ64.83.T92 | 1D      | Now the auction: the overcall
K752.AJ64.83.T99 | 1D 1S   | ♣9 twice
K752.AJ64.83.T92 | 1H 1D   | not higher
K752.AJ64.83.T92 | 1D P    | no overcall
72.QJ64.83.KQT92 | 1D 1S X | 2♣ by the fourth hand
"""


@pytest.mark.parametrize(("hand", "auction", "told"), cases(ASKED))
def test_what_is_asked_by_and_by(page: Page, hand: str, auction: str, told: str) -> None:
    assert told in words(shown(page, "ask", hand=hand, auction=auction))


def test_everything_follows_the_agreement_and_its_settings(page: Page) -> None:
    fields = {"set__response__double_one": "9", "hand": HAND, "auction": AUCTION}
    assert "double by the responder" not in words(shown(page, "ask", **fields))
    seen = words(shown(page, "explore", sequence="0", **fields))
    assert "Changed: total points for a double of a one-level overcall: 9 (not 6)" in seen
    assert re.search(r"a negative double on \d+\.\d% of the hands instead of \d+\.\d%; for", seen)
    nobody = words(shown(page, "explore", sequence="0", hcp_low="37"))
    assert "responder was dealt no hand with 37 HCP." in nobody
    own = words(shown(page, "own", **fields))
    assert "less often" in own
    assert "double_one = 9" in own
    named = words(shown(page, "own", agreement="through_2s"))
    assert "as often as before" in named


def test_an_agreement_of_ones_own_is_a_file_that_is_read(page: Page, tmp_path: Path) -> None:
    fields = {"set__opening__major_cards": "4", "set__response__raise_cards": "4"}
    html = shown(page, "own", name="ours", **fields)
    lines = re.search(r"<pre>(.*)</pre>", html, re.DOTALL)
    assert lines
    file = tmp_path / "ours.toml"
    file.write_text(unescape(lines[1]), encoding="utf-8")
    read = load(str(file))
    assert (read.opening.major_cards, read.response.raise_cards) == (4, 4)
    assert 'download="ours.toml"' in html


def test_every_question_to_a_player_is_a_choice(page: Page) -> None:
    html = shown(page, "controls")
    asked = {key for keys in re.findall(r'data-sets="([^"]+)"', html) for key in keys.split()}
    assert asked == {key for each in QUESTIONS for keys in each.parts for key in keys}
    # Each has a field that is sent.
    assert all(f'name="set.{key}"' in html for key in asked)


def test_how_often_is_answered_as_the_command_answers(page: Page) -> None:
    hcp = {"hcp_low": "12", "hcp_high": "14"}
    html = shown(page, "often", what="answer=rebid", opening="1D", who="opener", **hcp)
    command = re.search(r'<pre id="command"[^>]*>(.*)</pre>', html)
    assert command
    typed = unescape(command[1])
    assert typed == (
        "double-study how-often \"answer == 'rebid'\" --given \"opening == '1D' and opener_hcp >= 12 "
        f'and opener_hcp <= 14" --deals {DEALS} --seed {DEFAULT_SEED} --agreement reference'
    )
    what, given = re.findall(r'"([^"]+)"', typed)
    told = said(["how-often", what, "--given", given, "--deals", str(DEALS)])
    assert " ".join(told.partition(" In brackets")[0].split()) in words(html)


def test_a_long_count_can_be_watched_and_ends_as_the_command_would(page: Page) -> None:
    seen = shown(page, "often", what="call=double", long="1")
    until = time.monotonic() + 60
    while "data-poll" in seen and time.monotonic() < until:
        assert f"of {LONG:,} deals" in words(seen)
        time.sleep(0.1)
        seen = shown(page, "often", what="call=double")
    assert "Counted." in seen
    assert f"of all {LONG:,} deals" in words(seen)


def test_a_long_count_can_be_stopped() -> None:
    page = Page(REFERENCE, 50_000, 10**12)
    seen = shown(page, "often", long="1")
    assert "Stop" in seen
    other = shown(page, "often", what="call=pass")
    assert "Another question is being counted" in other
    assert "data-poll" not in shown(page, "often", stop="1")
    page.close()


CANNOT_BE = """
own     | name=../mine                    | allowed: letters, digits
own     | set__response__double_one=99    | a whole number from 0 to 37
own     | set__opening__one_notrump=20–22 | contradicts
own     | agreement=nobody's              | agreement cannot be
explore | sequence=99                     | a whole number from 0 to 41
explore | sequence=5&hcp_low=9&hcp_high=3 | the lower number first
often   | what=call=__import__            | a call from the list
often   | who=dealer                      | allowed: responder, opener
often   | extra=__import__('os')          | and besides
call    | scope=everything                | allowed: calls, doubles
"""


@pytest.mark.parametrize(("part", "fields", "told"), cases(CANNOT_BE))
def test_what_cannot_be_is_one_clear_line(page: Page, part: str, fields: str, told: str) -> None:
    html = shown(page, part, **dict(parse_qsl(fields)))
    assert html.startswith('<p class="error"')
    assert html.count("\n") <= 1
    assert told in words(html)


TAG = re.compile(
    r"</?(p|b|span|div|table|caption|thead|tbody|tr|th|td|small|svg|rect|line|"
    r"button|ul|li|details|summary|dl|dt|dd|pre|code|a|label|progress)\b"
)


def test_a_hostile_text_is_text_and_runs_nothing(page: Page) -> None:
    for text in (*hostile_names()[:200], *(letter * 10_000 for letter in "A1♠.( ")):
        for html in (
            shown(page, "ask", hand=text, auction=AUCTION),
            shown(page, "ask", hand=HAND, auction=text),
            shown(page, "often", extra=text),
            shown(page, "own", name=text, agreement="reference"),
        ):
            for tag in re.findall(r"<[^>]*>", html):
                assert TAG.match(tag), tag
                assert "onerror=" not in tag


def test_an_agreement_of_any_name_is_text() -> None:
    whole = Page(replace(REFERENCE, name=HOSTILE_FILE), 50_000).whole("n", "k")
    assert HOSTILE_FILE not in whole
    assert whole.count("<script") == 1


def test_there_is_no_other_part(page: Page) -> None:
    for name in ("", "../page.py", "_call", "agreement", "__class__"):
        assert page.part(name, {}) is None
