"""A run: blocks of deals over workers, to one tally.

The map is over blocks, the reduction is addition, and a block depends on nothing but the seed and
its number, so the tally is the same to the last count whatever the number of workers.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import nullcontext
from functools import partial
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from tqdm import tqdm

from analysis.agreement import Agreement
from analysis.bidding.auction import Auctions
from analysis.counts import COUNTS
from analysis.dealing import BLOCK_DEALS, deal_block
from analysis.tally import Tally

DEFAULT_DEALS = 20_000_000
DEFAULT_SEED = 20_26
BATCH_BLOCKS = 4
"""Blocks bid together, and in one task: enough to hide the cost of a NumPy call and of a task."""

Blocks = Sequence[tuple[int, int]]
"""Blocks by number, each with the number of its deals that count: the first so many."""

Part = TypeVar("Part")


def cards_of(seed: int, blocks: Blocks) -> NDArray[np.uint64]:
    """The deals of some blocks side by side, as :func:`analysis.dealing.deal_block` has them."""
    return np.concatenate([deal_block(seed, block)[:, :deals] for block, deals in blocks], axis=1)


def count_blocks(seed: int, blocks: Blocks, agreement: Agreement) -> Tally:
    """Deal, bid and count some blocks, all held in memory at once."""
    return Tally.of(Auctions(cards_of(seed, blocks), agreement), COUNTS)


def blocks_of(deals: int) -> list[tuple[int, int]]:
    """The blocks that make up a run, each with the deals that count: the last may be partial."""
    whole, left = divmod(deals, BLOCK_DEALS)
    return [(block, BLOCK_DEALS) for block in range(whole)] + ([(whole, left)] if left else [])


def count(
    deals: int,
    seed: int,
    agreement: Agreement,
    workers: int | None = None,
    executor: Executor | None = None,
    progress: bool = True,
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
        Any ``concurrent.futures`` executor to use in place of a pool of processes.
    progress
        Whether to show deals counted, deals per second and time left on standard error.
    """
    work = partial(count_blocks, seed, agreement=agreement)
    return sum(over_blocks(work, deals, workers, executor, progress), Tally.empty(COUNTS))


def over_blocks(
    work: Callable[[Blocks], Part],
    deals: int,
    workers: int | None = None,
    executor: Executor | None = None,
    progress: bool = True,
) -> Iterator[Part]:
    """What ``work`` makes of each batch of a run's blocks, in whatever order they are done.

    ``work`` must be picklable unless ``workers`` is 1; the other parameters are those of
    :func:`count`.
    """
    workers = workers or os.cpu_count() or 1
    blocks = blocks_of(deals)
    batches = [blocks[i : i + BATCH_BLOCKS] for i in range(0, len(blocks), BATCH_BLOCKS)]
    with tqdm(total=deals, unit=" deals", unit_scale=True, disable=not progress) as bar:
        for batch, part in _mapped(work, batches, workers, executor):
            bar.update(sum(kept for _, kept in batch))
            yield part


def _mapped(
    work: Callable[[Blocks], Part],
    batches: Sequence[Blocks],
    workers: int,
    executor: Executor | None,
) -> Iterator[tuple[Blocks, Part]]:
    """Each batch and what came of it, in whatever order they are done."""
    if executor is None and workers == 1:
        for batch in batches:
            yield batch, work(batch)
        return
    pool: Any = nullcontext(executor) if executor else ProcessPoolExecutor(workers)
    with pool as ready:
        todo = iter(batches)
        running: dict[Future[Part], Blocks] = {}
        while True:
            # A few tasks in hand a worker keep it busy without queueing the whole run.
            for batch in todo:
                running[ready.submit(work, batch)] = batch
                if len(running) >= 3 * workers:
                    break
            if not running:
                return
            done, _ = wait(running, return_when=FIRST_COMPLETED)
            for task in done:
                yield running.pop(task), task.result()
