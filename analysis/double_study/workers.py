"""Run tasks on workers: processes of this computer, or any executor."""

import ctypes
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent import futures
from contextlib import contextmanager, suppress
from functools import cache
from itertools import chain
from multiprocessing.context import BaseContext
from typing import TypeVar

from double_study.errors import Failure

_Task = TypeVar("_Task")
_Part = TypeVar("_Part")

SINGLE_THREADS = {"VECLIB_MAXIMUM_THREADS": "1"} | {
    f"{library}_NUM_THREADS": "1" for library in ("OMP", "OPENBLAS", "MKL", "BLIS")
}
"""The environment in which the libraries of linear algebra use one thread: they read it when loaded."""

_TASKS_PER_WORKER = 2
"""Tasks submitted for each worker: one at work and one waiting."""

PATIENCE = 10.0
"""Seconds without a finished task after which ``alive`` is called."""


def worker_count(workers: int | None) -> int:
    return workers or os.cpu_count() or 1


@contextmanager
def pool(workers: int, context: BaseContext | None = None) -> Iterator[futures.Executor | None]:
    """Yield a pool of processes started by ``context``; None, for this process, if ``workers`` is 1."""
    if workers == 1:
        yield None
        return
    with futures.ProcessPoolExecutor(workers, context, _start_worker) as processes:
        yield processes


@contextmanager
def environment(values: Mapping[str, str]) -> Iterator[None]:
    """Set environment variables while the block runs, for this process and those it starts."""
    before = {name: os.environ[name] for name in values if name in os.environ}
    os.environ.update(values)
    try:
        yield
    finally:
        for name in values:
            del os.environ[name]
        os.environ.update(before)


@contextmanager
def pool_of_single_threads(workers: int) -> Iterator[futures.Executor | None]:
    """Yield a :func:`pool` for linear algebra, with one thread per process.

    The libraries read the number of threads when they are loaded, so the processes are spawned.
    """
    with (
        environment(SINGLE_THREADS),
        pool(workers, multiprocessing.get_context("spawn")) as processes,
    ):
        yield processes


def _start_worker() -> None:
    # A terminal sends Ctrl-C to all processes, but only the parent decides when to stop.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    # Otherwise a worker whose parent was killed would wait for its next task for ever.
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


@cache
def keep_freed_memory() -> None:
    """Make glibc reuse up to 1 GiB of memory that arrays free; without glibc, do nothing."""
    # Dask starts its workers with MALLOC_TRIM_THRESHOLD_=65536, so that each array's pages are
    # returned and fetched again; with these two settings (M_TRIM_THRESHOLD, and M_MMAP_THRESHOLD at
    # its maximum of 32 MiB) a worker counts twice as fast.
    with suppress(AttributeError, OSError):
        library = ctypes.CDLL(None)
        library.mallopt(-1, 1 << 30)
        library.mallopt(-3, 1 << 25)


@contextmanager
def stoppable() -> Iterator[threading.Event]:
    """Yield an event that the first Ctrl-C sets, so that tasks in progress are finished.

    A second Ctrl-C interrupts as usual. Only the main thread receives it: elsewhere nothing changes.
    """
    stop = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield stop
        return

    def set_stop(*_: object) -> None:
        signal.signal(signal.SIGINT, before)
        stop.set()

    before = signal.signal(signal.SIGINT, set_stop)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


class LostResult(Exception):
    """The result of a task was lost with its worker, so the task has to be done again."""


def run_tasks(
    work: Callable[[_Task], _Part],
    tasks: Iterable[_Task],
    executor: futures.Executor | None,
    workers: int,
    stop: threading.Event | None = None,
    alive: Callable[[], None] = lambda: None,
) -> Iterator[tuple[_Task, _Part]]:
    """Yield each task and its result, in the order in which they are finished.

    Without an executor the work is done in this process. Once ``stop`` is set, no more tasks are
    started. ``alive`` is called whenever :data:`PATIENCE` passes without a result, and raises if
    the executor is lost. Raises :class:`Failure` if a worker process has died.
    """
    stop = stop or threading.Event()
    todo: Iterator[_Task] = iter(tasks)
    if executor is None:
        for task in todo:
            yield task, work(task)
            if stop.is_set():
                return
        return
    running: dict[futures.Future[_Part], _Task] = {}
    while True:
        if stop.is_set():
            running = {future: task for future, task in running.items() if not future.cancel()}
        else:
            for task in todo:
                running[executor.submit(work, task)] = task
                if len(running) >= _TASKS_PER_WORKER * workers:
                    break
        if not running:
            return
        finished = futures.wait(running, PATIENCE, futures.FIRST_COMPLETED).done
        if not finished:
            alive()
        for future in finished:
            task = running.pop(future)
            try:
                yield task, future.result()
            except LostResult:
                todo = chain([task], todo)
            except futures.BrokenExecutor:
                raise Failure(
                    "a worker process was killed or ran out of memory; run the command again"
                ) from None
