"""A Dask cluster in place of processes: the same tally, even where one of its workers is killed.

Clusters that change under a run end it with one line, and it can be resumed from its store.
"""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Thread

import distributed
import double_study
import pytest
from double_study import sources, workers
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS
from double_study.cli.main import command_parser
from double_study.cli.options import count_run
from double_study.counting import run as study
from double_study.counting import store
from double_study.counting.cluster import cluster
from double_study.counting.counts import COUNTS
from double_study.counting.tally import Tally
from double_study.errors import Failure, InputError
from shared.commands import complaint

SEED = 12
DEALS = 400 * BLOCK_DEALS
STUDY = Path(double_study.__file__).parents[1]


class Cluster:
    """A scheduler and its workers, processes of their own."""

    def __init__(self, folder: Path, study: Path = STUDY) -> None:
        self._file = folder / "scheduler.json"
        self._options = ("--scheduler-file", str(self._file), "--no-dashboard")
        words = ("--port", "0", "--host", "127.0.0.1")
        self.scheduler = self._start("dask_scheduler", *words, study=study)
        while not self._file.exists() or not self._file.read_text():
            time.sleep(0.05)
        self.address = json.loads(self._file.read_text())["address"]
        self.workers: list[subprocess.Popen[bytes]] = []

    def _start(self, tool: str, *words: str, study: Path = STUDY) -> subprocess.Popen[bytes]:
        return subprocess.Popen(  # noqa: S603
            [sys.executable, "-m", f"distributed.cli.{tool}", *words, *self._options],
            cwd=self._file.parent,
            env=os.environ | {"PYTHONPATH": str(study)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def add_worker(self, study: Path = STUDY) -> None:
        words = ("--nthreads", "1", "--no-nanny", "--host", "127.0.0.1")
        self.workers.append(self._start("dask_worker", *words, study=study))
        with distributed.Client(self.address, set_as_default=False) as client:
            client.wait_for_workers(len(self.workers), timeout=60)

    def stop(self, *processes: subprocess.Popen[bytes]) -> None:
        """Stop them without closing anything, as a power cut does."""
        for process in processes:
            os.killpg(process.pid, signal.SIGSTOP)

    def end(self, *processes: subprocess.Popen[bytes]) -> None:
        for process in processes:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)
                process.wait()


@pytest.fixture
def there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Cluster]:
    monkeypatch.setattr(workers, "PATIENCE", 4.0)
    found = Cluster(tmp_path)
    yield found
    found.end(found.scheduler, *found.workers)


def study_of(folder: Path, change: Callable[[Path], None]) -> Path:
    """Return a copy of the study, changed."""
    shutil.copytree(STUDY / "double_study", folder / "other" / "double_study")
    change(folder / "other" / "double_study")
    return folder / "other"


def altered(package: Path) -> None:
    rules = package / "rules" / "response.py"
    rules.write_text(rules.read_text(encoding="utf-8") + "\nALTERED = True\n", encoding="utf-8")


def emptied(package: Path) -> None:
    """Leave a name that is not found, which hides a study that is installed for the tests."""
    shutil.rmtree(package)
    package.mkdir()
    (package / "__init__.py").write_text("raise ModuleNotFoundError('no study here')\n")


def counted_while(
    event: Callable[[], None], there: Cluster, folder: Path, deals: int = DEALS
) -> Tally:
    """Count on a cluster to which ``event`` happens once the run has saved something."""
    path = folder / "run.store"

    def happen() -> None:
        while not path.exists():
            time.sleep(0.01)
        event()

    thread = Thread(target=happen, daemon=True)
    thread.start()
    with cluster(there.address) as found:
        tally = study.count(deals, SEED, REFERENCE, progress=False, store=path, **found._asdict())
    thread.join(timeout=60)
    return tally


def said_after(event: Callable[[], None], there: Cluster, folder: Path) -> str:
    """Return the message with which such a run fails."""
    with pytest.raises(Failure) as error:
        counted_while(event, there, folder)
    return str(error.value)


def test_the_option_counts_on_a_cluster(there: Cluster) -> None:
    there.add_worker()
    command = ["--deals", "1e5", "--cluster", there.address]
    run = count_run(command_parser("count").parse_args(command))
    assert run.tally.digest == study.count(100_000, 2026, REFERENCE, 1, progress=False).digest


