"""A Dask cluster in place of processes: the same tally, even where one of its workers is killed."""

import os
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest
from distributed import LocalCluster
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS
from double_study.cli.main import command_parser
from double_study.cli.options import count_run
from double_study.counting import cluster as cluster_module
from double_study.counting import run as study
from double_study.counting.cluster import cluster
from shared.complaints import complaint

SEED = 12
DEALS = 40 * BLOCK_DEALS


@pytest.fixture(scope="module")
def workers() -> Iterator[LocalCluster]:
    """Yield a scheduler and two worker processes on this computer."""
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=":0") as local:
        yield local


@pytest.mark.slow
def test_a_worker_killed_at_work_costs_no_count(workers: LocalCluster, tmp_path: Path) -> None:
    path = tmp_path / "run.store"
    pid = next(iter(workers.workers.values())).process.process.pid
    killed: list[bool] = []

    def kill() -> None:
        # Once the first task is saved most are still to be done: each worker has one and the next.
        while not path.exists():
            time.sleep(0.01)
        os.kill(pid, signal.SIGKILL)
        killed.append(len(path.read_bytes()) > 0)

    thread = Thread(target=kill)
    with cluster(workers.scheduler_address) as there:
        assert there.workers == 2
        thread.start()
        tally = study.count(DEALS, SEED, REFERENCE, progress=False, store=path, **there._asdict())
        thread.join()
    assert killed
    assert tally.digest == study.count(DEALS, SEED, REFERENCE, progress=False).digest


def test_the_option_counts_on_a_cluster(workers: LocalCluster) -> None:
    command = ["--deals", "1e5", "--cluster", workers.scheduler_address]
    run = count_run(command_parser("count").parse_args(command))
    assert run.tally.digest == study.count(100_000, 2026, REFERENCE, 1, progress=False).digest


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "nowhere", "tcp://"])
def test_addresses_where_no_scheduler_answers(
    address: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(cluster_module, "SECONDS", 1)
    line = complaint(["count", "--cluster", address, "--out", str(tmp_path / "out")], capsys)
    assert line.startswith(f"double-study: --cluster {address}: no scheduler answers there")
    assert not list(tmp_path.iterdir())


def test_without_the_package_the_option_says_what_it_needs(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    command = ["count", "--cluster", "tcp://127.0.0.1:1", "--out", str(tmp_path / "out")]
    needs = "--cluster needs the package distributed, which is not installed; to install it, run "
    assert needs in complaint(command, capsys)
