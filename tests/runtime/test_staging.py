"""Results go into their folder all or nothing, whatever happens to the run that writes them.

The kills come at moments drawn with a fixed seed; where a run stands at each is up to the machine.
Whatever it is, the folder must be wholly the old one or wholly the new one.
"""

import os
import resource
from collections.abc import Iterator, Set
from multiprocessing import Pipe, Process, get_context
from multiprocessing.connection import Connection
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from double_study import files as staging
from double_study.errors import InputError
from double_study.files import staged, write_file

FILES = [Path(part, f"{number}.txt") for part in ("", "tables", "figures") for number in range(30)]
KILLS = 40


def write_all(folder: Path, text: str) -> None:
    for file in FILES:
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_text(text)


def said(folder: Path) -> set[str]:
    """What the files of a folder say: one thing, where they are of one run."""
    return {(folder / file).read_text() for file in FILES}


def run(out: Path, text: str, near: Connection, in_swap: bool) -> None:
    """Write a folder, and say when the moment to be killed at is near."""
    put_in_place = staging._put_in_place

    def told(new: Path, folder: Path, gone: Set[Path]) -> None:
        near.send(None)
        put_in_place(new, folder, gone)

    if in_swap:
        staging._put_in_place = told
    with staged(out) as stage:
        if not in_swap:
            near.send(None)
        write_all(stage, text)


@pytest.mark.slow
def test_a_folder_is_of_one_run_whenever_the_next_is_killed(tmp_path: Path) -> None:
    out, rng = tmp_path / "out", np.random.default_rng(11)
    with staged(out) as stage:
        write_all(stage, "first")
    (out / "note").write_text("the user's own")
    before = "first"
    for kill in range(KILLS):
        here, there = Pipe()
        process = Process(target=run, args=(out, str(kill), there, kill % 2 == 0))
        process.start()
        here.recv()
        process.join(rng.uniform(0, 0.01))
        process.kill()
        process.join()
        (text,) = said(out)
        assert text in (before, str(kill))
        assert (out / "note").read_text() == "the user's own"
        before = text
    with staged(out) as stage:
        write_all(stage, "last")
    assert said(out) == {"last"}
    # Nothing is left of the killed ones, and nothing of the folders swapped out.
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    assert {path.relative_to(out) for path in out.rglob("*") if path.is_file()} == {
        *FILES,
        Path("note"),
    }


def test_what_fails_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), staged(tmp_path / "new" / "out") as stage:
        write_all(stage, str(1 / 0))
    assert not list(tmp_path.iterdir())


@pytest.fixture
def in_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    (tmp_path / "out").mkdir()
    monkeypatch.chdir(tmp_path / "out")
    yield
    # Whoever stands in the folder still stands in it.
    assert os.path.samestat(os.stat("."), os.stat(tmp_path / "out"))


@pytest.mark.usefixtures("in_the_folder")
def test_a_folder_that_the_user_stands_in_stays(tmp_path: Path) -> None:
    with staged(Path(".")) as stage:
        write_all(stage, "here")
    assert said(tmp_path / "out") == {"here"}


def test_where_folders_cannot_be_exchanged_files_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(staging, "_exchanged", lambda *_: False)
    for text in ("first", "second"):
        with staged(tmp_path / "out") as stage:
            write_all(stage, text)
        assert said(tmp_path / "out") == {text}


@pytest.mark.parametrize("exchanged", [True, False])
@pytest.mark.parametrize("own", ["tables", "0.txt/own"])
def test_what_the_user_has_under_the_name_of_a_part_stays(
    own: str, exchanged: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file where the results have a folder, and a folder where they have a file."""
    if not exchanged:
        monkeypatch.setattr(staging, "_exchanged", lambda *_: False)
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
    assert said(out) == {"first"}


def refused(out: Path, said: Connection) -> None:
    try:
        with staged(out):
            said.send("not refused")
    except InputError as error:
        said.send(str(error))


def test_a_part_that_cannot_be_written_is_found_before_the_work() -> None:
    with TemporaryDirectory() as name:
        out = Path(name) / "out"
        (out / "tables").mkdir(parents=True)
        for folder, mode in ((out.parent, 0o777), (out, 0o777), (out / "tables", 0o555)):
            folder.chmod(mode)
        process = Process(target=as_nobody, args=(out,))
        process.start()
        process.join()
        assert process.exitcode == 0
        assert [path.name for path in out.parent.iterdir()] == ["out"]


def as_nobody(out: Path) -> None:
    if os.geteuid() == 0:  # root may write anywhere
        os.setuid(65_534)
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
    with staged(tmp_path / "out") as stage:
        write_all(stage, "first")
    assert said(tmp_path / "out") == {"first"}


def test_a_file_that_cannot_be_written_is_as_it_was(tmp_path: Path) -> None:
    write_file(tmp_path / "file", b"first")
    (tmp_path / ".file.unfinished").mkdir()
    with pytest.raises(OSError, match="directory"):
        write_file(tmp_path / "file", b"second")
    assert (tmp_path / "file").read_bytes() == b"first"
