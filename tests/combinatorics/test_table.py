"""The exact tables on disk: cached, checked, and written by the command."""

import os
import shutil
from multiprocessing import Process
from pathlib import Path
from typing import Any, NoReturn

import numpy as np
import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cli import report
from double_study.columns import COLUMNS
from double_study.combinatorics import cache
from double_study.combinatorics.table import ANY, exact_table, up_to_overcall
from double_study.counting.counts import CALL_COUNTS
from double_study.counting.run import count
from double_study.errors import Failure
from double_study.rules.terms import SEQUENCE, SEQUENCES
from double_study.stats import goodness_of_fit
from shared.commands import ran
from shared.exact_report import few_served

TABLE = pd.DataFrame({"name": ["a", "3"], "cards": [1, 2], "chance": [1 / 3, float("nan")]})
OTHER, OTHER_TABLE = REFERENCE.changed("opening.suit", 13), TABLE.assign(cards=[5, 6])


@pytest.fixture
def cache_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder that tables are cached in for this test."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "double-study"


@pytest.fixture(autouse=True)
def _own_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "_memory", {})


def fail() -> NoReturn:
    raise AssertionError("computed again")


def assert_cached(
    expected: pd.DataFrame,
    computed: pd.DataFrame | None,
    agreement: Agreement = REFERENCE,
    name: str = "t",
) -> None:
    """Another process gets this table, to the last bit, and computes it so or not at all."""
    cache._memory.clear()
    found = cache.cached(name, agreement, fail if computed is None else lambda: computed)
    pd.testing.assert_frame_equal(found, expected, check_exact=True)


def test_a_table_is_computed_once_and_comes_back_to_the_last_bit(cache_folder: Path) -> None:
    assert_cached(TABLE, computed=TABLE)
    assert_cached(TABLE, computed=None)
    assert len(list(cache_folder.iterdir())) == 1


def compute_once(begun: Path) -> None:
    def compute() -> pd.DataFrame:
        os.close(os.open(begun, os.O_CREAT | os.O_EXCL))  # fails where another did so
        return TABLE

    pd.testing.assert_frame_equal(cache.cached("t", REFERENCE, compute), TABLE)


def test_of_several_processes_one_computes_a_table(cache_folder: Path, tmp_path: Path) -> None:
    processes = [Process(target=compute_once, args=(tmp_path / "begun",)) for _ in range(8)]
    for process in processes:
        process.start()
    for process in processes:
        process.join()
        assert process.exitcode == 0
    assert len(list(cache_folder.iterdir())) == 1


def test_another_agreement_or_table_is_computed_apart(cache_folder: Path) -> None:
    assert_cached(TABLE, computed=TABLE)
    assert_cached(OTHER_TABLE, computed=OTHER_TABLE, agreement=OTHER)
    assert_cached(OTHER_TABLE, computed=OTHER_TABLE, name="u")
    assert_cached(TABLE, computed=None)


def test_what_a_caller_changes_stays_its_own(cache_folder: Path) -> None:
    table = cache.cached("t", REFERENCE, lambda: TABLE)
    table["cards"] = 0
    pd.testing.assert_frame_equal(cache.cached("t", REFERENCE, fail), TABLE)


def test_a_table_under_another_name_is_computed_again(cache_folder: Path) -> None:
    assert_cached(TABLE, computed=TABLE)
    (file,) = cache_folder.iterdir()
    assert_cached(OTHER_TABLE, computed=OTHER_TABLE, agreement=OTHER)
    (others,) = set(cache_folder.iterdir()) - {file}
    others.replace(file)
    assert_cached(TABLE, computed=TABLE)


@pytest.mark.parametrize("damage", ["", "7", "[]", "\x00", "# sha256 0\n{}"])
def test_what_is_no_table_is_computed_again(cache_folder: Path, damage: str) -> None:
    assert_cached(TABLE, computed=TABLE)
    (file,) = cache_folder.iterdir()
    file.write_text(damage)
    assert_cached(TABLE, computed=TABLE)
    assert_cached(TABLE, computed=None)


def test_every_flipped_byte_is_noticed(cache_folder: Path) -> None:
    """Of the real table of overcalls, with places and bits drawn by a fixed seed."""
    right = exact_table(OTHER, calls=False)
    (file,) = cache_folder.iterdir()
    sound, rng = file.read_bytes(), np.random.default_rng(20_28)
    for place in rng.integers(0, len(sound), 250).tolist():
        data = bytearray(sound)
        data[place] ^= rng.integers(1, 256)
        file.write_bytes(data)
        cache._memory.clear()
        assert cache.if_cached("overcalls", up_to_overcall(OTHER)) is None
    pd.testing.assert_frame_equal(exact_table(OTHER, calls=False), right, check_exact=True)
    assert file.read_bytes() == sound


