"""A Dask cluster's workers in place of processes on this machine."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from typing import Any

from analysis.errors import Failure, InputError

SECONDS = 10
"""How long a scheduler has to answer."""


@contextmanager
def cluster(address: str) -> Iterator[tuple[Executor, int]]:
    """The executor of the cluster whose scheduler is at ``address``, and the tasks it works at.

    Its workers need this study installed. A worker that dies has its tasks done by another. Raises
    :class:`InputError` where the package is missing or no cluster with workers answers, and
    :class:`Failure` where one task after another kills its worker.
    """
    try:
        import distributed
    except ImportError:
        raise InputError(
            "--cluster needs the package distributed; allowed: once it is installed, with "
            "pip install 'responders-double-study[cluster]'"
        ) from None
    dask: Any = distributed  # its functions have no types
    try:
        client = dask.Client(address, timeout=SECONDS)
    except (OSError, TimeoutError, ValueError) as error:
        raise InputError(
            f"--cluster {address}: no scheduler answers there ({type(error).__name__}); "
            "allowed: the address of a Dask scheduler, such as tcp://host:8786"
        ) from None
    with client:
        threads = sum(client.nthreads().values())
        if not threads:
            raise InputError(
                f"--cluster {address}: the cluster has no workers; allowed: one with workers"
            )
        try:
            yield client.get_executor(), threads
        except dask.KilledWorker:
            raise Failure(f"the workers of the cluster at {address} died over a task") from None
