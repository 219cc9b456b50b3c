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
from double_study.cli.main import main
from double_study.columns import COLUMNS
from double_study.combinatorics import cache
from double_study.combinatorics.table import ANY, exact_table, up_to_overcall
from double_study.counting.counts import CALL_COUNTS
from double_study.counting.run import count
from double_study.errors import Failure
from double_study.rules.terms import SEQUENCE, SEQUENCES
from double_study.stats import goodness_of_fit
from shared.exact_report import few_served

TABLE = pd.DataFrame({"name": ["a", "3"], "cards": [1, 2], "chance": [1 / 3, float("nan")]})
OTHER = REFERENCE.changed("opening.suit", 13)


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


def cached(
    table: pd.DataFrame | None, agreement: Agreement = REFERENCE, name: str = "t"
) -> pd.DataFrame:
    """Return the table as another process gets it, computed as ``table`` or not at all."""
    cache._memory.clear()
    return cache.cached(name, agreement, fail if table is None else lambda: table)


def test_a_table_is_computed_once_and_comes_back_to_the_last_bit(cache_folder: Path) -> None:
    pd.testing.assert_frame_equal(cached(TABLE), TABLE, check_exact=True)
    pd.testing.assert_frame_equal(cached(None), TABLE, check_exact=True)
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
    cached(TABLE)
    other = TABLE.assign(cards=[5, 6])
    pd.testing.assert_frame_equal(cached(other, OTHER), other)
    pd.testing.assert_frame_equal(cached(other, name="u"), other)
    pd.testing.assert_frame_equal(cached(None), TABLE)


def test_what_a_caller_changes_stays_its_own(cache_folder: Path) -> None:
    table = cached(TABLE)
    table["cards"] = 0
    pd.testing.assert_frame_equal(cache.cached("t", REFERENCE, fail), TABLE)


def test_a_table_under_another_name_is_computed_again(cache_folder: Path) -> None:
    cached(TABLE)
    (file,) = cache_folder.iterdir()
    cached(TABLE.assign(cards=[5, 6]), OTHER)
    (others,) = set(cache_folder.iterdir()) - {file}
    others.replace(file)
    pd.testing.assert_frame_equal(cached(TABLE), TABLE)


@pytest.mark.parametrize("damage", ["", "7", "[]", "\x00", "# sha256 0\n{}"])
def test_what_is_no_table_is_computed_again(cache_folder: Path, damage: str) -> None:
    cached(TABLE)
    (file,) = cache_folder.iterdir()
    file.write_text(damage)
    pd.testing.assert_frame_equal(cached(TABLE), TABLE)
    pd.testing.assert_frame_equal(cached(None), TABLE)


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


def test_where_nothing_can_be_saved_the_table_lasts_as_long_as_the_process(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert "cannot write in" in str(cache.trouble())
    pd.testing.assert_frame_equal(cache.cached("t", REFERENCE, lambda: TABLE), TABLE)
    pd.testing.assert_frame_equal(cache.cached("t", REFERENCE, fail), TABLE)


def test_a_user_without_a_home_saves_nothing_and_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(cache, "user_cache_path", lambda *_, **__: Path("~/.cache/double-study"))
    assert "the user has no home folder" in str(cache.trouble())
    pd.testing.assert_frame_equal(cached(TABLE), TABLE)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("named", ["here", ".", "../here"])
def test_a_folder_named_in_part_is_none(
    named: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(cache.FOLDER, named)
    assert "names none in full" in str(cache.trouble())
    pd.testing.assert_frame_equal(cached(TABLE), TABLE)
    assert not list(tmp_path.iterdir())


def test_an_empty_name_names_no_folder(cache_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(cache.FOLDER, "")
    assert cache.folder() == cache_folder


def test_a_folder_that_can_be_written_is_no_trouble(cache_folder: Path) -> None:
    assert cache.trouble() is None


def test_on_a_full_disk_a_report_s_tables_last_as_long_as_it_does(
    cache_folder: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
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
    assert main(["report", "--out", str(tmp_path / "out")]) == 1
    assert capsys.readouterr().err == (
        f"exact values are not saved for the next run: no room on the disk of {cache_folder}\n"
        "double-study: enough\n"
    )
    (place,) = seen
    assert place is not None
    assert place.is_relative_to(tmp_path)
    assert not place.is_relative_to(cache_folder)
    assert not (tmp_path / "out").exists()
    assert cache.folder() == cache_folder


@pytest.fixture
def written(exact_report: Path, tmp_path: Path) -> tuple[Path, pd.DataFrame]:
    """Return the tables that the command writes for the reference, up to its ceiling, from cached
    values.
    """
    with few_served():
        assert main(["exact", "--out", str(tmp_path)]) == 0
    name = "exact.csv"
    assert (tmp_path / "tables" / name).read_bytes() == (
        exact_report / "tables" / name
    ).read_bytes()
    return tmp_path / "tables", exact_table(REFERENCE, calls=True)


def test_the_command_writes_every_auction_in_full(written: tuple[Path, pd.DataFrame]) -> None:
    lines = (written[0] / "exact.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "opening,overcall,call,probability"
    rows = [line.split(",") for line in lines[1:]]
    assert [row[:3] for row in rows if row[2] == ANY] == [
        [f"1{'CDHS'[suit]}", str(bid), ANY] for suit, bid in SEQUENCES
    ]
    # Written and read back as the same float64, every bit of it.
    assert [float(row[3]) for row in rows] == written[1]["probability"].to_list()


def test_the_calls_of_an_auction_are_all_of_it(written: tuple[Path, pd.DataFrame]) -> None:
    """The two sides were counted apart: two hands for the auction, three for the calls.

    1e-12 is far above the rounding of either (see three_hands_join) and far below the smallest
    call's share of an auction.
    """
    table = written[1]
    whole = table[table["call"] == ANY].set_index(list(SEQUENCE.columns))["probability"]
    calls = table[table["call"] != ANY].groupby(list(SEQUENCE.columns))["probability"].sum()
    assert set(calls.index) == set(whole.index)
    assert (calls / whole - 1).abs().max() < 1e-12
    doubles = pd.read_csv(written[0] / "exact_doubles.csv")
    by_sequence = doubles.groupby(list(SEQUENCE.columns))["probability"].sum()
    doubled = table[table["call"] == "double"].set_index(list(SEQUENCE.columns))["probability"]
    assert (by_sequence / doubled[by_sequence.index] - 1).abs().max() < 1e-12


def test_the_calls_agree_with_the_sampler(written: tuple[Path, pd.DataFrame]) -> None:
    """One chi-square over all cells; a correct pair of programs fails it once in 10,000 seeds."""
    table = written[1]
    known = table[(table["call"] != ANY) & (table["call"] != "above_ceiling")]
    deals = 1_000_000
    counts = count(deals, 417, REFERENCE, workers=2, progress=False)[CALL_COUNTS.name][0]
    keys = known[[*SEQUENCE.columns, "call"]].itertuples(index=False, name=None)
    seen = np.array(
        [counts[SEQUENCE.names.index(key[:2]), COLUMNS["call"].code(key[2])] for key in keys]
    )
    chances = known["probability"].to_numpy()
    fit = goodness_of_fit(
        np.append(seen, deals - seen.sum()), np.append(chances, 1 - chances.sum())
    )
    assert fit.p_value > 1e-4
