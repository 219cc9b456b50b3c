"""Results go into their folder all or nothing, whatever happens to the run that writes them.

The kills come at moments drawn with a fixed seed. How far a run has come by then depends on the computer.
In every case the folder is wholly the old one or wholly the new one, or the next run restores it.
"""

import os
from collections.abc import Set
from contextlib import chdir
from multiprocessing import Pipe, Process
from multiprocessing.connection import Connection
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from double_study import files as staging
from double_study.errors import InputError
from double_study.files import staged, write_file
from shared.obstacles import as_a_user_without_rights, full_disk

FILES = [Path(part, f"{number}.txt") for part in ("", "tables", "figures") for number in range(10)]
KILLS = 20


def write_all(folder: Path, text: str) -> None:
    for file in FILES:
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_text(text)


def put(out: Path, text: str) -> None:
    with staged(out) as stage:
        write_all(stage, text)


def texts(folder: Path) -> set[str]:
    """Return what the files of a folder say: one thing, where they are of one run."""
    return {(folder / file).read_text() for file in FILES}


def run(out: Path, text: str, near: Connection) -> None:
    """Write a folder, and say when it is about to be put in place."""
    put_in_place = staging._put_in_place

    def announced(new: Path, folder: Path, old: Path, superseded: Set[Path]) -> None:
        near.send(None)
        put_in_place(new, folder, old, superseded)

    staging._put_in_place = announced
    put(out, text)


def restore(out: Path) -> None:
    """Start another run, which fails."""
    with pytest.raises(ZeroDivisionError), staged(out):
        raise ZeroDivisionError


@pytest.mark.slow
def test_a_folder_is_of_one_run_whenever_the_next_is_killed(tmp_path: Path) -> None:
    out, rng = tmp_path / "out", np.random.default_rng(11)
    put(out, "first")
    (out / "note").write_text("the user's own")
    before = "first"
    for kill in range(KILLS):
        here, there = Pipe()
        process = Process(target=run, args=(out, str(kill), there))
        process.start()
        here.recv()
        process.join(rng.uniform(0, 0.01))
        process.kill()
        process.join()
        if not out.exists():
            restore(out)
        (text,) = texts(out)
        assert text in (before, str(kill))
        assert (out / "note").read_text() == "the user's own"
        before = text
    put(out, "last")
    assert texts(out) == {"last"}
    # Nothing is left of the killed ones.
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    left = {path.relative_to(out) for path in out.rglob("*") if path.is_file()}
    assert left == {*FILES, Path("note")}


@pytest.mark.parametrize(
    ("renames", "then", "left"), [(1, "", "first"), (2, "", "second"), (2, "third", "third")]
)
def test_a_kill_at_a_rename_is_mended(renames: int, then: str, left: str, tmp_path: Path) -> None:
    """Between the two or after both; the next run fails or replaces what it found."""
    out = tmp_path / "out"
    put(out, "first")
    process = Process(target=end_after_rename, args=(out, renames))
    process.start()
    process.join()
    assert process.exitcode == 9
    assert out.exists() == (renames == 2)
    if then:
        put(out, then)
    else:
        restore(out)
    assert texts(out) == {left}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def end_after_rename(out: Path, renames: int) -> None:
    rename, done = Path.rename, []

    def renamed(self: Path, target: Path) -> Path:
        new = rename(self, target)
        done.append(new)
        if len(done) == renames:
            os._exit(9)
        return new

    Path.rename = renamed  # type: ignore[assignment, method-assign]
    put(out, "second")


def test_what_fails_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), staged(tmp_path / "new" / "out") as stage:
        write_all(stage, str(1 / 0))
    assert not list(tmp_path.iterdir())


def test_the_current_folder_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    with chdir(tmp_path / "out"):
        for text in ("first", "second"):
            put(tmp_path / "out", text)
            assert texts(tmp_path / "out") == {text}
        assert os.path.samestat(os.stat("."), os.stat(tmp_path / "out"))


@pytest.mark.parametrize("own", ["tables", "0.txt/own"])
def test_what_the_user_has_under_the_name_of_a_part_stays(own: str, tmp_path: Path) -> None:
    """A file where the results have a folder, and a folder where they have a file."""
    file = tmp_path / "out" / own
    file.parent.mkdir(parents=True)
    file.write_text("the user's own")
    before = set(tmp_path.rglob("*"))
    with pytest.raises(FileExistsError, match=r"0\.txt|tables"), staged(tmp_path / "out") as stage:
        write_all(stage, "first")
    assert set(tmp_path.rglob("*")) == before
    assert file.read_text() == "the user's own"


@pytest.mark.parametrize("read_only", ["out/tables", "."])
def test_places_without_the_right_to_write(read_only: str) -> None:
    """A part of the folder is refused before the work; the folder it is in does not matter."""
    with TemporaryDirectory() as name:
        out = Path(name) / "out"
        (out / "tables").mkdir(parents=True)
        for folder in (out.parent, out, out / "tables"):
            folder.chmod(0o777)
        (out.parent / read_only).chmod(0o555)
        with as_a_user_without_rights():
            if read_only == ".":
                for text in ("first", "second"):
                    put(out, text)
                    assert texts(out) == {text}
            else:
                refused = pytest.raises(InputError, match=r"cannot write in .*tables; allowed: ")
                with refused, staged(out):
                    pytest.fail("the work was begun")
        out.parent.chmod(0o755)
        assert [path.name for path in out.parent.iterdir()] == ["out"]


def test_a_full_disk_is_found_before_the_work(tmp_path: Path) -> None:
    """Not even the lock's few bytes can be written."""
    refused = pytest.raises(InputError, match="File too large; allowed: ")
    with full_disk(0), refused, staged(tmp_path / "out"):
        pytest.fail("the work was begun")
    assert not list(tmp_path.iterdir())


def test_a_file_that_cannot_be_written_is_as_it_was(tmp_path: Path) -> None:
    write_file(tmp_path / "file", b"first")
    (tmp_path / ".file.unfinished").mkdir()
    with pytest.raises(OSError, match="directory"):
        write_file(tmp_path / "file", b"second")
    assert (tmp_path / "file").read_bytes() == b"first"
