"""A Dask cluster's workers in place of processes on this machine."""

from __future__ import annotations

import logging
import socket
import threading
import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Executor, Future, InvalidStateError
from contextlib import contextmanager, suppress
from functools import partial
from math import inf
from pkgutil import resolve_name
from time import monotonic
from typing import Any

from double_study import sources
from double_study.errors import Failure, InputError

SECONDS = 2
"""How long a scheduler has to answer."""

PATIENCE = 15
"""Seconds without a sign of any worker after which a cluster is given up: a killed one is back sooner."""


@contextmanager
def cluster(address: str) -> Iterator[tuple[Executor, int]]:
    """The executor of the cluster whose scheduler is at ``address``, and the tasks it works at.

    Its scheduler and workers need this study installed. A worker that dies has its tasks done by
    another. Raises :class:`InputError` where the package is missing or no cluster with workers
    answers, and :class:`Failure` where one task after another kills its worker, where the scheduler
    or all workers are gone, and where a task cannot be read at the other end.
    """
    try:
        import distributed
    except ImportError:
        raise InputError(
            "--cluster needs the package distributed; allowed: once it is installed, with "
            "pip install 'responders-double-study[cluster]'"
        ) from None
    dask: Any = distributed  # its functions have no types
    # What it has to say about broken connections is said here in one line.
    logging.disable()
    try:
        host_and_port = dask.comm.get_address_host_port(address, strict=True)
        if not address.startswith("tls://"):
            _ask(host_and_port)
        with warnings.catch_warnings():
            # Versions of other packages may differ: of what the counts hang on, each task tells.
            warnings.simplefilter("ignore")
            client = dask.Client(address, timeout=SECONDS)
    except Exception as error:  # whatever a foreign text or a foreign server makes of it
        logging.disable(logging.NOTSET)
        raise InputError(
            f"--cluster {address}: no scheduler answers there ({type(error).__name__}); "
            "allowed: the address of a Dask scheduler, such as tcp://host:8786"
        ) from None
    watched = _WatchedExecutor(client, f"the cluster at {address}")
    try:
        threads = watched.threads()
        if not threads:
            raise InputError(
                f"--cluster {address}: the cluster has no workers that answer; allowed: one with some"
            )
        watched.watch()
        yield watched, threads
    except dask.KilledWorker:
        raise Failure(f"the workers of the cluster at {address} died over a task") from None
    finally:
        watched.shutdown()
        with suppress(Exception):  # nothing is left to be lost
            client.close(timeout=SECONDS)
        logging.disable(logging.NOTSET)


def _ask(host_and_port: tuple[str, int]) -> None:
    """Raise ``OSError`` unless a scheduler is there: a client that meets none is long in letting go.

    A scheduler speaks first: the length of its greeting, a small number in eight bytes.
    """
    with socket.create_connection(host_and_port, SECONDS) as connection:
        if connection.recv(8)[2:] != bytes(6):
            raise ConnectionError


class _WatchedExecutor(Executor):
    """A cluster's executor whose tasks fail, each with a :class:`Failure`, where the cluster does.

    Dask itself waits for ever: for workers that may yet come, for a scheduler that may come back,
    for a task that a worker without the study cannot read.
    """

    def __init__(self, client: Any, name: str) -> None:
        self._client, self._name = client, name
        self._tasks: set[Future[Any]] = set()
        self._over = threading.Event()
        self._executor = client.get_executor()
        self._alike: set[str] = set()

    def threads(self) -> int:
        """The tasks that the workers which answer work at at once."""
        return sum(worker["nthreads"] for worker in self._workers().values())

    def _workers(self) -> dict[str, Any]:
        """What the scheduler knows of each worker that answers; raises :class:`Failure` for one unlike.

        That is a worker without this study or with another version of it. One that does not answer
        is asked again another time.
        """
        server = self._client.scheduler
        workers = self._client.sync(server.identity, callback_timeout=SECONDS)["workers"]
        for worker in workers.keys() - self._alike:
            with suppress(TimeoutError):
                if self._digest(worker) != sources.SOURCES:
                    raise Failure(
                        f"{self._name}: the worker at {worker} has another version of the study, or "
                        "none; none of its counts were taken; give every worker this version"
                    )
                self._alike.add(worker)
        return {name: workers[name] for name in workers.keys() & self._alike}

    def _digest(self, worker: str) -> Any:
        """The digest of the sources of a worker's study, an error where it has none."""
        # A function of Python's own, which any worker can read; Dask's own waits for an answer for ever.
        name = f"{sources.__name__}:SOURCES"
        ask = partial(self._client.run, resolve_name, name, workers=[worker], on_error="return")
        return self._client.sync(ask, callback_timeout=SECONDS).get(worker)

    def watch(self) -> None:
        """From now on have the tasks fail where the cluster does."""
        threading.Thread(target=self._watch, daemon=True).start()

    def submit(self, work: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Have ``work`` done by some worker."""
        task: Future[Any] = Future()
        self._tasks.add(task)
        theirs = self._executor.submit(work, *args, **kwargs)
        theirs.add_done_callback(lambda done: self._hand_on(done, task))
        task.add_done_callback(lambda done: done.cancelled() and theirs.cancel())
        task.add_done_callback(self._tasks.discard)
        return task

    def _hand_on(self, theirs: Future[Any], task: Future[Any]) -> None:
        with suppress(InvalidStateError):
            error = _error(theirs)
            if error is None:
                task.set_result(theirs.result())
            elif isinstance(error, CancelledError):
                task.set_exception(Failure(f"{self._name} is gone; run it again"))
            elif isinstance(error, (ImportError, AttributeError, RuntimeError)):
                what = " ".join(str(error).split())
                task.set_exception(
                    Failure(
                        f"{self._name} could not read a task ({what}); its scheduler and all its "
                        "workers need this version of the study"
                    )
                )
            else:
                task.set_exception(error)

    def _watch(self) -> None:
        seen, sign = monotonic(), -inf
        while not self._over.wait(1):
            lost = Failure(f"{self._name} has no workers any more that answer; run it again")
            try:
                # By the scheduler's clock, which may be any.
                last = max(worker["last_seen"] for worker in self._workers().values())
                if last > sign:
                    seen, sign = monotonic(), last
            except Failure as failure:
                seen, lost = -inf, failure
            except Exception:  # noqa: S110 - in whatever way a connection breaks, there is no answer
                pass
            if monotonic() - seen > PATIENCE:
                for task in list(self._tasks):
                    with suppress(InvalidStateError):
                        task.set_exception(lost)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End the watch; the cluster is somebody else's and goes on."""
        self._over.set()


def _error(task: Future[Any]) -> BaseException | None:
    """What a task that is done raised, :class:`CancelledError` for one that was cancelled."""
    try:
        return task.exception()
    except CancelledError as error:
        return error
