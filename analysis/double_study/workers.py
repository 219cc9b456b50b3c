"""Memory that is freed and wanted again the next moment.

Tasks over workers: processes here, or any executor.

A worker process leaves Ctrl-C to the process that started it, and ends when that one does, even
where it was killed.
"""

from __future__ import annotations

import ctypes
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    Executor,
    Future,
    ProcessPoolExecutor,
    wait,
)
from contextlib import contextmanager, suppress
from functools import cache
from multiprocessing.context import BaseContext
from types import FrameType
from typing import TypeVar

from double_study.errors import Failure

_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
"""glibc's names in ``mallopt``: free memory to keep, and the size from which it is always given back."""

_KEPT = 1 << 30
_LARGEST = 1 << 25
"""The most that glibc takes for the second, in bytes; larger arrays are not in a batch of deals."""


@cache
def keep_freed_memory() -> None:
    """Have this process keep what its arrays free, where it would give that back to the system.

    A process does by itself what is asked for here, but not Dask's workers: they are told to give
    freed memory back at once, and fetching it anew for every array takes longer than to count.
    Does nothing on a system without glibc.
    """
    with suppress(AttributeError, OSError):
        library = ctypes.CDLL(None)
        library.mallopt(_TRIM_THRESHOLD, _KEPT)
        library.mallopt(_MMAP_THRESHOLD, _LARGEST)


Task = TypeVar("Task")
Part = TypeVar("Part")

SINGLE_THREADS = dict.fromkeys(
    (
        "OMP_NUM_THREADS",
        "OPENBLAS_NUM_THREADS",
        "MKL_NUM_THREADS",
        "BLIS_NUM_THREADS",
        "VECLIB_MAXIMUM_THREADS",
    ),
    "1",
)
"""The environment in which the libraries of linear algebra use one thread: they read it when loaded."""

_IN_HAND = 2
"""Tasks handed out for each worker: one to work at and one to go on with."""


def worker_count(workers: int | None) -> int:
    """``workers``, or a worker a processor."""
    return workers or os.cpu_count() or 1


@contextmanager
def pool(workers: int, context: BaseContext | None = None) -> Iterator[Executor | None]:
    """A pool of worker processes; None, for work in this process, where there is one worker.

    ``context``: how the processes are begun, the system's usual way by default.
    """
    if workers == 1:
        yield None
        return
    with ProcessPoolExecutor(workers, context, _become_worker) as processes:
        yield processes


@contextmanager
def pool_of_single_threads(workers: int) -> Iterator[Executor | None]:
    """:func:`pool` for linear algebra, with one thread a process: more would be in each other's way.

    The libraries read how many threads they may use when they are loaded, so the processes begin
    afresh.
    """
    before = {name: os.environ.get(name) for name in SINGLE_THREADS}
    os.environ.update(SINGLE_THREADS)
    try:
        with pool(workers, multiprocessing.get_context("spawn")) as processes:
            yield processes
    finally:
        for name, value in before.items():
            del os.environ[name]
            if value is not None:
                os.environ[name] = value


def _become_worker() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


class Stop:
    """Whether the user has asked to stop, by Ctrl-C."""

    asked = False

    def _ask(self, number: int, frame: FrameType | None) -> None:
        if self.asked:
            raise KeyboardInterrupt
        self.asked = True


@contextmanager
def stoppable() -> Iterator[Stop]:
    """Within, Ctrl-C asks to stop, for the work in hand to be finished; a second time it ends it.

    Only the main thread is told of Ctrl-C; in others nothing changes.
    """
    stop = Stop()
    if threading.current_thread() is not threading.main_thread():
        yield stop
        return
    before = signal.signal(signal.SIGINT, stop._ask)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


def mapped(
    work: Callable[[Task], Part],
    tasks: Iterable[Task],
    executor: Executor | None,
    workers: int,
    stop: Stop,
) -> Iterator[tuple[Task, Part]]:
    """Each task and what ``work`` made of it, in whatever order they are done.

    Without an executor the work is done here. After a stop no more tasks are begun, but those at
    work are finished. Raises :class:`Failure` where a worker process has died.
    """
    todo = iter(tasks)
    if executor is None:
        for task in todo:
            yield task, work(task)
            if stop.asked:
                return
        return
    running: dict[Future[Part], Task] = {}
    while True:
        if stop.asked:
            running = {future: task for future, task in running.items() if not future.cancel()}
        else:
            for task in todo:
                running[executor.submit(work, task)] = task
                if len(running) >= _IN_HAND * workers:
                    break
        if not running:
            return
        for future in wait(running, return_when=FIRST_COMPLETED).done:
            try:
                yield running.pop(future), future.result()
            except BrokenExecutor:
                raise Failure(
                    "a worker process died (it was killed, or there was not enough memory); "
                    "run it again"
                ) from None
