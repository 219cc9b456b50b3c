"""The data dictionary holds what the table files hold, and keeps to the standard."""

import csv
import hashlib
import json
from collections import Counter
from html import unescape
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pandas as pd
import pytest
from double_study.api import deals
from double_study.columns import COLUMNS
from double_study.datapackage import PACKAGE_FILE, RUN_FILE, TABLES_FOLDER, as_csv, resource
from double_study.errors import InputError
from double_study.tables import TABLE_FILES
from nbconvert.filters import markdown2html
from readers.datapackage_standard import PACKAGE_SCHEMA, faults
from shared.hostile_names import HOSTILE_FILE

each_table = pytest.mark.parametrize("name", [file.name for file in TABLE_FILES])


@pytest.fixture(scope="module")
def folder(report: Path) -> Path:
    return report / TABLES_FOLDER


@pytest.fixture(scope="module")
def package(folder: Path) -> dict[str, Any]:
    return json.loads((folder / PACKAGE_FILE).read_text(encoding="utf-8"))


@pytest.fixture
def described(package: dict[str, Any], name: str) -> dict[str, Any]:
    [found] = [resource for resource in package["resources"] if resource["name"] == name]
    return found


def rows_of(folder: Path, described: dict[str, Any]) -> tuple[list[str], list[list[str]]]:
    with (folder / described["path"]).open(encoding="utf-8", newline="") as file:
        header, *rows = csv.reader(file)
    return header, rows


def test_the_dictionary_keeps_to_the_standard(package: dict[str, Any]) -> None:
    jsonschema.Draft202012Validator(PACKAGE_SCHEMA).validate(package)


def test_the_description_is_markdown_that_shows_the_agreements_name(
    package: dict[str, Any],
) -> None:
    shown = markdown2html(package["description"])
    assert "<img" not in shown
    assert HOSTILE_FILE in unescape(shown)


def test_every_file_is_described_and_nothing_else(folder: Path, package: dict[str, Any]) -> None:
    described = {resource["path"] for resource in package["resources"]}
    assert described | {PACKAGE_FILE, RUN_FILE} == {path.name for path in folder.iterdir()}
    assert len(described) == len(package["resources"])


WITHOUT_EXACT_CALLS = {"exact_by_auction"}
"""Tables without a row here: the report of the tests leaves the responder's exact calls out."""


@each_table
def test_bytes_and_hash_are_those_of_the_file(folder: Path, described: dict[str, Any]) -> None:
    content = (folder / described["path"]).read_bytes()
    assert described["bytes"] == len(content)
    assert described["hash"] == "sha256:" + hashlib.sha256(content).hexdigest()


@each_table
def test_every_value_is_as_described(folder: Path, described: dict[str, Any]) -> None:
    header, rows = rows_of(folder, described)
    fields = described["schema"]["fields"]
    assert header == [field["name"] for field in fields]
    assert bool(rows) == (described["name"] not in WITHOUT_EXACT_CALLS)
    found = {
        (field["name"], value, fault)
        for row in rows
        for field, value in zip(fields, row, strict=True)
        for fault in faults(value, field)
    }
    assert not found


@each_table
def test_the_primary_key_tells_rows_apart(folder: Path, described: dict[str, Any]) -> None:
    header, rows = rows_of(folder, described)
    places = [header.index(column) for column in described["schema"]["primaryKey"]]
    keys = Counter(tuple(row[place] for place in places) for row in rows)
    assert all(times == 1 for times in keys.values())


@each_table
def test_an_estimate_stands_in_its_interval(folder: Path, described: dict[str, Any]) -> None:
    table = pd.read_csv(folder / described["path"])
    if "estimate" in table:
        known = table.dropna(subset="estimate")
        # The limits are floats: at a share of 0 or 1 they may differ from it in the last bit.
        slack = 1e-15
        assert (known["low"] <= known["estimate"] + slack).all()
        assert (known["estimate"] <= known["high"] + slack).all()


def test_no_column_is_described_that_no_table_has(package: dict[str, Any]) -> None:
    used = {f["name"] for resource in package["resources"] for f in resource["schema"]["fields"]}
    of_deals = {"block", *deals(1000, hands=True).reset_index()}  # in the sample of deals
    assert used | of_deals == {column.name for column in COLUMNS.values()}


def test_a_column_without_a_description_is_refused() -> None:
    with pytest.raises(InputError, match=r"new\.csv: .*: unheard_of"):
        resource("new", "New", "new.csv", ["deals", "unheard_of"], ["deals"], b"x")


@pytest.mark.parametrize(
    ("value", "field", "fault"),
    [
        ("", {"type": "integer", "constraints": {"required": True}}, ["missing"]),
        ("1.5", {"type": "integer", "constraints": {"required": True}}, ["not of type integer"]),
        ("inf", {"type": "number", "constraints": {"required": True}}, ["not of type number"]),
        ("5", {"type": "integer", "constraints": {"required": True, "maximum": 4}}, ["maximum"]),
        ("-1", {"type": "number", "constraints": {"required": True, "minimum": 0}}, ["minimum"]),
        ("x", {"type": "string", "constraints": {"required": True, "enum": ["y"]}}, ["enum"]),
        ("", {"type": "number", "constraints": {"required": False}}, []),
        ("INF", {"type": "number", "constraints": {"required": True, "minimum": 0}}, []),
    ],
)
def test_the_reading_of_the_standard_finds_faults(
    value: str, field: dict[str, Any], fault: list[str]
) -> None:
    assert faults(value, field) == fault


def test_infinity_and_nothing_are_written_as_the_standard_has_them() -> None:
    table = pd.DataFrame({"a": [np.inf, -np.inf, np.nan, 0.1]})
    assert as_csv(table) == b'a\nINF\n-INF\n""\n0.1\n'
