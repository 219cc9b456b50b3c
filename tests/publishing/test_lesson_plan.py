"""The lesson as files: what its run counted, the page to send, the commands that write them. 60 s."""

import re
from functools import cache
from pathlib import Path

import pytest
from double_study.agreements.reader import REFERENCE
from double_study.lessons.hour import rows
from double_study.report.lesson_plan import Figures, Lesson, lessons
from double_study.report.pages import INDEX
from double_study.rules.response import double_needs
from double_study.rules.terms import SEQUENCES
from double_study.tables import Run
from readers.pages import read_page
from readers.strict_pbn import read_pbn
from shared.commands import complaint, said
from shared.small_runs import SEED, run_of

DEALS = 60_000
EVERY = {
    INDEX,
    *("plan.html", "plan.md", "handout.html", "handout.md", "homework.html"),
    *("boards.html", "boards_answers.html", "boards.md", "boards.pbn"),
    *("homework_sheet.html", "homework_answers.html", "homework.md", "homework.pbn"),
}


@cache
def run() -> Run:
    return run_of("reference", DEALS)


@cache
def lesson() -> Lesson:
    [made] = lessons(run(), SEED)
    return made


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the lesson as it is written."""
    folder = tmp_path_factory.mktemp("lesson")
    lesson().write(folder)
    return folder


def read(folder: Path, name: str) -> str:
    return (folder / name).read_text(encoding="utf-8")


def test_the_folder_has_every_file_and_links_lead_to_them(folder: Path) -> None:
    assert {path.name for path in folder.iterdir()} == EVERY
    for name in (INDEX, "plan.html"):
        links = [to for tag, to in read_page(read(folder, name)).references if tag == "a"]
        assert {link for link in links if not link.startswith("#")} <= EVERY
    index = {to for _, to in read_page(read(folder, INDEX)).references}
    assert index == EVERY - {INDEX}


def test_the_minutes_of_the_plan_add_up_whatever_they_are() -> None:
    for minutes in (20, 45, 60, 90, 180):
        hour = lesson().hours[0].__class__(**{**vars(lesson().hours[0]), "minutes": minutes})
        text = lesson().plan(hour)
        parts = re.findall(r"^\| (\d+) \| .+ \|$", text, re.M)
        assert sum(map(int, parts)) == minutes
        assert len(parts) == 7


def test_the_table_says_what_the_run_counted_the_most_frequent_first() -> None:
    figures = Figures(run())
    doubles = [figures.doubles(row) for row in figures.ranked]
    assert doubles == sorted(doubles, reverse=True)
    assert sum(doubles) == run().table("doubles_by_auction")["deals"].sum() == figures.all
    shown = re.findall(r"\| (?:one in (\S+)|(\d+)%) \|$", figures.table, re.M)
    words = "two three four five six seven eight nine ten".split()
    for (one_in, percent), count in zip(shown, filter(None, doubles), strict=True):
        share = count / figures.all
        if percent:
            assert share == pytest.approx(int(percent) / 100, abs=0.006)
        else:
            whole = 2 + words.index(one_in) if one_in in words else int(one_in.replace(",", ""))
            assert share == pytest.approx(1 / whole, rel=0.11)


def test_every_row_states_the_points_of_its_own_auctions() -> None:
    every = rows(REFERENCE)
    reached = [at for at, (_, bid) in enumerate(SEQUENCES) if bid.level < 4]
    assert sorted(at for row in every for at in row.auctions) == reached
    for row in every:
        for at in row.auctions:
            opening, bid = SEQUENCES[at]
            assert int(double_needs(REFERENCE, bid.level, bid.denomination)) in row.needs
            assert bid.symbol in row.auction
            assert f"1{'♣♦♥♠'[opening]}" in row.auction


def test_the_questions_show_no_answer_and_the_answers_stand_apart(folder: Path) -> None:
    hour = lesson().hours[0]
    for name, items in (("boards.html", hour.boards), ("homework_sheet.html", hour.homework)):
        html = read(folder, name)
        assert html.count("<article>") == len(items) == 12
        assert html.count('class="hand') == 12
        assert "answer" not in read_page(html).text
    for name in ("boards_answers.html", "homework_answers.html"):
        assert read(folder, name).count('class="hand') == 4 * 12


def test_the_homework_is_one_page_that_needs_nothing(folder: Path) -> None:
    html = read(folder, "homework.html")
    assert read_page(html).references == []
    assert not re.search(r"https?:|url\(|@import|<link|<script src", html)
    assert html.count("<script>") == 1
    articles = re.findall(r"<article .*?</article>", html, re.S)
    assert len(articles) == 12
    for article in articles:
        [right] = re.findall(r'data-call="([^"]+)"', article)
        calls = re.findall(r'<button type="button" value="([^"]+)"', article)
        assert calls.count(right) == 1
        assert len(calls) == len(set(calls)) > 3  # the fewest, over a bid of 4♥
        assert article.count('class="hand') == 1
    # Where there is no script, or on paper, the answers come last.
    assert html.index("The answers") > html.rindex("</article>")
    printed = html[html.index("@media print") : html.index("</style>")]
    assert re.search(r"\.calls, \.verdict[^}]*display: none", printed)


def test_the_deals_are_read_by_a_strict_reader(folder: Path) -> None:
    for name, first in (("boards.pbn", 1), ("homework.pbn", 13)):
        games = read_pbn((folder / name).read_bytes())
        assert [int(game.tags["Board"]) for game in games] == list(range(first, first + 12))


def test_the_command_writes_a_course_and_does_not_overwrite_it(tmp_path: Path) -> None:
    out, command = tmp_path / "out", f"lesson --deals 30_000 --course 4 --out {tmp_path / 'out'}"
    assert said(command)
    assert {path.name for path in out.iterdir()} == {INDEX, *(f"week_{n}" for n in range(1, 5))}
    assert {path.name for path in (out / "week_3").iterdir()} == EVERY - {INDEX}
    for page in out.rglob("*.html"):
        for tag, to in read_page(page.read_text(encoding="utf-8")).references:
            assert tag != "a" or to.startswith("#") or (page.parent / to).is_file(), (page, to)
    assert f"{INDEX} of another run; allowed" in complaint(command)


@pytest.mark.parametrize(
    ("option", "over"), [("--level 2", "(2"), ("--topic exactly_four_spades_1", "(1♥)")]
)
def test_a_level_or_a_topic_alone(option: str, over: str, tmp_path: Path) -> None:
    assert said(f"lesson --deals 30_000 {option} --boards 6 --out {tmp_path / 'out'}")
    bidding = re.findall(r"after 1\S (\(\S+\))", read(tmp_path / "out", "plan.md"))
    assert len(bidding) > 10
    assert all(overcall.startswith(over) for overcall in bidding)


def test_a_quiz_is_written_as_a_page(tmp_path: Path) -> None:
    page, command = tmp_path / "quiz.html", f"quiz --html {tmp_path / 'quiz.html'} --seed 5"
    assert said(f"{command} --questions 7 --about answers")
    first = page.read_text(encoding="utf-8")
    assert first.count("<article ") == 7
    assert "quiz.html: this file exists; allowed" in complaint(command)
    assert page.read_text(encoding="utf-8") == first
    assert said(f"{command} --force")
    assert page.read_text(encoding="utf-8").count("<article ") == 12
