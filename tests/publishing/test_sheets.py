"""Boards on paper: what they show, when they show it, how they print. 3 seconds."""

import re
from dataclasses import replace
from html import unescape

import pytest
from double_study.agreements.reader import REFERENCE
from double_study.lessons.board import COMPASS, Board
from double_study.lessons.board_answers import ALERTING, called, reason, why
from double_study.lessons.pbn import TITLE
from double_study.lessons.practice import BOTH, EVEN, Practice
from double_study.report import sheets
from double_study.report.sheets import AGAIN, introduction, sheet_html, suits
from readers.pages import read_page

CARD = re.compile(r"10|[2-9JQKA]")
SUIT_LINE = re.compile(r"([♠♥♦♣])\ufe0e? ((?:(?:10|[2-9JQKA])(?: |$))+|–)")


BLOCK = re.compile(r'<(?:p|h3|tr|td|th|div)\b[^>]*>|<[^>]*class="suit"[^>]*>')


def articles(html: str) -> list[str]:
    """Return the text of every article, in order, with a line for every block."""
    joined = re.sub(r"(?<=>)\n+|\n+(?=<)", "", html)
    found = re.findall(r"<article\b.*?</article>", joined, re.DOTALL)
    return [unescape(re.sub("<[^>]*>", "", BLOCK.sub("\n", each))) for each in found]


def cards(text: str) -> list[str]:
    """Return every card in lines that begin with a suit: a set of suit and rank."""
    lines = [line.replace("\ufe0e", "").strip() for line in text.splitlines()]
    found = [SUIT_LINE.fullmatch(line) for line in lines]
    return [m[1] + rank for m in found if m for rank in CARD.findall(m[2])]


@pytest.fixture(scope="module")
def practice() -> Practice:
    return Practice(number=10, near_misses=8, mix=EVEN, ask=BOTH, deals=200_000, seed=91)


@pytest.fixture(scope="module")
def items(practice: Practice) -> list[Board]:
    return practice.boards(progress=False)


@pytest.fixture(scope="module")
def html(practice: Practice, items: list[Board]) -> str:
    return sheet_html(TITLE, items, introduction(practice, "ours"), again=True)


def held(cards: int) -> set[str]:
    return {symbol + rank for symbol, ranks in suits(cards) for rank in CARD.findall(ranks)}


def test_questions_show_one_hand_and_answers_all_52_cards(items: list[Board], html: str) -> None:
    shown = articles(html)
    assert len(shown) == 2 * len(items)
    for board, question, answer in zip(items, shown, shown[len(items) :], strict=False):
        assert set(cards(question)) == held(board.hands[board.asked_at])
        assert len(cards(question)) == 13
        assert len(cards(answer)) == len(set(cards(answer))) == 52
        assert f"Board {board.number}\n" in question
        assert "?" in question
        assert COMPASS[board.asked_at] in question
        # What is asked for is not given away.
        decided = board.bidding.turn(board.asked)
        assert decided is not None
        assert reason(decided) not in question
        assert f"{called(board)}. {why(board)}" in answer.replace("\ufe0e", "")
        assert ("no further" in answer) == (board.contract is None)
        assert "…" not in answer


def test_the_auction_of_a_question_stops_at_the_call_asked_for(items: list[Board]) -> None:
    for board in items:
        rows = sheets.auction_rows(board, [*map(str, board.before), "?"])
        assert len(board.calls) > len(board.before)
        assert board.calls[: len(board.before)] == board.before
        column = next(at for row in rows for at, call in enumerate(row) if call == "?")
        assert ("West", "North", "East", "South")[column] == COMPASS[board.asked_at]
        turn = board.bidding.auction.passes + (4 if board.asked == "opener" else 2)
        assert len(board.before) == turn


def test_the_page_needs_nothing_else_and_says_its_language(html: str) -> None:
    reading = read_page(html)
    assert reading.references == []
    assert 'lang="en-GB"' in html
    assert not re.search(r"https?:|url\(|@import|<script|<link", html)
    assert reading.headings == [TITLE, "The hands", "The answers", AGAIN]


def test_pages_break_between_boards_and_never_inside_one(html: str) -> None:
    style = html[html.index("<style>") : html.index("</style>")]
    assert re.search(r"article \{[^}]*break-inside: avoid", style)
    printed = style[style.rindex("@media print") :]
    assert re.search(r"\.answers \{[^}]*break-before: page", printed)


def test_suits_have_the_colours_of_the_cards(html: str) -> None:
    for symbol, colour in zip("♠♥♦♣", ("black", "red", "red", "black"), strict=True):
        assert f'<span class="{colour}-suit">{symbol}' in html


def test_alerting_is_for_the_organiser(practice: Practice, items: list[Board], html: str) -> None:
    assert "organiser's regulations" in ALERTING
    assert ALERTING in read_page(html).text
    assert ALERTING in sheets.sheet_markdown(items, TITLE, introduction(practice, "ours"))


def test_markdown_shows_the_same_cards(practice: Practice, items: list[Board]) -> None:
    text = sheets.sheet_markdown(items, TITLE, introduction(practice, "ours"), again=True)
    text, _, foot = text.partition(f"## {AGAIN}")
    questions, _, answers = text.partition("## The answers")
    parts = [part.split("### Board ")[1:] for part in (questions, answers)]
    assert len(parts[1]) == len(items)
    for board, question in zip(items, parts[0], strict=True):
        assert set(cards(question)) == held(board.hands[board.asked_at])
        origin = board.origin
        assert f"seed 91, block {origin.block}, deal {origin.deal};" in foot
        assert f"--only {origin.place} --board {board.number} " in foot


def test_compass_form_north_above_west_and_east_beside_south_below(items: list[Board]) -> None:
    lines = sheets.compass_text(items[0]).splitlines()
    where = {place: next(i for i, ln in enumerate(lines) if place in ln) for place in COMPASS}
    assert where["North"] < where["West"] == where["East"] < where["South"]
    column = {place: lines[where[place]].index(place) for place in COMPASS}
    assert column["West"] < column["North"] == column["South"] < column["East"]
    # No line of one hand runs into another.
    spades = lines[where["West"] + 1]
    ranks = [dict(suits(items[0].hands[at]))["♠"] for at in (3, 1)]
    assert spades.split("♠")[1:] == [f" {ranks[0]}".ljust(column["East"] - 1), f" {ranks[1]}"]


def test_an_agreement_may_be_called_anything(practice: Practice, items: list[Board]) -> None:
    odd = replace(practice, agreement=replace(REFERENCE, name="<b>x</b> & co"))
    html = sheet_html(TITLE, items, introduction(odd, odd.agreement.name))
    assert "<b>x" not in html
    assert "&lt;b&gt;x&lt;/b&gt; &amp; co" in html
