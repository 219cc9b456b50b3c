"""A report does not depend on what ran before: cached exact values save time and no more."""

import json
from pathlib import Path

from double_study.cli.main import main
from double_study.counting.record import LEFT_OUT
from shared.exact_report import EXACT_COMMAND, first_page_only


def files(folder: Path) -> dict[str, bytes]:
    """Return what a report left by name; of ``run.json``, which alone says what time it took, the rest."""
    paths = [path for path in folder.rglob("*") if path.is_file()]
    found = {str(path.relative_to(folder)): path.read_bytes() for path in paths}
    record = json.loads(found["tables/run.json"])
    assert record["exact"].pop("seconds") >= 0
    assert len(record["exact"]["agreement"]) == len(record["exact"]["sources"]) == 64
    return found | {"tables/run.json": json.dumps(record).encode()}


def cached_tables(shared: Path) -> dict[str, int]:
    """When each cached table of exact calls was written."""
    found = [*(shared / "cache" / "double-study").glob("calls-*")]
    assert found
    return {path.name: path.stat().st_mtime_ns for path in found}


def test_cached_values_change_nothing(exact_report: Path, shared: Path, tmp_path: Path) -> None:
    command = [*EXACT_COMMAND, "--out", str(tmp_path / "out")]
    computed = files(exact_report)
    assert b"1C,1H,double," in computed["tables/exact.csv"]
    cached = cached_tables(shared)
    with first_page_only(tmp_path):
        assert main(command) == 0
    assert files(tmp_path / "out") == computed
    assert cached_tables(shared) == cached


def test_cached_values_are_not_used_without_exact_ones(report: Path) -> None:
    tables = report / "tables"
    assert json.loads((tables / "run.json").read_text())["exact"] == LEFT_OUT
    assert b"1C,1H,double," not in (tables / "exact.csv").read_bytes()
    assert b"That figure is exact" not in (report / "01_how_often.html").read_bytes()
