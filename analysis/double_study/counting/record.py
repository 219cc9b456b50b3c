"""A counted run and its record, which has everything needed to cite the run and to repeat it."""

import json
import platform
from dataclasses import asdict, dataclass
from importlib import metadata
from pathlib import Path
from typing import Any, Self

from double_study.agreements.reader import Agreement
from double_study.cards.deal import BLOCK_DEALS
from double_study.counting import run as study
from double_study.counting import store
from double_study.counting.run import blocks_of, count_blocks
from double_study.counting.tally import BlockSet, Tally
from double_study.sources import commit, version

_VERSIONED = ("numpy", "scipy", "pandas")
UNKNOWN_COMMIT = "unknown"
LEFT_OUT = "left out"
"""Stands in ``run.json`` in place of the responder's exact calls."""


@dataclass(frozen=True)
class ExactUsed:
    """The responder's exact calls, as a run uses them.

    ``agreement``: digest of their agreement's settings up to the responder's call. ``sources``:
    digest of the sources that compute them. ``seconds``: time taken by this run, which is short if
    they were cached.
    """

    agreement: str
    sources: str
    seconds: float


@dataclass(frozen=True)
class RunRecord:
    """The record of a run: deals, seed, agreement, versions, commit and a digest of the counts.

    ``created``: the date of the commit, so that two reports of one commit are the same.
    ``exact``: None if the run has no exact calls of the responder.
    """

    deals: int
    seed: int
    agreement: Agreement
    digest: str
    commit: str
    created: str | None
    exact: ExactUsed | None = None

    def as_dict(self) -> dict[str, Any]:
        return {
            "deals": self.deals,
            **store.what_is_dealt(self.seed, self.agreement),
            "versions": versions(),
            "commit": self.commit,
            "created": self.created,
            "digest": self.digest,
            "first_block": self.first_block,
            "exact": asdict(self.exact) if self.exact else LEFT_OUT,
        }

    @property
    def first_block(self) -> str:
        """The digest of the counts of the run's first block, which this property deals again.

        The digest lets a rerun of one block show whether a later version still counts as this run did.
        """
        return count_blocks(self.seed, blocks_of(self.deals)[:1], self.agreement).digest


def versions() -> dict[str, str]:
    """Return the versions that a rerun needs: of the study, Python and the libraries for counting."""
    found = {"study": version(), "python": platform.python_version()}
    return found | {name: metadata.version(name) for name in _VERSIONED}


def current_commit() -> str:
    found = commit()
    return found[0] if found else UNKNOWN_COMMIT


HANDED_OVER = "DOUBLE_STUDY_RUN"
"""The environment variable in which the main command names the file of the run it counted."""


@dataclass(frozen=True)
class Counted:
    tally: Tally
    record: RunRecord

    @property
    def agreement(self) -> Agreement:
        return self.record.agreement

    @property
    def exact_calls(self) -> bool:
        return self.record.exact is not None

    @classmethod
    def of(
        cls, tally: Tally, seed: int, agreement: Agreement, exact: ExactUsed | None = None
    ) -> Self:
        number, date = commit() or (UNKNOWN_COMMIT, None)
        record = RunRecord(tally.deals, seed, agreement, tally.digest, number, date, exact)
        return cls(tally, record)

    @classmethod
    def handed_over(cls, path: Path) -> Self:
        """Read the run that :meth:`hand_over` wrote."""
        stored = store.read(path)
        exact = json.loads(_exact_beside(path).read_text())
        used = ExactUsed(**exact) if exact else None
        return cls.of(stored.tally, stored.seed, stored.agreement, used)

    def hand_over(self, path: Path) -> None:
        """Write the run to ``path``, a store, and to a file beside it, for :meth:`handed_over`."""
        exact = self.record.exact
        _exact_beside(path).write_text(json.dumps(asdict(exact) if exact else None))
        seed, agreement = self.record.seed, self.agreement
        blocks = BlockSet.below(self.tally.deals // BLOCK_DEALS)
        first = study.first_block(seed, agreement)
        stored = store.StoredTally(seed, agreement, blocks, self.tally, first)
        path.write_bytes(store.encode(stored))


def _exact_beside(path: Path) -> Path:
    return path.with_suffix(".exact")
