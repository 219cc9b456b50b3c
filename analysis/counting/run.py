"""The run that a notebook reads: handed over by the main command, or counted on the spot."""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path

from analysis.agreements.agreement import REFERENCE, Agreement
from analysis.cards.dealing import BLOCK_DEALS
from analysis.counting import sampling as study
from analysis.counting import store
from analysis.counting.blocks import BlockSet
from analysis.counting.provenance import ExactUsed, RunRecord
from analysis.counting.tally import Tally

HANDED_OVER = "DOUBLE_STUDY_RUN"
"""The environment variable in which the main command names the file of the run it counted."""

READING_DEALS = 2_000_000
"""Deals that a notebook counts for itself when it is opened by hand: a matter of seconds."""


@dataclass(frozen=True)
class Run:
    """A tally and the record of how it was made."""

    tally: Tally
    record: RunRecord

    @property
    def agreement(self) -> Agreement:
        """The agreement that the deals were bid by."""
        return self.record.agreement

    @property
    def exact_calls(self) -> bool:
        """Whether the responder's calls, worked out exactly, stand beside the counts."""
        return self.record.exact is not None

    @classmethod
    def of(
        cls, tally: Tally, seed: int, agreement: Agreement, exact: ExactUsed | None = None
    ) -> Run:
        """A run just counted."""
        return cls(tally, RunRecord.of(tally, seed, agreement, exact))

    def hand_over(self, path: Path) -> None:
        """Write the run to ``path``, a store, and to a file beside it, for :func:`open_run`."""
        exact = self.record.exact
        _exact_beside(path).write_text(json.dumps(asdict(exact) if exact else None))
        seed, agreement = self.record.seed, self.agreement
        blocks = BlockSet.below(self.tally.deals // BLOCK_DEALS)
        first = study.first_block(seed, agreement)
        stored = store.StoredTally(seed, agreement, blocks, self.tally, first)
        path.write_bytes(store.encoded(stored))


@lru_cache
def open_run() -> Run:
    """The run to report on.

    It is the one that the main command handed over (see :data:`HANDED_OVER`); in a notebook opened
    by hand, the first :data:`READING_DEALS` deals of the default seed by the reference agreement.
    """
    path = os.environ.get(HANDED_OVER)
    if path is None:
        tally = study.count(READING_DEALS, study.DEFAULT_SEED, REFERENCE, progress=False)
        return Run.of(tally, study.DEFAULT_SEED, REFERENCE)
    stored = store.read(Path(path))
    exact = json.loads(_exact_beside(Path(path)).read_text())
    return Run.of(
        stored.tally, stored.seed, stored.agreement, ExactUsed(**exact) if exact else None
    )


def _exact_beside(path: Path) -> Path:
    return path.with_suffix(".exact")
