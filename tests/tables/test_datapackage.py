"""The data dictionary holds what the table files hold, and keeps to the standard."""

import csv
import hashlib
import json
import re
from collections import Counter
from html import unescape
from pathlib import Path
from typing import Any

import double_study
import jsonschema
import numpy as np
import pandas as pd
import pytest
from double_study.api import deals
from double_study.checking.power import power
from double_study.columns import COLUMNS
from double_study.datapackage import PACKAGE_FILE, RUN_FILE, TABLES_FOLDER, as_csv
from double_study.datapackage import described as described_columns
from double_study.errors import InputError
from double_study.report.publish import notebooks_in
from double_study.tables import SPECIFIED, TABLE_FILES
from nbconvert.filters import markdown2html
from readers.datapackage_standard import PACKAGE_SCHEMA, faults
from shared.hostile_names import HOSTILE_FILE

Described = dict[str, Any]
"""What the dictionary says, of the package or of a table."""


@pytest.fixture(scope="module")
def folder(report: Path) -> Path:
    return report / TABLES_FOLDER


@pytest.fixture(scope="module")
def package(folder: Path) -> Described:
    return json.loads((folder / PACKAGE_FILE).read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def resources(package: Described) -> dict[str, Described]:
    """Return what the dictionary says of each table, by its name."""
    found = {resource["name"]: resource for resource in package["resources"]}
    assert found.keys() == {file.name for file in TABLE_FILES}
    return found


def rows_of(folder: Path, described: Described) -> tuple[list[str], list[list[str]]]:
    with (folder / described["path"]).open(encoding="utf-8", newline="") as file:
        header, *rows = csv.reader(file)
    return header, rows


def test_the_dictionary_keeps_to_the_standard(package: Described) -> None:
    jsonschema.Draft202012Validator(PACKAGE_SCHEMA).validate(package)


def test_the_description_is_markdown_that_shows_the_agreements_name(package: Described) -> None:
    shown = markdown2html(package["description"])
    assert "<img" not in shown
    assert HOSTILE_FILE in unescape(shown)


def test_every_file_is_described_and_nothing_else(folder: Path, package: Described) -> None:
    described = {resource["path"] for resource in package["resources"]}
    assert described | {PACKAGE_FILE, RUN_FILE} == {path.name for path in folder.iterdir()}
    assert len(described) == len(package["resources"])


SHARE = re.compile("share_of_[a-z_]+(?<!_low)(?<!_high)")
WITHOUT_EXACT_CALLS = {"exact_by_auction", "settings_moved_exactly"}
"""Tables without a row here: the report of the tests leaves the responder's exact calls out."""


def test_bytes_and_hash_are_the_file_s(folder: Path, resources: dict[str, Described]) -> None:
    for of, described in resources.items():
        content = (folder / described["path"]).read_bytes()
        assert described["bytes"] == len(content), of
        assert described["hash"] == "sha256:" + hashlib.sha256(content).hexdigest(), of


def test_every_value_is_as_described(folder: Path, resources: dict[str, Described]) -> None:
    for of, described in resources.items():
        header, rows = rows_of(folder, described)
        fields = described["schema"]["fields"]
        assert header == [field["name"] for field in fields], of
        assert bool(rows) == (of not in WITHOUT_EXACT_CALLS), of
        found = {
            (field["name"], value, fault)
            for row in rows
            for field, value in zip(fields, row, strict=True)
            for fault in faults(value, field)
        }
        assert not found, of


def test_the_primary_key_tells_rows_apart(folder: Path, resources: dict[str, Described]) -> None:
    for of, described in resources.items():
        header, rows = rows_of(folder, described)
        places = [header.index(column) for column in described["schema"]["primaryKey"]]
        keys = Counter(tuple(row[place] for place in places) for row in rows)
        assert all(times == 1 for times in keys.values()), of


def test_an_estimate_stands_in_its_interval(folder: Path, resources: dict[str, Described]) -> None:
    for of, described in resources.items():
        table = pd.read_csv(folder / described["path"])
        header = [str(name) for name in table]
        shares = [name for name in header if SHARE.fullmatch(name)]
        assert len(shares) == ("of" in header and "share_of" in ",".join(header)), of
        for share in shares:
            known = table.dropna(subset=share)
            # The limits are floats: at a share of 0 or 1 they may differ from it in the last bit.
            slack = 1e-15
            assert (known[f"{share}_low"] <= known[share] + slack).all(), of
            assert (known[share] <= known[f"{share}_high"] + slack).all(), of
            counted = (known["deals"] / known["of"]).astype(float)
            np.testing.assert_allclose(known[share].astype(float), counted, rtol=0, atol=slack)


def test_a_share_says_what_it_is_a_share_of(resources: dict[str, Described]) -> None:
    for of, described in resources.items():
        fields = {field["name"]: field["description"] for field in described["schema"]["fields"]}
        assert not {"estimate", "low", "high"} & {*fields}, of
        [whole] = [file.share_of for file in TABLE_FILES if file.path == described["path"]]
        for name, text in fields.items():
            if SHARE.fullmatch(name):
                assert re.search(r"(share of|a share of:) (all|the) \w+", text), text
            if name == "of" or SHARE.fullmatch(name):
                assert text.endswith(f"{whole}."), of


def test_a_foreign_key_finds_its_row(folder: Path, resources: dict[str, Described]) -> None:
    paths = {resource["name"]: resource["path"] for resource in resources.values()}
    for of, described in resources.items():
        own = pd.read_csv(folder / described["path"], dtype=str)
        for key in described["schema"].get("foreignKeys", ()):
            to = key["reference"]
            other = pd.read_csv(folder / paths[to["resource"]], dtype=str)[to["fields"]]
            assert not other.duplicated().any(), of
            here, there = (
                {*table.itertuples(index=False, name=None)} for table in (own[key["fields"]], other)
            )
            assert here <= there, of


def test_categories_have_the_labels_that_readers_see(package: Described) -> None:
    fields = [f for resource in package["resources"] for f in resource["schema"]["fields"]]
    labelled = [field for field in fields if "categories" in field]
    assert {"call", "topic", "opening", "message"} <= {field["name"] for field in labelled}
    labels = set()
    for field in labelled:
        assert [each["value"] for each in field["categories"]] == field["constraints"]["enum"]
        labels |= {each["label"] for each in field["categories"]}
    assert "1♣ or 1♦ (1♠): four hearts" in labels


def test_no_column_is_described_that_nothing_has(package: Described) -> None:
    used = {f["name"] for resource in package["resources"] for f in resource["schema"]["fields"]}
    used |= {"block", *deals(1000, hands=True).reset_index()}  # in the sample of deals
    sources = [*Path(double_study.__file__).parent.rglob("*.py"), *notebooks_in()]
    code = "\n".join(path.read_text(encoding="utf-8") for path in sources)
    used |= {*re.findall(r"['\"](\w+)\\?['\"]", code)}
    used |= {*power()}
    limits = re.compile("_(low|high)$")
    described = {column.key for column in COLUMNS.values() if not limits.search(column.key)}
    assert not {key for key in described if not {key, COLUMNS[key].name} & used}


def test_a_column_without_a_description_is_refused() -> None:
    with pytest.raises(InputError, match=r"calls\.csv: columns\.toml has no entry for unheard_of"):
        described_columns(SPECIFIED["calls"], pd.DataFrame({"deals": [1], "unheard_of": [2]}))


@pytest.mark.parametrize(
    ("value", "kind", "constraints", "fault"),
    [
        ("", "integer", {}, ["missing"]),
        ("1.5", "integer", {}, ["not of type integer"]),
        ("inf", "number", {}, ["not of type number"]),
        ("5", "integer", {"maximum": 4}, ["maximum"]),
        ("-1", "number", {"minimum": 0}, ["minimum"]),
        ("x", "string", {"enum": ["y"]}, ["enum"]),
        ("", "number", {"required": False}, []),
        ("INF", "number", {"minimum": 0}, []),
    ],
)
def test_the_reading_of_the_standard_finds_faults(
    value: str, kind: str, constraints: dict[str, Any], fault: list[str]
) -> None:
    assert faults(value, {"type": kind, "constraints": {"required": True} | constraints}) == fault


def test_infinity_and_nothing_are_written_as_the_standard_has_them() -> None:
    table = pd.DataFrame({"a": [np.inf, -np.inf, np.nan, 0.1]})
    assert as_csv(table) == b'a\nINF\n-INF\n""\n0.1\n'
    # A whole number that never ends is missing.
    boards = pd.DataFrame({"boards": [12.0, np.inf]})
    assert as_csv(boards, [COLUMNS["boards"]]) == b'boards\n12\n""\n'
