"""The reports that are kept in the repository: from one full run, which can be run again."""

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
import yaml
from double_study.agreements.reader import of_document
from double_study.counting import run as study
from double_study.datapackage import RUN_FILE, TABLES_FOLDER
from double_study.report.lesson_plan import LESSON
from double_study.report.pages import INDEX
from double_study.report.publish import NOTEBOOKS, notebooks_in
from double_study.report.sample import SAMPLE_FILE, SAMPLE_FOLDER
from double_study.report.text_pages import AGREEMENT, AUTHOR_PAGE, CHANGES
from double_study.sources import version
from double_study.tables import TABLE_FILES

REPORTS = NOTEBOOKS.parent / "reports"


@pytest.fixture(scope="module")
def record() -> dict[str, Any]:
    return json.loads((REPORTS / TABLES_FOLDER / RUN_FILE).read_text(encoding="utf-8"))


def test_the_first_block_counts_the_same_today(record: dict[str, Any]) -> None:
    agreement = of_document(record["agreement"]["settings"], record["agreement"]["name"], RUN_FILE)
    assert agreement.digest == record["agreement"]["digest"]
    block = study.count_blocks(record["seed"], study.blocks_of(record["deals"])[:1], agreement)
    assert block.deals == record["block_deals"]
    assert block.digest == record["first_block"]


def test_the_run_was_a_full_one_of_a_clean_commit(record: dict[str, Any]) -> None:
    assert record["deals"] >= study.DEFAULT_DEALS
    assert record["agreement"]["name"] == "reference"
    assert set(record["commit"]) <= set("0123456789abcdef"), "files had been changed"
    assert len(record["commit"]) == 40


def test_the_report_names_its_commit_and_is_in_the_one_after(record: dict[str, Any]) -> None:
    said = (REPORTS / "README.md").read_text(encoding="utf-8")
    assert f"commit {record['commit']}. That commit made this report" in said
    file = f"{TABLES_FOLDER}/{RUN_FILE}"
    log = "git", "-C", str(REPORTS), "log", "-1", "--format=%P", "--", file
    parents = subprocess.run(log, capture_output=True, text=True, check=False).stdout.split()  # noqa: S603
    # A copy without its history cannot tell; the repository can.
    assert record["commit"] in parents or not (REPORTS.parent / ".git").exists()


def test_one_edition_has_one_number(record: dict[str, Any]) -> None:
    assert record["versions"]["study"] == version()
    cff = yaml.safe_load((REPORTS / "CITATION.cff").read_text(encoding="utf-8"))
    assert (cff["version"], cff["commit"]) == (version(), record["commit"])


def test_the_folder_holds_what_a_run_leaves_and_no_more() -> None:
    left = {str(path.relative_to(REPORTS)) for path in REPORTS.rglob("*") if path.is_file()}
    lessons = {name for name in left if Path(name).parts[0] == LESSON}
    assert {f"{LESSON}/{INDEX}", f"{LESSON}/course/week_4/homework.html"} <= lessons
    pages = {f"{path.stem}.html" for path in notebooks_in()}
    tables = {f"{TABLES_FOLDER}/{name}" for name in (RUN_FILE, "datapackage.json")}
    tables |= {f"{TABLES_FOLDER}/{file.path}" for file in TABLE_FILES}
    figures = {name for name in left if Path(name).parent.name == "figures"}
    texts = {
        f"{name}{end}" for name in (AGREEMENT, AUTHOR_PAGE, CHANGES) for end in (".html", ".md")
    }
    texts |= {"CITATION.cff", "citation.bib", "citation.json"}
    texts |= {f"{SAMPLE_FOLDER}/{name}" for name in (SAMPLE_FILE, "datapackage.json")}
    assert left - figures - lessons == {INDEX, "README.md"} | pages | tables | texts
    assert {Path(name).stem.rpartition("_")[0] for name in figures} <= {
        Path(page).stem for page in pages
    }
