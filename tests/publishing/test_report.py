"""A whole report, made by the main command from the real notebooks."""

import json
import re
import tempfile
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from double_study.report.lesson_plan import ALSO, LESSON
from double_study.report.pages import INDEX
from double_study.report.publish import NOTEBOOKS, notebooks_in
from double_study.tables import TABLE_FILES
from readers.pages import read_page
from readers.plain_words import crowded_brackets, crowded_sentences
from shared.hostile_names import HOSTILE_FILE

SKELETON = [
    "The answer",
    "The result",
    "The words used",
    "The method",
    "The exact check",
    "The limits",
    "Further reading",
]
NAMES = [path.stem for path in notebooks_in()]


def pages(report: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in report.glob("*.html")}


def test_there_is_a_page_a_notebook_and_an_index(report: Path) -> None:
    every = {INDEX, *(f"{name}.html" for name in NAMES)}
    assert set(pages(report)) == every


@pytest.mark.parametrize("name", NAMES)
def test_a_page_follows_the_skeleton(report: Path, name: str) -> None:
    title, *headings = read_page(pages(report)[f"{name}.html"]).headings
    assert title
    assert headings == SKELETON


def assert_numbers_to_print(report: Path) -> None:
    front = (report / "README.md").read_text(encoding="utf-8")
    section = front.partition("\n## Numbers to print\n")[2].partition("\n## ")[0]
    links = re.findall(r"\]\(([^)#]+\.html)#([^)]+)\)", section)
    assert len(links) == section.count("\n- ") == 6
    said = json.loads((report / "tables" / "run.json").read_text(encoding="utf-8"))
    for file, anchor in links:
        html = pages(report)[file]
        there = re.split(r"<h[23]", html.partition(f'id="{anchor}"')[2])[0]
        assert "<table" in there or (said["exact"] == "left out" and "goes without" in there), (
            anchor
        )
        if "<table" in there:
            assert "95% interval" in there or "exactly" in there, anchor
        text = read_page(html).text
        assert f"seed {said['seed']}" in text
        assert said["agreement"]["name"] in text


def paragraphs(report: Path, file: str) -> list[tuple[str, str]]:
    """The paragraphs of a page, each after its heading; the agreement's name, which is no word, left out."""
    told = read_page(pages(report)[file]).paragraphs
    return [(under, text.replace(HOSTILE_FILE, "A")) for under, text in told]


@pytest.mark.parametrize("name", NAMES)
def test_a_sentence_of_an_answer_has_three_numbers_at_most(report: Path, name: str) -> None:
    told = paragraphs(report, f"{name}.html")
    answer = [text for under, text in told if under == "The answer"]
    assert answer
    assert not [crowded for text in answer for crowded in crowded_sentences(text)]


@pytest.mark.parametrize("file", [INDEX, *(f"{name}.html" for name in NAMES)])
def test_a_paragraph_has_one_bracket_at_most(report: Path, file: str) -> None:
    told = [
        text
        for under, text in paragraphs(report, file)
        if under not in ("Further reading", "How to cite")
    ]
    assert told
    assert not [crowded for text in told if (crowded := crowded_brackets(text))]


def test_the_report_carries_the_lessons_and_their_links_lead_somewhere(report: Path) -> None:
    lesson = report / LESSON
    folders = {path.parent.relative_to(lesson).as_posix() for path in lesson.rglob("plan.html")}
    assert folders == {".", *ALSO, *(f"course/week_{week}" for week in range(1, 5))}
    for page in lesson.rglob("*.html"):
        reading = read_page(page.read_text(encoding="utf-8"))
        for tag, target in reading.references:
            place = urlsplit(target)
            assert tag == "a"
            assert not place.path or (page.parent / unquote(place.path)).is_file(), (page, target)


def test_the_numbers_that_get_printed_are_two_clicks_away(report: Path) -> None:
    """From the front page to the heading that has the table, with an interval or an exact value."""
    assert_numbers_to_print(report)


