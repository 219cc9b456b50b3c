"""The sample of deals that a report has: what its data dictionary says, and the deals themselves."""

import csv
import gzip
import io
import json
from pathlib import Path

import double_study as ds
import numpy as np
import pytest
from double_study.cards.deal import BLOCK_DEALS, deal_block
from double_study.cards.notation import read_hand
from double_study.report import sample
from double_study.report.sample import SAMPLE_FILE, write_sample
from readers.datapackage_standard import faults

ROWS = 4_000


def test_the_sample_is_what_is_described(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Few enough are dealt at first that more are needed.
    for name, number in (("ROWS", ROWS), ("_DEALT", 2 * ROWS)):
        monkeypatch.setattr(sample, name, number)
    run = ds.run(deals=BLOCK_DEALS, workers=1)
    write_sample(tmp_path / "sample", run)
    content = (tmp_path / "sample" / SAMPLE_FILE).read_bytes()
    rows = list(csv.DictReader(io.StringIO(gzip.decompress(content).decode())))
    assert len(rows) == ROWS
    package = json.loads((tmp_path / "sample" / "datapackage.json").read_text())
    [described] = package["resources"]
    fields = described["schema"]["fields"]
    assert [field["name"] for field in fields] == list(rows[0])
    for field in fields:
        values = {row[field["name"]] for row in rows}
        assert not [fault for value in values for fault in faults(value, field)], field["name"]
        assert ("" in values) == (not field["constraints"]["required"]) or field["name"] == "bid"
    for row in rows[:: ROWS // 20]:
        cards = deal_block(2026, int(row["block"]))[:, int(row["deal"]) % BLOCK_DEALS]
        assert [read_hand(row[f"hand_{seat}"]) for seat in (1, 2, 3, 4)] == cards.tolist()
    write_sample(tmp_path / "again", run)
    assert (tmp_path / "again" / SAMPLE_FILE).read_bytes() == content
    assert np.diff([int(row["deal"]) for row in rows]).min() > 0
