"""Runs: the same tally by any workers, in one go or in parts, and to a precision: when they stop."""

import gc
import hashlib
import os
import weakref
from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS, deal_block
from double_study.counting import run as study
from double_study.counting.counts import CALL_COUNTS, DOUBLE_COUNTS, EVERY_OPENING, NEXT_HANDS
from double_study.counting.stopping import Precision, looks
from double_study.counting.store import in_store
from double_study.counting.tally import Blocks, BlockSet, Count, Tally
from double_study.errors import Failure
from double_study.how_often import field_count
from double_study.rules.batch import Batch
from double_study.stats import wilson
from scipy import stats

SEED = 41
DEALS = 6 * BLOCK_DEALS + 12_345


def counted(deals: int = DEALS, **options: Any) -> Tally:
    return study.count(deals, SEED, REFERENCE, progress=False, **options)


WHOLE = counted(workers=1)


class AtOnce(Executor):
    """Not one of the library's executors: each task is done as it is handed over."""

    def submit(self, work: Callable[..., Any], /, *arguments: Any, **options: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(work(*arguments, **options))
        return future


class Losing(AtOnce):
    """Loses the first result, as Dask's executor does if a worker dies while one is fetched."""

    lost = 0

    def submit(self, *args: Any, **more: Any) -> Future[Any]:
        future = super().submit(*args, **more)
        if self.lost:
            return future
        self.lost, unpacked = 1, Future[Any]()
        try:
            _kind, _error, _trace = future.result()
        except Exception as error:
            unpacked.set_exception(error)
        return unpacked


def test_a_task_whose_result_is_lost_is_done_again() -> None:
    executor = Losing()
    assert counted(workers=3, executor=executor).digest == WHOLE.digest
    assert executor.lost == 1


def test_any_workers_and_any_executor_give_the_same_tally() -> None:
    assert WHOLE.deals == DEALS
    assert counted(workers=2).digest == WHOLE.digest
    assert counted(workers=3, executor=AtOnce()).digest == WHOLE.digest
    with ThreadPoolExecutor(2) as threads:
        assert counted(workers=2, executor=threads).digest == WHOLE.digest


def test_a_run_is_the_sum_of_its_blocks() -> None:
    parts = [study.count_blocks(SEED, [block], REFERENCE) for block in study.blocks_of(DEALS)]
    assert sum(parts[1:], parts[0]).digest == WHOLE.digest
    over = study.over_blocks(len, DEALS, workers=1, progress=False)
    assert sum(over) == len(study.blocks_of(DEALS)) == 7


@pytest.mark.parametrize(
    ("count", "digest"),
    [
        (EVERY_OPENING, "a62bbe760298ac5dda0c71a701797a6e8accd7fde6e70407651b2e4ff730df25"),
        (NEXT_HANDS, "c76abf27a254efd79a425929e187d11f04f5d44a8490951eae93613682288ade"),
        (CALL_COUNTS, "abc7fb2115988dc3e51ee4e8cfd559879061f8e8aa9d531b480cf39cec521209"),
        (DOUBLE_COUNTS, "56255071b99389fb142cea8a5ece81896d9a7e4a6f511ce8191f8152481f5cc5"),
    ],
    ids=lambda value: getattr(value, "name", ""),
)
def test_the_first_block_counts_as_it_did(count: Count, digest: str) -> None:
    """A change that is to make the study faster may not change a count.

    The digests come from the code itself, after every step of the bidding had agreed with the
    plain reading of the agreement, hand by hand (tests/bidding/test_against_plain_reading.py).
    """
    table = study.count_blocks(2026, [(0, BLOCK_DEALS)], REFERENCE)[count.name]
    assert hashlib.sha256(table.astype("<i8").tobytes()).hexdigest() == digest


def test_a_store_grows_by_what_it_lacks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, at_once = tmp_path / "run.store", tmp_path / "at_once.store"
    dealt: list[int] = []

    def watched(seed: int, block: int) -> np.ndarray:
        dealt.append(block)
        return deal_block(seed, block)

    monkeypatch.setattr(study, "deal_block", watched)
    first = study.first_block(SEED, REFERENCE)
    two = [(block, BLOCK_DEALS) for block in (1, 4)]
    with in_store(path, SEED, REFERENCE, lambda: first) as so_far:
        so_far.add([1, 4], study.count_blocks(SEED, two, REFERENCE))
    dealt.clear()
    assert counted(workers=1, store=path).digest == WHOLE.digest
    # Block 0 first, to see that the study still counts as it did; block 6 is partial.
    assert sorted(dealt[1:]) == [0, 2, 3, 5, 6]
    dealt.clear()
    assert counted(workers=1, store=path).digest == WHOLE.digest
    assert dealt == [0, 6]
    counted(workers=2, store=at_once)
    assert path.read_bytes() == at_once.read_bytes()
    longer = counted(9 * BLOCK_DEALS, workers=2, store=path)
    assert longer.digest == counted(9 * BLOCK_DEALS, workers=1).digest
    with in_store(path, SEED, REFERENCE, lambda: first) as so_far:
        assert so_far.blocks == BlockSet.below(9)


def die(blocks: Blocks) -> None:
    os._exit(9)


def test_a_worker_that_dies_ends_the_run_with_one_line() -> None:
    said = r"^a worker process was killed or ran out of memory; run the command again$"
    with pytest.raises(Failure, match=said):
        list(study.over_blocks(die, DEALS, workers=2, progress=False))


def test_a_run_to_a_precision_stops_at_the_first_look_that_is_precise(tmp_path: Path) -> None:
    asked = field_count((), None, "call == 'double'")
    counts: dict[str, Any] = {"counts": (asked,)}
    at = [end * BLOCK_DEALS for end in (20, 25)]
    tallies = {deals: counted(deals, workers=2, **counts) for deals in at}
    widths = []
    for tally in tallies.values():
        met, of = tally[asked.name][1], tally[asked.name].sum(axis=0)
        low, high = wilson(met, of)
        widths.append(float((high - low) / 2 / (met / of)))
    assert widths == sorted(widths, reverse=True)
    # Precise enough at 25 blocks, and not yet at 20.
    counts["precision"] = Precision(asked.name, (widths[0] + widths[1]) / 2)
    path = tmp_path / "run.store"
    reached = counted(10**9, workers=2, store=path, **counts)
    assert reached.digest == tallies[at[1]].digest
    # From the store, and from one that an end between two looks had cut short.
    assert counted(10**9, workers=2, store=path, **counts).digest == reached.digest
    cut = tmp_path / "cut.store"
    counted(22 * BLOCK_DEALS, workers=2, store=cut, counts=(asked,))
    assert counted(10**9, workers=2, store=cut, **counts).digest == reached.digest
    # The most that may be counted ends a run, too.
    few = counted(DEALS, workers=1, **counts)
    assert few.digest == counted(DEALS, workers=2, counts=(asked,)).digest
    assert list(looks(0, 27)) == [20, 25, 27]


def test_a_batch_is_gone_once_it_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its stages refer to it, so without a release its arrays wait for the collector of cycles."""
    made: list[weakref.ref[Batch]] = []

    class Seen(Batch):
        def __init__(self, *parts: Any) -> None:
            super().__init__(*parts)
            made.append(weakref.ref(self))

    monkeypatch.setattr(study, "Batch", Seen)
    gc.disable()
    try:
        study.count_blocks(SEED, [(0, 1_000)], REFERENCE)
        assert made
        assert all(batch() is None for batch in made)
    finally:
        gc.enable()


RUNS = 20_000


def tally(met: list[int], of: list[int]) -> Tally:
    return Tally(sum(of), {"asked": np.array([np.subtract(of, met), met])})


def test_the_widest_share_decides_and_shares_of_nothing_do_not() -> None:
    low, high = wilson([300, 30], [1000, 1000])
    widest = float(((high - low) / 2 / np.array([0.3, 0.03]))[1])
    for met, of in (([300, 30], [1000, 1000]), ([300, 30, 0], [1000, 1000, 500])):
        assert Precision("asked", widest * 1.001).reached(tally(met, of))
        assert not Precision("asked", widest * 0.999).reached(tally(met, of))
    # Of nothing, nothing is known.
    assert not Precision("asked", 0.9).reached(tally([0], [1000]))


def test_looks_are_a_quarter_apart_and_end_where_they_must() -> None:
    assert list(looks(0, 60)) == [20, 25, 31, 38, 47, 58, 60]
    assert list(looks(32, 60)) == [38, 47, 58, 60]
    assert list(looks(60, 60)) == list(looks(0, 60))[-1:]
    assert list(looks(0, 7)) == [7]


def test_looking_leaves_the_interval_its_coverage() -> None:
    """Runs of a share of 3% to a relative half-width of 5%, three or more looks apart.

    The coverage of a right 95% interval on so many runs lies within 0.5 points with chance 0.999
    (3.29 standard deviations of 0.154 points); the stated overestimate, (0.05 / 1.96)^2 = 0.065%,
    is allowed four times over, and its standard error is 0.018%.
    """
    share, trials, rng = 0.03, 500, np.random.default_rng(1965)  # stopped after some 100 blocks
    met, of = np.zeros(RUNS), np.zeros(RUNS)
    low, high, going, before = met, of, np.ones(RUNS, dtype=bool), 0
    for look in looks(0, 100_000):
        more = rng.binomial((look - before) * trials, share, RUNS)
        met, of = np.where(going, met + more, met), np.where(going, look * trials, of)
        before = look
        low, high = wilson(met, of)
        going &= (high - low) / 2 > 0.05 * met / of
        if not going.any():
            break
    assert len(np.unique(of)) >= 2
    covered = ((low <= share) & (share <= high)).mean()
    assert abs(covered - 0.95) < stats.norm.isf(0.0005) * np.sqrt(0.95 * 0.05 / RUNS)
    assert 0 < (met / of).mean() / share - 1 < 4 * (0.05 / 1.96) ** 2