def test_an_unsaved_table_stays_in_memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert "cannot write in" in str(cache.trouble())
    pd.testing.assert_frame_equal(cache.cached("t", REFERENCE, lambda: TABLE), TABLE)
    pd.testing.assert_frame_equal(cache.cached("t", REFERENCE, fail), TABLE)


@pytest.mark.parametrize("named", [None, "here", ".", "../here"])
def test_a_user_without_a_home_or_a_folder_named_in_part_saves_nothing_and_is_told(
    named: str | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(cache, "user_cache_path", lambda *_, **__: Path("~/.cache/double-study"))
    if named is not None:
        monkeypatch.setenv(cache.FOLDER, named)
    told = "names none in full" if named else "the user has no home folder"
    assert told in str(cache.trouble())
    assert_cached(TABLE, computed=TABLE)
    assert not list(tmp_path.iterdir())


def test_an_empty_name_names_no_folder(cache_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(cache.FOLDER, "")
    assert cache.folder() == cache_folder
    assert cache.trouble() is None


def test_on_a_full_disk_a_report_s_tables_last_as_long_as_it_does(
    cache_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where its notebooks find them; the reader is told before any work."""
    seen: list[Path | None] = []
    real = shutil.disk_usage

    def full(place: Path) -> Any:
        return real(place)._replace(free=1000 if place == cache_folder else 10**9)

    def count_run(*_: object) -> NoReturn:
        seen.append(cache.folder())
        raise Failure("enough")

    monkeypatch.setattr(shutil, "disk_usage", full)
    monkeypatch.setattr(report, "count_run", count_run)
    status, _, err = ran(f"report --out {tmp_path / 'out'}")
    told = f"exact values are not saved for the next run: no room on the disk of {cache_folder}"
    assert (status, err) == (1, f"{told}\ndouble-study: enough\n")
    (place,) = seen
    assert place is not None
    assert place.is_relative_to(tmp_path)
    assert not place.is_relative_to(cache_folder)
    assert not (tmp_path / "out").exists()
    assert cache.folder() == cache_folder


Written = tuple[Path, pd.DataFrame]


@pytest.fixture
def written(exact_report: Path, tmp_path: Path) -> Written:
    """Return the tables that the command writes for the reference from cached values, and the table."""
    with few_served():
        assert ran(f"exact --out {tmp_path}").status == 0
    exact = (tmp_path / "tables" / "exact.csv").read_bytes()
    assert exact == (exact_report / "tables" / "exact.csv").read_bytes()
    return tmp_path / "tables", exact_table(REFERENCE, calls=True)


def test_the_command_writes_every_auction_in_full(written: Written) -> None:
    lines = (written[0] / "exact.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "opening,overcall,call,probability"
    rows = [line.split(",") for line in lines[1:]]
    assert [row[:3] for row in rows if row[2] == ANY] == [
        [f"1{'CDHS'[suit]}", str(bid), ANY] for suit, bid in SEQUENCES
    ]
    # Written and read back as the same float64, every bit of it.
    assert [float(row[3]) for row in rows] == written[1]["probability"].to_list()


def test_the_calls_of_an_auction_are_all_of_it(written: Written) -> None:
    """The two sides were counted apart: two hands for the auction, three for the calls.

    1e-12 is far above the rounding of either (see three_hands_join) and far below the smallest
    call's share of an auction.
    """
    folder, table = written

    def by_auction(table: pd.DataFrame) -> pd.Series:
        return table.groupby(list(SEQUENCE.columns))["probability"].sum()

    whole, calls = (by_auction(table[(table["call"] == ANY) == is_any]) for is_any in (True, False))
    assert set(calls.index) == set(whole.index)
    assert (calls / whole - 1).abs().max() < 1e-12
    doubles = by_auction(pd.read_csv(folder / "exact_doubles.csv"))
    doubled = by_auction(table[table["call"] == "double"])
    assert (doubles / doubled[doubles.index] - 1).abs().max() < 1e-12


def test_the_calls_agree_with_the_sampler(written: Written) -> None:
    """One chi-square over all cells; a correct pair of programs fails it once in 10,000 seeds."""
    table = written[1]
    known = table[(table["call"] != ANY) & (table["call"] != "above_ceiling")]
    deals = 1_000_000
    counts = count(deals, 417, REFERENCE, workers=2, progress=False)[CALL_COUNTS.name][0]
    keys = known[[*SEQUENCE.columns, "call"]].itertuples(index=False, name=None)
    cells = [(SEQUENCE.names.index(key[:2]), COLUMNS["call"].code(key[2])) for key in keys]
    seen, chances = [counts[cell] for cell in cells], known["probability"].to_list()
    fit = goodness_of_fit([*seen, deals - sum(seen)], [*chances, 1 - sum(chances)])
    assert fit.p_value > 1e-4
