"""The run that a notebook reads: handed over by the main command, or counted on the spot."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from analysis import study
from analysis.agreement import REFERENCE, Agreement, of_document
from analysis.run_record import RunRecord
from analysis.tally import Tally

HANDED_OVER = "DOUBLE_STUDY_RUN"
"""The environment variable in which the main command names the file of the run it counted."""

_RECORD = "run"
"""The entry of that file that is no table of counts: what the run was, as JSON."""

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

    def hand_over(self, path: Path) -> None:
        """Write the run to ``path`` (``.npz``) for :func:`open_run`."""
        record = self.record
        said = {
            "deals": record.deals,
            "seed": record.seed,
            "commit": record.commit,
            "agreement": record.agreement.name,
            "settings": record.agreement.document,
        }
        entries: dict[str, Any] = {_RECORD: np.array(json.dumps(said)), **self.tally.tables}
        np.savez(path, **entries)


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
        said = json.loads(str(file[_RECORD]))
        tally = Tally(said["deals"], {name: file[name] for name in file.files if name != _RECORD})
    agreement = of_document(said["settings"], said["agreement"], source=path)
    return Run(tally, RunRecord(tally.deals, said["seed"], agreement, tally.digest, said["commit"]))
