"""A whole report, made by the main command from the real notebooks."""

import json
import re
import tempfile
import tomllib
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pandas as pd
import pytest
import yaml
from double_study.report.cite import TITLE, figure
from double_study.report.lesson_plan import ALSO, LESSON
from double_study.report.pages import INDEX
from double_study.report.publish import NOTEBOOKS, notebooks_in
from double_study.report.text_pages import AGREEMENT, AUTHOR_PAGE, CHANGES
from double_study.rules.explain import RULE_TABLES
from double_study.tables import TABLE_FILES
from readers.pages import read_page
from readers.plain_words import crowded_brackets, crowded_sentences
from shared.commands import said
from shared.hostile_names import HOSTILE_FILE

SKELETON = ["The answer", "The result", "The words used", "The method", "The exact check"]
SKELETON += ["The limits", "Further reading"]
NAMES = [path.stem for path in notebooks_in()]
TEXT_PAGES = (AGREEMENT, AUTHOR_PAGE, CHANGES)


@cache
def pages(report: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in report.glob("*.html")}


@pytest.fixture
def record(report: Path) -> dict[str, Any]:
    return json.loads((report / "tables" / "run.json").read_text(encoding="utf-8"))


def test_there_is_a_page_a_notebook_and_an_index(report: Path) -> None:
    every = {INDEX, *(f"{name}.html" for name in (*TEXT_PAGES, *NAMES))}
    assert set(pages(report)) == every


@pytest.mark.parametrize("name", NAMES)
def test_a_page_follows_the_skeleton(report: Path, name: str) -> None:
    title, *headings = read_page(pages(report)[f"{name}.html"]).headings
    assert title
    assert headings == SKELETON


def paragraphs(report: Path, file: str) -> list[tuple[str, str]]:
    """Return the paragraphs of a page, each after its heading; the agreement's name, which is no
    word, left out.
    """
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
    left_out = ("Further reading", "How to cite")
    told = [text for under, text in paragraphs(report, file) if under not in left_out]
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


def test_a_ten_is_10_wherever_a_reader_meets_it(report: Path) -> None:
    texts = [(path.name, path.read_text(encoding="utf-8")) for path in report.rglob("*.md")]
    for path in report.rglob("*.html"):
        texts.append((path.name, read_page(path.read_text(encoding="utf-8")).text))
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
    figures = [path.name for path in (report / "figures").iterdir()]
    stems = {name.partition(".")[0] for name in figures}
    assert {*figures} == {stem + end for stem in stems for end in (".png", ".svg")}
    assert len(stems) == pictures > 0


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
                # A browser looks for the fragment as it stands, and then without its escapes.
                found = {place.fragment, unquote(place.fragment)} & read[file].anchors
                assert found, f"{name} points at {target}"
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
    for path in report.rglob("*.html"):
        assert "<img src=x" not in path.read_text(encoding="utf-8"), path
    readme = (report / "README.md").read_text(encoding="utf-8")
    text = re.sub(r"```.*?```", "", readme, flags=re.S)  # what is fenced is shown as it stands
    assert "<img" not in text.replace(r"\<img", "")
    assert r"\} \$x\$ \$ \_a\_" in readme


def test_no_notebook_says_anything_on_standard_error(report: Path) -> None:
    heard = (report.parent / "stderr").read_text(encoding="utf-8")
    assert "100%" in heard  # the counting's progress bar: the command was listened to
    assert "notebook " not in heard.replace("notebooks:", "")


def test_the_front_page_leads_everywhere_and_names_its_run(
    report: Path, record: dict[str, Any]
) -> None:
    readme = (report / "README.md").read_text(encoding="utf-8")
    linked = re.findall(r"\]\(([^)#]+)\)", readme)
    wanted = {f"{name}.html" for name in (*TEXT_PAGES, *NAMES)}
    assert wanted <= set(linked)
    assert all((report / target).is_file() for target in linked)
    foot = " ".join(readme.strip().splitlines()[-3:])
    for value in (record["commit"], f"{record['deals']:,} deals", f"seed {record['seed']}"):
        assert value in foot
        assert value in " ".join(read_page(pages(report)[INDEX]).text.split())
    shares = pd.read_csv(report / "tables" / "agreements.csv")["share_of_deals"][1:]
    for end in (shares[shares > 0].min(), shares.max()):
        assert f"{end:.1%}" in readme.partition("Your call")[0]


def test_the_author_page_has_tables_and_sentences(report: Path, record: dict[str, Any]) -> None:
    text = (report / f"{AUTHOR_PAGE}.md").read_text(encoding="utf-8")
    assert all(f"(tables/{file.path})" in text for file in TABLE_FILES)
    edition, year = record["versions"]["study"][:3], record["created"][:4]
    sentences = re.findall(r"^\d+\. (.+)\n\n    \*Beware:\* (\S.+)$", text, re.M)
    # Four of the ten need the responder's exact calls, which this report goes without.
    assert len(sentences) == 7
    for sentence, _ in sentences:
        assert sentence.endswith(f" (Responder's Double Study, {edition}, {year}).")
        assert not re.search(r"seed|commit|digest", sentence)


def test_the_rules_are_all_there_with_their_share_of_use(report: Path) -> None:
    text = (report / f"{AGREEMENT}.md").read_text(encoding="utf-8")
    used = pd.read_csv(report / "tables" / "rules.csv")
    for table in RULE_TABLES:
        section = text.partition(f"\n## {table.title}\n")[2].partition("\n## ")[0]
        part = used[used["part"] == table.title]
        shown = re.findall(r"^\| (\d+) \| .* \| ([^|]+) \|$", section, re.M)
        assert [int(number) for number, _ in shown] == part["rule"].to_list()
        assert [share for _, share in shown] == [figure(x) for x in part["share_of_hands"]]
        assert part["deals"].sum() == part["of"].iloc[0]
    assert all(word in text for word in ("a good suit: at least 2", "HCP: ace 4", "12+ HCP"))


def test_every_page_and_citation_is_of_one_edition(report: Path, record: dict[str, Any]) -> None:
    version = tomllib.loads((NOTEBOOKS.parent / "pyproject.toml").read_text())["project"]["version"]
    cff = yaml.safe_load((report / "CITATION.cff").read_text(encoding="utf-8"))
    [csl] = json.loads((report / "citation.json").read_text(encoding="utf-8"))
    bib = (report / "citation.bib").read_text(encoding="utf-8")
    package = json.loads((report / "tables" / "datapackage.json").read_text(encoding="utf-8"))
    assert {cff["version"], csl["version"], package["version"]} == {version}
    assert f"version = {{{version}}}" in bib
    assert cff["title"] == csl["title"] == TITLE
    author = "The contributors to the responder's double study"
    assert cff["authors"] == [{"name": author}]
    assert csl["author"] == [{"literal": author}]
    assert cff["commit"] == record["commit"]
    assert package["created"] == record["created"]
    assert str(cff["date-released"]) == record["created"][:10]
    for name, html in pages(report).items():
        if name != INDEX:
            assert f"{AGREEMENT}.html" in html.partition("<footer>")[2], name
    assert version in said(["cite", str(report)])
