"""The exact table on disk: kept, checked, and written by the command."""

import pandas as pd
import pytest

from analysis.__main__ import main
from analysis.agreement import REFERENCE
from analysis.bidding.overcalled import PAIRS
from analysis.exact import cache
from analysis.exact.table import ANY, PROBABILITY, exact_table

TABLE = pd.DataFrame({"name": ["a", "3"], "cards": [1, 2], "chance": [1 / 3, float("nan")]})
OTHER = REFERENCE.changed("opening.suit", 13)


@pytest.fixture
def kept_in(tmp_path, monkeypatch):
    """The folder that tables are kept in for this test."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "double-study"


def fail():
    raise AssertionError("worked out again")


def test_a_table_is_worked_out_once_and_comes_back_to_the_last_bit(kept_in):
    first = cache.kept("t", REFERENCE, lambda: TABLE)
    again = cache.kept("t", REFERENCE, fail)
    pd.testing.assert_frame_equal(first, TABLE, check_exact=True)
    pd.testing.assert_frame_equal(again, TABLE, check_exact=True)
    assert len(list(kept_in.iterdir())) == 1


def test_another_agreement_or_table_is_worked_out_apart(kept_in):
    cache.kept("t", REFERENCE, lambda: TABLE)
    other = TABLE.assign(cards=[5, 6])
    pd.testing.assert_frame_equal(cache.kept("t", OTHER, lambda: other), other)
    pd.testing.assert_frame_equal(cache.kept("u", REFERENCE, lambda: other), other)
    pd.testing.assert_frame_equal(cache.kept("t", REFERENCE, fail), TABLE)


@pytest.mark.parametrize(
    "damage", [lambda text: text.replace("1", "2"), lambda text: text[:-9], ""]
)
def test_a_damaged_file_is_worked_out_anew(kept_in, damage):
    cache.kept("t", REFERENCE, lambda: TABLE)
    (file,) = kept_in.iterdir()
    file.write_text(damage(file.read_text()) if damage else "")
    other = TABLE.assign(cards=[5, 6])
    pd.testing.assert_frame_equal(cache.kept("t", REFERENCE, lambda: other), other)
    pd.testing.assert_frame_equal(cache.kept("t", REFERENCE, fail), other)


def test_where_nothing_can_be_kept_the_table_is_still_right(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    pd.testing.assert_frame_equal(cache.kept("t", REFERENCE, lambda: TABLE), TABLE)


def test_the_command_writes_every_pair_in_full(tmp_path):
    assert main(["exact", "--out", str(tmp_path)]) == 0
    lines = (tmp_path / "tables" / "exact.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "opening,overcall,call,probability"
    rows = [line.split(",") for line in lines[1:]]
    assert [row[:3] for row in rows if row[2] == ANY] == [
        [f"1{'CDHS'[suit]}", str(bid), ANY] for suit, bid in PAIRS
    ]
    # Written and read back as the same float64, every bit of it.
    assert [float(row[3]) for row in rows] == exact_table(REFERENCE)[PROBABILITY].to_list()