@pytest.mark.slow
def test_a_worker_killed_at_work_costs_no_count(there: Cluster, tmp_path: Path) -> None:
    """Once the first task is saved most are still to be done: each worker has one and the next."""
    there.add_worker()
    there.add_worker()
    deals = 40 * BLOCK_DEALS
    tally = counted_while(lambda: there.end(there.workers[0]), there, tmp_path, deals)
    assert there.workers[0].poll() is not None
    assert tally.digest == study.count(deals, SEED, REFERENCE, progress=False).digest


def refused(there: Cluster, said: str, error: type[Exception] = Failure) -> None:
    with pytest.raises(error, match=said), cluster(there.address):
        pytest.fail("the cluster was taken")


@pytest.mark.slow
@pytest.mark.parametrize("change", [altered, emptied], ids=["altered", "without the study"])
def test_a_worker_that_is_unlike_is_refused_by_name(
    change: Callable[[Path], None], there: Cluster, tmp_path: Path
) -> None:
    there.add_worker()
    there.add_worker(study_of(tmp_path, change))
    refused(there, r"worker at tcp://\S+ has another version of the study, or none")


@pytest.mark.slow
def test_a_scheduler_without_the_study_is_refused(tmp_path: Path) -> None:
    there = Cluster(tmp_path, study_of(tmp_path, emptied))
    try:
        there.add_worker()
        refused(there, "its scheduler has another version of the study, or none")
    finally:
        there.end(there.scheduler, *there.workers)


@pytest.mark.slow
def test_a_worker_that_does_not_answer_is_none(there: Cluster) -> None:
    there.add_worker()
    there.stop(*there.workers)
    refused(there, "no worker of the cluster answers; allowed: ", InputError)


@pytest.mark.slow
def test_a_worker_that_is_unlike_and_comes_late_is_refused(there: Cluster, tmp_path: Path) -> None:
    there.add_worker()
    other = study_of(tmp_path, altered)
    said = said_after(lambda: there.add_worker(other), there, tmp_path)
    late = r"the worker with process \d+ on \S+ has another version of the study, so none of its counts"
    assert re.match(late, said)


def test_every_task_carries_the_digests_of_sources_and_settings() -> None:
    blocks = [(0, 100)]
    digest, other = REFERENCE.digest, "0" * 64
    for given in ((other, digest), (sources.SOURCES, other)):
        with pytest.raises(Failure, match="another version of the study"):
            study.count_alike(given, SEED, blocks, REFERENCE, COUNTS)
    counted = study.count_alike((sources.SOURCES, digest), SEED, blocks, REFERENCE, COUNTS)
    assert counted.digest == study.count_blocks(SEED, blocks, REFERENCE).digest


NO_WORKERS = "has no workers left that answer; run the command again"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("lost", "expected"),
    [
        (lambda there: there.end(*there.workers), NO_WORKERS),
        (lambda there: there.stop(*there.workers), NO_WORKERS),
        (lambda there: there.end(there.scheduler), "is gone; run the command again"),
    ],
    ids=["all workers", "all workers, silently", "the scheduler"],
)
def test_a_lost_cluster_ends_the_run_with_one_line_and_the_store_is_sound(
    lost: Callable[[Cluster], None], expected: str, there: Cluster, tmp_path: Path
) -> None:
    there.add_worker()
    there.add_worker()
    said = said_after(lambda: lost(there), there, tmp_path)
    assert said == f"the cluster at {there.address} {expected}"
    path = tmp_path / "run.store"
    saved = store.read(path)
    assert 0 < len(saved.blocks) < DEALS // BLOCK_DEALS
    more = (saved.blocks.end + 1) * BLOCK_DEALS
    tally = study.count(more, SEED, REFERENCE, workers=1, progress=False, store=path)
    assert tally.digest == study.count(more, SEED, REFERENCE, progress=False).digest


def test_the_option_says_what_it_needs(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    needs = "--cluster needs the package distributed, which is not installed; to install it, run "
    assert needs in complaint(f"count --cluster tcp://127.0.0.1:1 --out {tmp_path / 'out'}")
