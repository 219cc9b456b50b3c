"""Results go into their folder all or nothing, whatever happens to the run that writes them.

The kills come at moments drawn with a fixed seed. How far a run has come by then depends on the computer.
In every case the folder is wholly the old one or wholly the new one, or the next run restores it.
"""

import os
import resource
from collections.abc import Set
from multiprocessing import Pipe, Process, get_context
from multiprocessing.connection import Connection
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from double_study import files as staging
from double_study.errors import InputError
from double_study.files import staged, write_file

FILES = [Path(part, f"{number}.txt") for part in ("", "tables", "figures") for number in range(10)]
KILLS = 20


def write_all(folder: Path, text: str) -> None:
    for file in FILES:
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_text(text)


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
    with staged(out) as stage:
        write_all(stage, text)


def restore(out: Path) -> None:
    """Start another run, which fails."""
    with pytest.raises(ZeroDivisionError), staged(out):
        raise ZeroDivisionError


@pytest.mark.slow
def test_a_folder_is_of_one_run_whenever_the_next_is_killed(tmp_path: Path) -> None:
    out, rng = tmp_path / "out", np.random.default_rng(11)
    with staged(out) as stage:
        write_all(stage, "first")
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
    with staged(out) as stage:
        write_all(stage, "last")
    assert texts(out) == {"last"}
    # Nothing is left of the killed ones.
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    left = {path.relative_to(out) for path in out.rglob("*") if path.is_file()}
    assert left == {*FILES, Path("note")}


@pytest.mark.parametrize("renames", [1, 2], ids=["between the two", "after both"])
def test_a_kill_at_a_rename_is_put_right_by_the_next_run(renames: int, tmp_path: Path) -> None:
    out = tmp_path / "out"
    with staged(out) as stage:
        write_all(stage, "first")
    process = Process(target=end_after_rename, args=(out, renames))
    process.start()
    process.join()
    assert process.exitcode == 9
    assert out.exists() == (renames == 2)
    restore(out)
    assert texts(out) == {"first" if renames == 1 else "second"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_run_after_one_killed_beside_its_old_folder_replaces_it(tmp_path: Path) -> None:
    out = tmp_path / "out"
    with staged(out) as stage:
        write_all(stage, "first")
    process = Process(target=end_after_rename, args=(out, 2))
    process.start()
    process.join()
    with staged(out) as stage:
        write_all(stage, "third")
    assert texts(out) == {"third"}
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
    with staged(out) as stage:
        write_all(stage, "second")


def test_what_fails_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), staged(tmp_path / "new" / "out") as stage:
        write_all(stage, str(1 / 0))
    assert not list(tmp_path.iterdir())


def test_the_current_folder_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "out").mkdir()
    monkeypatch.chdir(tmp_path / "out")
    for text in ("first", "second"):
        with staged(tmp_path / "out") as stage:
            write_all(stage, text)
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


def test_two_runs_cannot_write_one_folder(tmp_path: Path) -> None:
    out = tmp_path / "out"
    here, there = Pipe()
    with staged(out) as stage:
        write_all(stage, "first")
        other = get_context("spawn").Process(target=refused, args=(out, there))
        other.start()
        line = here.recv()
        other.join()
    assert line.startswith(f"--out {out}: process {os.getpid()} on ")
    assert line.endswith("is writing it; allowed: one run at a time, or another place")
    assert texts(out) == {"first"}


def refused(out: Path, answer: Connection) -> None:
    try:
        with staged(out):
            answer.send("not refused")
    except InputError as error:
        answer.send(str(error))


@pytest.mark.parametrize("read_only", ["out/tables", "."])
def test_places_without_the_right_to_write(read_only: str) -> None:
    """A part of the folder is refused before the work; the folder it is in does not matter."""
    with TemporaryDirectory() as name:
        out = Path(name) / "out"
        (out / "tables").mkdir(parents=True)
        for folder in (out.parent, out, out / "tables"):
            folder.chmod(0o777)
        (out.parent / read_only).chmod(0o555)
        process = Process(target=as_nobody, args=(out, read_only))
        process.start()
        process.join()
        assert process.exitcode == 0
        out.parent.chmod(0o755)
        assert [path.name for path in out.parent.iterdir()] == ["out"]


def as_nobody(out: Path, read_only: str) -> None:
    if os.geteuid() == 0:  # root may write anywhere
        os.setuid(65_534)
    if read_only == ".":
        for text in ("first", "second"):
            with staged(out) as stage:
                write_all(stage, text)
            assert texts(out) == {text}
    else:
        with pytest.raises(InputError, match=r"cannot write in .*tables; allowed: "), staged(out):
            pytest.fail("the work was begun")


def test_a_full_disk_is_found_before_the_work(tmp_path: Path) -> None:
    """A limit on the size of files stands for it: not even the lock's few bytes can be written."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        with pytest.raises(InputError, match="File too large; allowed: "), staged(tmp_path / "out"):
            pytest.fail("the work was begun")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert not list(tmp_path.iterdir())


def test_a_file_that_cannot_be_written_is_as_it_was(tmp_path: Path) -> None:
    write_file(tmp_path / "file", b"first")
    (tmp_path / ".file.unfinished").mkdir()
    with pytest.raises(OSError, match="directory"):
        write_file(tmp_path / "file", b"second")
    assert (tmp_path / "file").read_bytes() == b"first"
