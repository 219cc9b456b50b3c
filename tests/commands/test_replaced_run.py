"""A run into the folder of an earlier one takes its place, and leaves alone what is not the study's."""

import json
from pathlib import Path

import pytest
from double_study import datapackage
from double_study import files as staging
from double_study.cli.main import main
from double_study.cli.options import RECORD, staged_run
from double_study.tables import TABLE_FILES


def names(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")}


@pytest.mark.parametrize("current", [False, True], ids=["replaced", "file by file"])
def test_files_of_an_earlier_run_go_and_others_stay(
    current: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(staging, "_is_current", lambda _: current)
    monkeypatch.setattr(datapackage, "TABLE_FILES", TABLE_FILES[:2])
    out = tmp_path / "out"
    count = ["count", "--deals", "1e4", "--workers", "1", "--out", str(out)]
    assert main(count) == 0
    record = out / "tables" / "run.json"
    left = json.loads(record.read_text())
    assert {"tables", *left["files"]} == names(out)

    # An earlier edition had a table of another name, and pages; the user has notes beside them.
    (out / "figures").mkdir()
    earlier = ["tables/old.csv", "figures/old.png", "old.html"]
    own = {"tables/notes.csv", "notes", "notes/old.html", "empty"}
    (out / "notes").mkdir()
    (out / "empty").mkdir()
    (tmp_path / "outside").write_text("the user's own")
    (out / "link").symlink_to(tmp_path)
    for name in (*earlier, "tables/notes.csv", "notes/old.html"):
        (out / name).write_text("")
    hostile = ["../outside", str(tmp_path / "outside"), "link/outside", "notes", ".", ""]
    record.write_text(json.dumps({**left, "files": [*left["files"], *earlier, *hostile]}))
    assert main([*count, "--force"]) == 0
    assert {name for name in names(out) if not name.startswith("link/")} == {
        *("tables", "link", *left["files"], *own)
    }
    assert (tmp_path / "outside").read_text() == "the user's own"
    assert json.loads(record.read_text()) == left


@pytest.mark.parametrize("record", ["", "[" * 100_000, "7", "{}", '{"files": 5}', '{"files": [5]}'])
def test_where_no_record_is_everything_stays(record: str, tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    (tmp_path / RECORD).write_text(record)
    (tmp_path / "tables" / "old.csv").write_text("")
    with staged_run(tmp_path) as stage:
        (stage / "tables").mkdir()
        (stage / RECORD).write_text("{}")
    assert (tmp_path / "tables" / "old.csv").exists()
    assert json.loads((tmp_path / RECORD).read_text()) == {"files": [str(RECORD)]}