def test_a_ten_is_10_wherever_a_reader_meets_it(report: Path) -> None:
    texts = [(path.name, path.read_text(encoding="utf-8")) for path in report.rglob("*.md")]
    texts += [
        (str(path.relative_to(report)), read_page(path.read_text(encoding="utf-8")).text)
        for path in report.rglob("*.html")
    ]
    tens = 0
    for name, text in texts:
        held = re.findall(r"[♠♥♦♣]\ufe0e? ?((?:[AKQJT2-9]|10)(?: ?(?:[AKQJT2-9]|10))*)(?!\w)", text)
        tens += sum("10" in cards for cards in held)
        assert not [cards for cards in held if "T" in cards], name
    assert tens > 50


def test_every_picture_has_words_and_is_kept_in_both_forms(report: Path) -> None:
    pictures = 0
    for name, html in pages(report).items():
        for alt in read_page(html).alt:
            pictures += name != INDEX  # the front page shows some of them again
            # Fewer than five words say what a picture is, not what it shows.
            assert len((alt or "").split()) >= 5, alt
    figures = sorted(path.name for path in (report / "figures").iterdir())
    assert pictures > 0
    assert [name for name in figures if name.endswith(".png")] == [
        name.replace(".svg", ".png") for name in figures if name.endswith(".svg")
    ]
    assert len(figures) == 2 * pictures


def test_pages_need_nothing_but_themselves(report: Path) -> None:
    read = {name: read_page(html) for name, html in pages(report).items()}
    for name, page in read.items():
        for tag, target in page.references:
            if target.startswith("data:"):
                continue
            assert tag == "a", f"{name} loads {target}"
            place = urlsplit(target)
            if place.scheme:
                continue
            file = unquote(place.path) or name
            assert (report / file).is_file(), f"{name} points at {target}"
            if place.fragment:
                assert unquote(place.fragment) in read[file].anchors, f"{name} points at {target}"
    for html in pages(report).values():
        assert not re.search(r"<script|@import|url\(", html)


def test_nothing_in_a_report_speaks_of_the_machine_it_was_made_on(report: Path) -> None:
    private = {str(Path.home()), tempfile.gettempdir(), str(NOTEBOOKS.parent), str(report)}
    # A home directly under the root, as for a system user, is no path to look for.
    private = {path for path in private if len(Path(path).parts) > 1}
    texts = [path for path in report.rglob("*") if path.suffix in (".html", ".json", ".md", ".csv")]
    assert texts
    for path in texts:
        text = path.read_text(encoding="utf-8")
        assert not [word for word in private if f"{word}/" in text], path.name


def test_the_name_of_the_agreement_is_text(report: Path) -> None:
    for name, html in pages(report).items():
        assert HOSTILE_FILE in read_page(html).text, name
        assert "<img src=x" not in html
    readme = (report / "README.md").read_text(encoding="utf-8")
    text = re.sub(r"```.*?```", "", readme, flags=re.S)  # what is fenced is shown as it stands
    assert "<img" not in text.replace(r"\<img", "")
    assert r"\} \$x\$ \$ \_a\_" in readme


def test_no_notebook_says_anything_on_standard_error(report: Path) -> None:
    said = (report.parent / "stderr").read_text(encoding="utf-8")
    assert "100%" in said  # the counting's progress bar: the command was listened to
    assert "notebook " not in said.replace("notebooks:", "")


def test_the_front_page_and_the_index_list_pages_tables_and_how_to_cite(report: Path) -> None:
    said = json.loads((report / "tables" / "run.json").read_text(encoding="utf-8"))
    readme = (report / "README.md").read_text(encoding="utf-8")
    linked = re.findall(r"\]\(([^)#]+)\)", readme)
    wanted = [INDEX, *(f"{name}.html" for name in NAMES)]
    wanted += [f"tables/{file.path}" for file in TABLE_FILES]
    assert set(wanted) <= set(linked)
    assert all((report / target).is_file() for target in linked)
    index = " ".join(read_page(pages(report)[INDEX]).text.split())
    for text in (readme, index):
        for value in (said["commit"], f"{said['deals']:,}", f"seed {said['seed']}", "@misc{"):
            assert value in text
        assert said["digest"][:12] in text
        assert said["agreement"]["digest"][:12] in text
