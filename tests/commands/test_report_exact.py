"""A report does not depend on what ran before: exact values kept on disk save time and no more."""

import json
import shutil
from pathlib import Path

import pandas as pd
import pytest

from analysis.__main__ import main
from analysis.bidding.response import CALL
from analysis.counting.provenance import LEFT_OUT
from analysis.exact import cache, other_agreements
from analysis.exact.responses import PROBABILITY
from analysis.publishing import publish


@pytest.fixture
def command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A report of the first page; nothing is kept yet.

    The other agreements' calls stand in, for theirs is the most work: made-up sums, another each time.
    """
    invented = iter(range(1, 100))
    monkeypatch.setattr(
        other_agreements,
        "calls_of",
        lambda wanted, *_: [
            pd.DataFrame([("double", 1 / next(invented))], columns=[CALL, PROBABILITY])
            for _ in wanted
        ],
    )
    page = Path(shutil.copy(publish.NOTEBOOKS / "01_how_often.ipynb", tmp_path))
    monkeypatch.setattr(publish, "notebooks_in", lambda: [page])
    monkeypatch.setenv(cache.FOLDER, str(tmp_path / "kept"))
    low = tmp_path / "low.toml"
    low.write_text('[response]\ndouble_through = "1H"\n')
    return ["report", "--deals", "1e5", "--agreement", str(low), "--out", str(tmp_path / "out")]


def files(folder: Path) -> dict[str, bytes]:
    """What a report left by name; of ``run.json``, which alone says what time it took, the rest."""
    found = {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }
    record = json.loads(found["tables/run.json"])
    assert record["exact"].pop("seconds") >= 0
    assert len(record["exact"]["agreement"]) == len(record["exact"]["sources"]) == 64
    assert all(len(digest) == 64 for digest in record["exact"]["compared"].values())
    assert "weak_notrump" in record["exact"]["compared"]
    return found | {"tables/run.json": json.dumps(record).encode()}


def test_a_report_is_the_same_with_kept_values_and_without(
    command: list[str], tmp_path: Path
) -> None:
    assert main(command) == 0
    first = files(tmp_path / "out")
    assert b"1C,1H,double," in first["tables/exact.csv"]
    kept = {path.name: path.stat().st_mtime_ns for path in (tmp_path / "kept").iterdir()}
    assert any(name.startswith("calls-") for name in kept)
    assert any(name.startswith("others-") for name in kept)
    assert main(command) == 0
    assert files(tmp_path / "out") == first
    assert {path.name: path.stat().st_mtime_ns for path in (tmp_path / "kept").iterdir()} == kept

    # And kept values are not looked at where exact calls are not wanted.
    assert main([*command, "--no-exact"]) == 0
    tables = tmp_path / "out" / "tables"
    assert json.loads((tables / "run.json").read_text())["exact"] == LEFT_OUT
    assert b"1C,1H,double," not in (tables / "exact.csv").read_bytes()
    assert b"That figure is exact" not in (tmp_path / "out" / "01_how_often.html").read_bytes()
