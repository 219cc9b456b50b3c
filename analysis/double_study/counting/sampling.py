"""A run: blocks of deals over workers, to one tally.

The map is over blocks, the reduction is addition, and a block depends on nothing but the seed and
its number, so the tally is the same to the last count whatever the number of workers, and whether
it was counted in one go or taken up again from a store.
"""

from __future__ import annotations

import os
import platform
from collections.abc import Callable, Iterator
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
from double_study.counting.store import CountedSoFar, in_store
from double_study.counting.tally import Blocks, RunBlocks, Tally
from double_study.errors import Failure, InputError, Interrupted
from double_study.rules.batch import Batch
from double_study.sources import SOURCES
from double_study.workers import keep_freed_memory, mapped, pool, stoppable, worker_count

DEFAULT_DEALS = 100_000_000
DEFAULT_SEED = 20_26
BATCH_BLOCKS = 16
"""Blocks bid together: enough to hide the cost of a NumPy call, few enough for any memory (140 MB)."""

TASK_BLOCKS = 192
"""Blocks in the longest task: two seconds' work, beside which sending and keeping a tally cost little."""

Part = TypeVar("Part")


def cards_of(
    seed: int, blocks: Blocks, room: NDArray[np.uint64] | None = None
) -> NDArray[np.uint64]:
    """The deals of some blocks side by side, as :func:`double_study.cards.deal.deal_block` has them.

    ``room`` is an array of shape (4, deals or more) to put them into: to have the same memory again
    and again is a good deal faster than to ask for new.
    """
    if room is None:
        room = np.empty((4, sum(deals for _, deals in blocks)), dtype=np.uint64)
    end = 0
    for block, deals in blocks:
        room[:, end : end + deals] = deal_block(seed, block)[:, :deals]
        end += deals
    return room[:, :end]


def count_blocks(seed: int, blocks: Blocks, agreement: Agreement) -> Tally:
    """Deal, bid and count some blocks, a few at a time."""
    tally = Tally.empty(COUNTS)
    room = np.empty((4, BATCH_BLOCKS * BLOCK_DEALS), dtype=np.uint64)
    for start in range(0, len(blocks), BATCH_BLOCKS):
        batch = blocks[start : start + BATCH_BLOCKS]
        tally += Tally.of(Batch(cards_of(seed, batch, room), agreement), COUNTS, batch)
    return tally


def count_alike(
    sources: str, settings: str, seed: int, blocks: Blocks, agreement: Agreement
) -> Tally:
    """:func:`count_blocks` for a process that may be of another version of the study.

    ``sources`` and ``settings`` are the digests of the study and of the agreement where the tally is
    added up; raises :class:`~double_study.errors.Failure`, which names the worker, where they differ here.
    """
    if (sources, settings) != (SOURCES, agreement.digest):
        raise Failure(
            f"the worker with process {os.getpid()} on {platform.node()} has another version of "
            "the study, and none of its counts were taken; give every worker this version"
        )
    keep_freed_memory()
    return count_blocks(seed, blocks, agreement)


def first_block(seed: int, agreement: Agreement) -> str:
    """The digest of the counts of block 0, by which it is seen whether a study still counts so."""
    return count_blocks(seed, [(0, BLOCK_DEALS)], agreement).digest


def blocks_of(deals: int) -> Blocks:
    """The blocks that make up a run, each with the deals that count: the last may be partial."""
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
) -> Tally:
    """The tally of ``deals`` deals.

    Parameters
    ----------
    deals, seed
        How many deals, and the root seed of their blocks.
    agreement
        The agreement they are bid by.
    workers
        Processes to use; all processors by default, none but this one for 1.
    executor
        Any ``concurrent.futures`` executor to use in place of a pool of processes; ``workers`` then
        says how many tasks it can work at at once.
    progress
        Whether to show deals counted, deals per second and time left on standard error.
    store
        A file that keeps the whole blocks counted, each task as soon as it is done. What it already
        holds is not counted again.
    precision
        Stop before ``deals`` where this is reached; see :mod:`double_study.counting.stopping`.

    Raises
    ------
    InputError
        If the store cannot be used or written, or holds more than ``deals``.
    Failure
        If a worker process dies, or one elsewhere has another version of the study.
    Interrupted
        After Ctrl-C. The tasks in hand are finished first, and kept if there is a store.
    """
    workers = worker_count(workers)
    work = partial(count_alike, SOURCES, agreement.digest, seed, agreement=agreement)
    whole, left = divmod(deals, BLOCK_DEALS)
    with ExitStack() as stack:
        kept = stack.enter_context(counted_so_far(deals, seed, agreement, store))
        stop = stack.enter_context(stoppable())
        bar = stack.enter_context(_bar(None if precision else deals, progress, kept.tally.deals))
        ready = stack.enter_context(nullcontext(executor) if executor else pool(workers))
        for end in looks(kept.blocks.end, whole) if precision else (whole,):
            tasks = _tasks(kept.blocks.missing(end), kept.blocks.n_missing(end), workers)
            for task, part in mapped(work, tasks, ready, workers, stop):
                kept.add([block for block, _ in task], part)
                bar.update(part.deals)
            if kept.blocks.n_missing(end):
                raise Interrupted(f"interrupted: {kept}")
            if precision and precision.reached(kept.tally):
                return kept.tally
        tally = kept.tally
        if left:
            tally = tally + work([(whole, left)])
            bar.update(left)
        return tally


@contextmanager
def counted_so_far(
    deals: int, seed: int, agreement: Agreement, store: Path | None
) -> Iterator[CountedSoFar]:
    """What :func:`count` goes on from; raises :class:`InputError` as it does."""
    if store is None:
        yield CountedSoFar()
        return
    with in_store(store, seed, agreement, partial(first_block, seed, agreement)) as kept:
        if kept.blocks.end > deals // BLOCK_DEALS:
            raise InputError(
                f"store {store}: holds block {kept.blocks.end - 1}, beyond the {deals} deals of the "
                f"run; allowed: at least {kept.blocks.end * BLOCK_DEALS} deals"
            )
        yield kept


def over_blocks(
    work: Callable[[Blocks], Part],
    deals: int,
    workers: int | None = None,
    executor: Executor | None = None,
    progress: bool = True,
) -> Iterator[Part]:
    """What ``work`` makes of each batch of a run's blocks, in whatever order they are done.

    ``work`` must be picklable unless ``workers`` is 1; the other parameters and what is raised are
    those of :func:`count`.
    """
    workers = worker_count(workers)
    blocks = blocks_of(deals)
    batches = (blocks[i : i + BATCH_BLOCKS] for i in range(0, len(blocks), BATCH_BLOCKS))
    with (
        _bar(deals, progress) as bar,
        stoppable() as stop,
        nullcontext(executor) if executor else pool(workers) as ready,
    ):
        for batch, part in mapped(work, batches, ready, workers, stop):
            bar.update(sum(kept for _, kept in batch))
            yield part
        if stop.asked:
            raise Interrupted("interrupted: nothing was kept")


def _bar(deals: int | None, progress: bool, done: int = 0) -> tqdm[Any]:
    return tqdm(total=deals, initial=done, unit=" deals", unit_scale=True, disable=not progress)


def _tasks(blocks: Iterator[int], number: int, workers: int) -> Iterator[Blocks]:
    """So many whole blocks as tasks, shorter towards the end, so that workers end together."""
    while number > 0:
        size = max(BATCH_BLOCKS // 2, min(TASK_BLOCKS, number // (4 * workers)))
        task = [(block, BLOCK_DEALS) for block in islice(blocks, size)]
        number -= len(task)
        yield task
