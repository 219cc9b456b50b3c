"""A run: blocks of deals counted over workers, and added up to one tally.

A block depends on nothing but the seed and its number, so the tally is the same whatever the number
of workers, and whether it was counted at once or resumed from a store.
"""

from __future__ import annotations

import os
import platform
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import ExitStack, contextmanager, nullcontext
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from tqdm import tqdm

from double_study.agreements.reader import Agreement
from double_study.cards.deal import BLOCK_DEALS, deal_block
from double_study.counting.counts import COUNTS
from double_study.counting.stopping import Precision, looks
from double_study.counting.store import StoredTally, in_store
from double_study.counting.tally import Blocks, BlockSet, Count, RunBlocks, Tally
from double_study.errors import Failure, InputError, Interrupted
from double_study.rules.batch import Batch
from double_study.sources import SOURCES
from double_study.workers import keep_freed_memory, pool, run_tasks, stoppable, worker_count

DEFAULT_DEALS = 100_000_000
DEFAULT_SEED = 20_26
MAX_DEALS, MAX_SEED = 10**13, 2**63 - 1
BATCH_BLOCKS = 16
"""Blocks bid together: enough to hide the cost of a NumPy call, few enough for any memory (140 MB)."""

TASK_BLOCKS = 192
"""Blocks of the longest task: two seconds, compared with which sending and saving a tally is cheap."""

_Part = TypeVar("_Part")


def cards_of(
    seed: int, blocks: Blocks, room: NDArray[np.uint64] | None = None
) -> NDArray[np.uint64]:
    """Return the deals of some blocks side by side; uint64, shape (4, deals), one set of cards per seat.

    They are written to ``room``, shape (4, deals or more), if given, because reusing memory is faster
    than allocating it.
    """
    if room is None:
        room = np.empty((4, sum(deals for _, deals in blocks)), dtype=np.uint64)
    end = 0
    for block, deals in blocks:
        room[:, end : end + deals] = deal_block(seed, block)[:, :deals]
        end += deals
    return room[:, :end]


def batched(blocks: Blocks) -> Iterator[Blocks]:
    """Yield some blocks, :data:`BATCH_BLOCKS` at a time."""
    return (blocks[at : at + BATCH_BLOCKS] for at in range(0, len(blocks), BATCH_BLOCKS))


def batches(seed: int, blocks: Blocks, agreement: Agreement) -> Iterator[tuple[Batch, Blocks]]:
    """Yield some blocks, dealt and bid together in batches.

    A batch is valid until the next one is taken, which reuses its memory.
    """
    room = np.empty((4, min(len(blocks), BATCH_BLOCKS) * BLOCK_DEALS), dtype=np.uint64)
    for some in batched(blocks):
        batch = Batch(cards_of(seed, some, room), agreement)
        yield batch, some
        batch.release()


def count_blocks(
    seed: int, blocks: Blocks, agreement: Agreement, counts: Sequence[Count] = COUNTS
) -> Tally:
    tally = Tally.empty(counts)
    for batch, of_batch in batches(seed, blocks, agreement):
        tally += Tally.of(batch, counts, of_batch)
    return tally


def count_alike(
    digests: tuple[str, str],
    seed: int,
    blocks: Blocks,
    agreement: Agreement,
    counts: Sequence[Count],
) -> Tally:
    """Count some blocks in a process that may have another version of the study.

    ``digests`` are those of the study and of the agreement in the main process. If they differ here,
    raise :class:`Failure`, which names the worker.
    """
    if digests != (SOURCES, agreement.digest):
        raise Failure(
            f"the worker with process {os.getpid()} on {platform.node()} has another version of "
            "the study, so none of its counts were used; install this version on every worker"
        )
    keep_freed_memory()
    return count_blocks(seed, blocks, agreement, counts)


def first_block(seed: int, agreement: Agreement, counts: Sequence[Count] = COUNTS) -> str:
    """Return the digest of the counts of block 0, which shows whether two studies count alike."""
    return count_blocks(seed, [(0, BLOCK_DEALS)], agreement, counts).digest


def blocks_of(deals: int) -> Blocks:
    """Return the blocks of a run, each with its number of deals; the last may be partial."""
    return RunBlocks(deals)


