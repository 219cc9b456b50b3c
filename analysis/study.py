"""A run: blocks of deals over workers, to one tally.

The map is over blocks, the reduction is addition, and a block depends on nothing but the seed and
its number, so the tally is the same to the last count whatever the number of workers.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import nullcontext
from typing import Any

from tqdm import tqdm

from analysis.agreement import Agreement
from analysis.bidding.auction import Auctions
from analysis.counts import COUNTS
from analysis.dealing import BLOCK_DEALS, deal_block
from analysis.tally import Tally

DEFAULT_DEALS = 20_000_000
DEFAULT_SEED = 20_26
BATCH_BLOCKS = 4
"""Blocks in one task: large enough to hide the cost of handing it out."""


def count_blocks(seed: int, blocks: Sequence[tuple[int, int]], agreement: Agreement) -> Tally:
    """Deal, bid and count some blocks; of each, the first so many deals.

    ``blocks`` are pairs of a block number and the number of its deals to count.
    """
    tally = Tally.empty(COUNTS)
    for block, deals in blocks:
        cards = deal_block(seed, block)[:, :deals]
        tally = tally + Tally.of(Auctions(cards, agreement), COUNTS)
    return tally


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
    workers = workers or os.cpu_count() or 1
    blocks = blocks_of(deals)
    batches = [blocks[i : i + BATCH_BLOCKS] for i in range(0, len(blocks), BATCH_BLOCKS)]
    tally = Tally.empty(COUNTS)
    with tqdm(total=deals, unit=" deals", unit_scale=True, disable=not progress) as bar:
        for part in _mapped(batches, seed, agreement, workers, executor):
            tally = tally + part
            bar.update(part.deals)
    return tally


def _mapped(
    batches: Sequence[Sequence[tuple[int, int]]],
    seed: int,
    agreement: Agreement,
    workers: int,
    executor: Executor | None,
) -> Iterator[Tally]:
    """The tally of each batch, in whatever order they are done."""
    if executor is None and workers == 1:
        for batch in batches:
            yield count_blocks(seed, batch, agreement)
        return
    pool: Any = nullcontext(executor) if executor else ProcessPoolExecutor(workers)
    with pool as ready:
        todo = iter(batches)
        running: set[Future[Tally]] = set()
        while True:
            # A few tasks in hand a worker keep it busy without queueing the whole run.
            for batch in todo:
                running.add(ready.submit(count_blocks, seed, batch, agreement))
                if len(running) >= 3 * workers:
                    break
            if not running:
                return
            done, running = wait(running, return_when=FIRST_COMPLETED)
            for task in done:
                yield task.result()
