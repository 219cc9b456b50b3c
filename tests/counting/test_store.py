"""Stores: what is written is read, what is damaged is refused, nothing is overwritten.

Damage is drawn with fixed seeds; a checksum of 256 bits misses none of it, so there is no false
alarm. The slowest part is some 200 checksums of four megabytes.
"""

import signal
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from multiprocessing import Event, Process
from multiprocessing.synchronize import Event as Signal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS
from double_study.counting import run as study
from double_study.counting import store
from double_study.counting.counts import COUNTS
from double_study.counting.store import in_store
from double_study.counting.tally import BlockSet, Tally
from double_study.errors import InputError
from double_study.files import locked
from hypothesis import given, settings
from hypothesis import strategies as st
from shared.commands import complaint
from shared.obstacles import as_a_user_without_rights, full_disk

SEED = 5
OTHER = REFERENCE.changed("response.double_one", 7)


def count(deals: int, path: Path | None = None) -> Tally:
    return study.count(deals, SEED, REFERENCE, workers=1, progress=False, store=path)


BLOCKS = BlockSet.below(2)
FIRST_BLOCK = study.first_block(SEED, REFERENCE)
STORED = store.StoredTally(SEED, REFERENCE, BLOCKS, count(2 * BLOCK_DEALS), FIRST_BLOCK)
DATA = store.encode(STORED)


@pytest.fixture
def path(tmp_path: Path) -> Iterator[Path]:
    """Yield a store, the only file in its folder before and after."""
    path = tmp_path / "run.store"
    path.write_bytes(DATA)
    yield path
    assert [*tmp_path.iterdir()] == [path]


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as error:
        store.decode(data, Path("run.store"))
    line = str(error.value)
    assert line.startswith("store run.store: ")
    assert "; allowed: " in line
    assert "\n" not in line
    return line


def test_what_is_written_is_read(path: Path) -> None:
    read = store.read(path)
    assert replace(read, tally=STORED.tally) == STORED
    assert read.tally.digest == STORED.tally.digest
    store.write(path, read)
    assert path.read_bytes() == DATA


# A tally is some megabytes, so a dozen examples are a second's work.
@settings(max_examples=12, deadline=None)
@given(
    st.integers(0, 2**32),
    st.integers(0, 62).map(lambda bits: 2**bits),
    st.sets(st.integers(0, 50), min_size=1),
    st.integers(0, BLOCK_DEALS - 1),
    st.integers(0, 20),
)
def test_any_tally_is_read_as_it_was_written(
    seed: int, highest: int, numbers: set[int], partial: int, fingerprints: int
) -> None:
    rng = np.random.default_rng(seed)
    tables = {c.name: rng.integers(0, highest, c.shape, endpoint=True) for c in COUNTS}
    blocks = BlockSet.below(0).with_blocks(numbers)
    deals = len(numbers) * BLOCK_DEALS + partial
    tally = Tally(deals, tables, rng.integers(0, 2**64, fingerprints, dtype=np.uint64))
    read = store.decode(store.encode(store.StoredTally(1, OTHER, blocks, tally, "")), Path("x"))
    assert (read.blocks, read.agreement.digest) == (blocks, OTHER.digest)
    assert read.partial == partial
    assert read.tally.digest == tally.digest


def test_a_flipped_byte_is_refused_or_changes_nothing() -> None:
    """A byte that no reader of the archive uses, such as the date of a part, may be anything."""
    rng, read, refusals = np.random.default_rng(20_26), 0, set()
    # Half of the places in the archive's directory, which is a thousandth of the file.
    places = [rng.integers(0, len(DATA), 100), rng.integers(len(DATA) - 3000, len(DATA), 100)]
    for place in np.concatenate(places).tolist():
        data = bytearray(DATA)
        data[place] ^= rng.integers(1, 256)
        try:
            stored = store.decode(bytes(data), Path("run.store"))
        except InputError as error:
            refusals.add(str(error))
        else:
            read += 1
            assert replace(stored, tally=STORED.tally) == STORED
            assert stored.tally.digest == STORED.tally.digest
    assert read < 100
    assert all("it is damaged, or no store of this study" in said for said in refusals)


