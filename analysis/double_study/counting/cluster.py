"""Count on the workers of a Dask cluster instead of processes of this computer."""

import asyncio
import logging
import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Executor
from contextlib import contextmanager, suppress
from functools import partial
from pkgutil import resolve_name
from typing import Any, NamedTuple

from double_study import sources
from double_study.errors import Failure, InputError

SECONDS = 2.0
"""The time allowed for a scheduler or a worker to answer."""


class Cluster(NamedTuple):
    """An executor, its number of parallel tasks, and a function that raises :class:`Failure` if lost."""

    executor: Executor
    workers: int
    alive: Callable[[], None]


@contextmanager
def cluster(address: str) -> Iterator[Cluster]:
    """Yield the cluster whose scheduler is at ``address``, as :func:`counting.run.count` takes it.

    Its scheduler and workers need this version of the study. If a worker dies, Dask gives its task
    to another. Raises :class:`InputError` if the package is missing or no cluster with workers
    answers, and :class:`Failure` if a worker has another version of the study, if a task kills one
    worker after another, or if the scheduler or all workers are lost.
    """
    try:
        import distributed
    except ImportError:
        raise InputError(
            "--cluster needs the package distributed, which is not installed; to install it, run "
            "pip install 'responders-double-study[cluster]'"
        ) from None
    dask: Any = distributed  # its functions have no types
    name = f"the cluster at {address}"
    logging.disable()  # Dask logs broken connections at length
    try:
        try:
            workers = _scheduler(dask, address)["workers"]
            with warnings.catch_warnings():
                # Dask warns if any package has another version; the study's own version is checked below.
                warnings.simplefilter("ignore")
                client = dask.Client(address, timeout=SECONDS)
        except Exception as error:  # an unusable address or an unknown server may raise anything
            raise InputError(
                f"--cluster {address}: no scheduler answers there ({type(error).__name__}); "
                "allowed: the address of a Dask scheduler, such as tcp://host:8786"
            ) from None
        try:
            threads = _threads(client, workers, name)
            if not threads:
                raise InputError(
                    f"--cluster {address}: no worker of the cluster answers; allowed: a cluster with at "
                    "least one worker"
                )
            alive = partial(_check_alive, dask, address, name, {})
            yield Cluster(client.get_executor(), threads, alive)
        except dask.KilledWorker:
            raise Failure(
                f"{name}: a task killed one worker after another, so the run stopped"
            ) from None
        except CancelledError:
            raise Failure(f"{name} is gone; run the command again") from None
        finally:
            with suppress(Exception):  # the results are here, or the cluster is gone
                client.close(timeout=SECONDS)
    finally:
        logging.disable(logging.NOTSET)


def _scheduler(dask: Any, address: str) -> Any:
    """Return the scheduler's information about itself and its workers; raise if it does not answer."""

    async def ask() -> Any:
        connection = dask.Security().get_connection_args("client")
        async with dask.rpc(address, timeout=SECONDS, connection_args=connection) as scheduler:
            return await scheduler.identity()

    return asyncio.run(asyncio.wait_for(ask(), SECONDS))


def _threads(client: Any, workers: dict[str, Any], name: str) -> int:
    """Return the threads of all workers that answer; raises :class:`Failure` for another version."""

    def version(run: Any, **where: Any) -> Any:
        # A function of the standard library, which workers without the study can load, too.
        ask = partial(run, resolve_name, "double_study.sources:SOURCES", **where)
        try:
            return client.sync(ask, callback_timeout=SECONDS)
        except (ImportError, AttributeError):
            return None

    threads, versions = 0, {"its scheduler": version(client.run_on_scheduler)}
    for worker, about in workers.items():
        with suppress(TimeoutError):
            answer = version(client.run, workers=[worker], on_error="return")
            versions[f"the worker at {worker}"] = answer.get(worker)
            threads += about["nthreads"]
    for who, found in versions.items():
        if found != sources.SOURCES:
            raise Failure(
                f"{name}: {who} has another version of the study, or none; nothing was counted; "
                "install this version on the scheduler and on every worker"
            )
    return threads


def _check_alive(dask: Any, address: str, name: str, seen: dict[str, float]) -> None:
    """Raise :class:`Failure` if no worker has sent a heartbeat since the last call.

    ``seen``: the time of each worker's last heartbeat, by the scheduler's clock, at the last call.
    """
    try:
        workers = _scheduler(dask, address)["workers"]
    except Exception:  # in whatever way the connection breaks
        raise Failure(f"{name} is gone; run the command again") from None
    now = {worker: float(about["last_seen"]) for worker, about in workers.items()}
    if all(seen.get(worker) == last for worker, last in now.items()):
        raise Failure(f"{name} has no workers left that answer; run the command again")
    seen.update(now)