def count(
    deals: int,
    seed: int,
    agreement: Agreement,
    workers: int | None = None,
    executor: Executor | None = None,
    progress: bool = True,
    store: Path | None = None,
    precision: Precision | None = None,
    alive: Callable[[], None] = lambda: None,
    counts: Sequence[Count] = COUNTS,
) -> Tally:
    """Return the tally of ``deals`` deals.

    ``workers`` is the number of processes: by default one per processor; 1 means only this process.
    Instead of processes, any ``concurrent.futures`` ``executor`` may be given, which then runs that many
    tasks at once; ``alive`` is called when no task has finished for some seconds, and raises if the
    executor is lost. Whole blocks are saved in the file ``store`` after each task, and blocks already
    stored are not counted again. The run stops before ``deals`` once ``precision`` is reached
    (:mod:`double_study.counting.stopping`).

    Raises :class:`InputError` if the store cannot be used or written, or holds more than ``deals``;
    :class:`Failure` if a worker process dies, or one elsewhere has another version of the study; and
    :class:`Interrupted` after Ctrl-C, once the tasks in progress are finished (and saved, with a
    store).
    """
    workers = worker_count(workers)
    digests = SOURCES, agreement.digest
    work = partial(count_alike, digests, seed, agreement=agreement, counts=counts)
    whole, left = divmod(deals, BLOCK_DEALS)
    with ExitStack() as stack:
        so_far = stack.enter_context(counted_so_far(deals, seed, agreement, store, counts))
        stop = stack.enter_context(stoppable())
        bar = stack.enter_context(_bar(None if precision else deals, progress, so_far.tally.deals))
        ready = stack.enter_context(nullcontext(executor) if executor else pool(workers))
        for end in looks(so_far.blocks.end, whole) if precision else (whole,):
            tasks = _tasks(so_far.blocks.missing(end), so_far.blocks.n_missing(end), workers)
            for task, part in run_tasks(work, tasks, ready, workers, stop, alive):
                so_far.add([block for block, _ in task], part)
                bar.update(part.deals)
            if so_far.blocks.n_missing(end):
                raise Interrupted(f"interrupted: {so_far}")
            if precision and precision.reached(so_far.tally):
                return so_far.tally
        tally = so_far.tally
        if left:
            tally = tally + work([(whole, left)])
            bar.update(left)
        return tally


@contextmanager
def counted_so_far(
    deals: int,
    seed: int,
    agreement: Agreement,
    store: Path | None,
    counts: Sequence[Count] = COUNTS,
) -> Iterator[StoredTally]:
    """Yield the tally from which :func:`count` resumes; raise :class:`InputError` as it does."""
    if store is None:
        yield StoredTally(seed, agreement, BlockSet(), Tally.empty(counts), "")
        return
    first = partial(first_block, seed, agreement, counts)
    with in_store(store, seed, agreement, first, counts) as so_far:
        if so_far.blocks.end > deals // BLOCK_DEALS:
            raise InputError(
                f"store {store} holds block {so_far.blocks.end - 1}, which is beyond the {deals} deals of "
                f"the run; allowed: at least {so_far.blocks.end * BLOCK_DEALS} deals"
            )
        yield so_far


def over_blocks(
    work: Callable[[Blocks], _Part],
    deals: int,
    workers: int | None = None,
    executor: Executor | None = None,
    progress: bool = True,
) -> Iterator[_Part]:
    """Yield the result of ``work`` for each batch of a run's blocks, in the order they finish.

    ``work`` must be picklable unless ``workers`` is 1; the other parameters and the errors are those
    of :func:`count`.
    """
    workers = worker_count(workers)
    with (
        _bar(deals, progress) as bar,
        stoppable() as stop,
        nullcontext(executor) if executor else pool(workers) as ready,
    ):
        for batch, part in run_tasks(work, batched(blocks_of(deals)), ready, workers, stop):
            bar.update(sum(counted for _, counted in batch))
            yield part
        if stop.is_set():
            raise Interrupted("interrupted: nothing was saved")


def _bar(deals: int | None, progress: bool, done: int = 0) -> tqdm[Any]:
    return tqdm(total=deals, initial=done, unit=" deals", unit_scale=True, disable=not progress)


def _tasks(blocks: Iterator[int], number: int, workers: int) -> Iterator[Blocks]:
    """Yield ``number`` whole blocks as tasks, smaller towards the end, so that workers finish together."""
    while number > 0:
        size = max(BATCH_BLOCKS // 2, min(TASK_BLOCKS, number // (4 * workers)))
        task = [(block, BLOCK_DEALS) for block in islice(blocks, size)]
        number -= len(task)
        yield task