def test_every_cut_is_found() -> None:
    rng = np.random.default_rng(20_27)
    for length in [0, 1, 100, len(DATA) - 1, *rng.integers(0, len(DATA), 40).tolist()]:
        refused(DATA[:length])


def test_other_files_are_refused() -> None:
    foreign = BytesIO()
    np.savez(foreign, header=np.arange(3))
    for data in (b"\x89PNG\r\n\x1a\n" + DATA[:100], foreign.getvalue()):
        assert "it is damaged, or no store of this study" in refused(data)
    old = refused(b"responders-double-study tally 1\n" + b"0" * 64)
    assert "it is in the format of version 1 of the study; allowed: " in old


def test_stores_of_other_versions_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "BLOCK_DEALS", 10)
    assert "its deals were dealt in another way" in refused(DATA)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"seed": 6}, "holds seed 6, not seed 5"),
        ({"agreement": OTHER}, "holds agreement reference"),
        ({"blocks": BlockSet.below(1)}, "ended inside a block"),
        ({"first_block": "0" * 64}, "counts otherwise"),
    ],
)
def test_another_run_s_store_is_left_alone(changed: dict[str, Any], said: str, path: Path) -> None:
    other = replace(STORED, **changed)
    if "blocks" in changed:
        other = replace(other, tally=replace(STORED.tally, deals=BLOCK_DEALS + 1))
    path.write_bytes(store.encode(other))
    before = path.read_bytes()
    out = path.parent / "out"
    assert said in complaint(f"count --seed 5 --deals 1e6 --store {path} --out {out}")
    assert path.read_bytes() == before


def test_a_run_shorter_than_the_store_is_refused(path: Path) -> None:
    beyond = r"beyond the 60000 deals .* allowed: at least 100000 deals"
    with pytest.raises(InputError, match=beyond):
        count(60_000, path)
    assert path.read_bytes() == DATA


def test_a_read_only_folder() -> None:
    with TemporaryDirectory() as name:
        path = Path(name) / "run.store"
        path.write_bytes(DATA)
        path.parent.chmod(0o555)
        with as_a_user_without_rights():
            assert store.read(path).seed == SEED
            with pytest.raises(InputError, match=r"^store .* allowed: one in a folder you may"):
                count(10**6, path)
        assert path.read_bytes() == DATA
        assert [file.name for file in path.parent.iterdir()] == [path.name]
        path.parent.chmod(0o755)


def test_a_full_disk(path: Path) -> None:
    unchanged = r"so it was not changed; allowed: .* room on the disk"
    with full_disk(1_000_000), pytest.raises(InputError, match=unchanged):
        count(10**6, path)
    assert path.read_bytes() == DATA


def hold(path: Path, held: Signal) -> None:
    with locked(path, "store"):
        held.set()
        signal.pause()


def opened(path: Path) -> bool:
    with in_store(path, SEED, REFERENCE, lambda: FIRST_BLOCK) as so_far:
        return so_far.tally.digest == STORED.tally.digest


def test_two_runs_cannot_write_one_store_and_a_lock_left_behind_is_no_hindrance(path: Path) -> None:
    held = Event()
    other = Process(target=hold, args=(path, held))
    other.start()
    assert held.wait(60)
    try:
        refused = r"process \d+ on .* is writing it; allowed: one run at a time"
        with pytest.raises(InputError, match=refused):
            opened(path)
    finally:
        other.kill()
        other.join()
    assert len(list(path.parent.iterdir())) == 2
    assert opened(path)
    with locked(path, "store"), pytest.raises(InputError, match="is writing it"):
        opened(path)
    assert opened(path)
