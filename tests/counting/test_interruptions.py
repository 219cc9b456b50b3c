"""Runs that are killed at any moment, or stopped by Ctrl-C, and resumed.

The moments are drawn with a fixed seed. How far a run has come by then depends on the computer. Whatever
it is, the final store must be the same, byte for byte.
"""

import os
import signal
import subprocess
import sys
import time
from multiprocessing import Process
from pathlib import Path
from typing import Any

import numpy as np
import psutil
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS
from double_study.counting import run as study
from double_study.counting import store
from shared.commands import complaint, said

SEED = 99
DEALS = 24 * BLOCK_DEALS
KILLS = 20
LONGEST = 0.6
"""Seconds after which a run is killed at the latest: a whole one takes about as long."""


def run(path: Path) -> None:
    study.count(DEALS, SEED, REFERENCE, workers=2, progress=False, store=path)


def killed(path: Path, seconds: float) -> bool:
    """Return whether a run that adds to the store was killed after so long, and had not ended before."""
    process = Process(target=run, args=(path,))
    process.start()
    process.join(seconds)
    workers = psutil.Process(process.pid).children() if process.is_alive() else []
    process.kill()
    process.join()
    # No worker outlives its run: a killed run's end by themselves.
    last = time.monotonic() + 60
    while any(one.is_running() and one.status() != psutil.STATUS_ZOMBIE for one in workers):
        assert time.monotonic() < last
        time.sleep(0.01)
    return process.exitcode == -signal.SIGKILL


@pytest.mark.slow
def test_a_run_killed_twenty_times_ends_like_one_that_never_was(tmp_path: Path) -> None:
    run(tmp_path / "whole.store")
    whole = (tmp_path / "whole.store").read_bytes()
    path, rng, kills, held = tmp_path / "run.store", np.random.default_rng(9), 0, 0
    while kills < KILLS:
        if killed(path, rng.uniform(0, LONGEST)):
            kills += 1
            # Nothing saved is lost; there is no file before the first task is done.
            before, held = held, len(store.read(path).blocks) if path.exists() else 0
            assert held >= before
        else:
            assert path.read_bytes() == whole
            path.unlink()
            held = 0
    run(path)
    assert path.read_bytes() == whole
    assert sorted(file.name for file in tmp_path.iterdir()) == ["run.store", "whole.store"]


def counting(*options: str, **how: Any) -> subprocess.Popen[str]:
    """Start to count a billion deals, by the command."""
    command = [sys.executable, "-m", "double_study", "count", "--deals", "1e9", *options]
    root = Path(__file__).parents[2]
    return subprocess.Popen(command, cwd=root, stderr=subprocess.PIPE, text=True, **how)  # noqa: S603


def interrupted(process: subprocess.Popen[str]) -> str:
    """Return the last line of a command that Ctrl-C has ended."""
    line = process.communicate(timeout=300)[1].splitlines()[-1]
    assert process.returncode == 130
    return line


def begun(process: subprocess.Popen[str]) -> None:
    assert process.stderr is not None
    process.stderr.read(1)  # the progress bar: it counts


@pytest.mark.slow
def test_ctrl_c_saves_what_is_done_and_says_how_to_resume(tmp_path: Path) -> None:
    path, out = tmp_path / "run.store", tmp_path / "out"
    options = ["--seed", str(SEED), "--store", str(path), "--out", str(out), "--workers", "2"]
    # So few that a task takes a second. When the first of eight or more is saved, most are to come.
    process = counting(*options, "--deals", "2e7", start_new_session=True)
    while not path.exists():
        assert process.poll() is None
        time.sleep(0.05)
    # As a terminal does: to the whole group of processes.
    os.killpg(process.pid, signal.SIGINT)
    line = interrupted(process)
    saved = store.read(path)
    holds = f"double-study: interrupted: {path} holds {saved.tally.deals} deals; "
    assert line.endswith(f"{holds}to resume, repeat the command")
    assert saved.tally.deals == len(saved.blocks) * BLOCK_DEALS > 0
    ranges = (range(first, last + 1) for first, last in saved.blocks.ranges)
    blocks = [(block, BLOCK_DEALS) for blocks in ranges for block in blocks]
    assert study.count_blocks(SEED, blocks, REFERENCE).digest == saved.tally.digest
    assert [file.name for file in tmp_path.iterdir()] == ["run.store"]


@pytest.mark.slow
def test_the_second_of_two_commands_names_the_first(tmp_path: Path) -> None:
    out = tmp_path / "out"
    first, second = counting("--workers", "1", "--out", str(out)), f"count --deals 1e4 --out {out}"
    begun(first)
    line = complaint(second)
    assert line.startswith(f"double-study: --out {out}: process {first.pid} on ")
    assert line.endswith(" is writing it; allowed: one run at a time, or another place\n")
    assert first.poll() is None
    first.kill()
    first.communicate()
    assert said(second)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.slow
def test_ctrl_c_without_a_store_says_so(tmp_path: Path) -> None:
    process = counting("--workers", "1", "--out", str(tmp_path / "out"))
    begun(process)
    process.send_signal(signal.SIGINT)
    nothing = "interrupted: nothing was saved; with --store FILE a run can be resumed"
    assert interrupted(process).endswith(nothing)
    assert not list(tmp_path.iterdir())
