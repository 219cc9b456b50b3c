"""The run that a notebook reads: handed over by the main command, or counted on the spot."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from analysis import study
from analysis.agreement import REFERENCE, Agreement, load
from analysis.run_record import RunRecord, current_commit
from analysis.tally import Tally

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

    @classmethod
    def of(cls, tally: Tally, seed: int, agreement: Agreement) -> Run:
        """A run just counted."""
        return cls(tally, RunRecord.of(tally, seed, agreement))

    def hand_over(self, path: Path, agreement_name: str) -> None:
        """Write the run for :func:`open_run`; ``agreement_name`` is what the user called it."""
        np.savez(
            path,
            agreement=np.array(agreement_name),
            run=np.array([self.record.seed, self.tally.deals]),
            **self.tally.tables,
        )


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
    with np.load(path, allow_pickle=False) as file:
        seed, deals = (int(number) for number in file["run"])
        tables = {name: file[name] for name in file.files if name not in ("run", "agreement")}
        agreement = load(str(file["agreement"]))
    tally = Tally(deals, tables)
    return Run(tally, RunRecord(deals, seed, agreement, tally.digest, current_commit()))
