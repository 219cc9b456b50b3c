"""The record of a run: all that is needed to cite it and to run it again."""

from __future__ import annotations

import platform
from dataclasses import dataclass
from importlib import metadata
from typing import Any

from analysis.agreements.agreement import Agreement
from analysis.cards.dealing import BIT_GENERATOR, BLOCK_DEALS
from analysis.counting.sampling import blocks_of, count_blocks
from analysis.counting.tally import Tally
from analysis.runtime.sources import commit

PACKAGE = "responders-double-study"
_VERSIONED = ("numpy", "scipy", "pandas")
UNKNOWN_COMMIT = "unknown"


@dataclass(frozen=True)
class RunRecord:
    """What a run was: deals, seed, agreement, versions, commit and a digest of the counts."""

    deals: int
    seed: int
    agreement: Agreement
    digest: str
    commit: str

    @classmethod
    def of(cls, tally: Tally, seed: int, agreement: Agreement) -> RunRecord:
        """The record of a tally just counted."""
        return cls(tally.deals, seed, agreement, tally.digest, current_commit())

    def as_dict(self) -> dict[str, Any]:
        """The record as ``run.json`` holds it."""
        return {
            "deals": self.deals,
            "seed": self.seed,
            "bit_generator": BIT_GENERATOR.__name__,
            "block_deals": BLOCK_DEALS,
            "agreement": {
                "name": self.agreement.name,
                "digest": self.agreement.digest,
                "settings": self.agreement.document,
            },
            "versions": versions(),
            "commit": self.commit,
            "digest": self.digest,
            "first_block": self.first_block,
        }

    @property
    def first_block(self) -> str:
        """The digest of the counts of the run's first block, dealt again.

        With it a rerun of one block tells whether a study still counts as it did for this run.
        """
        return count_blocks(self.seed, blocks_of(self.deals)[:1], self.agreement).digest


def versions() -> dict[str, str]:
    """The versions that a rerun would need: the study, Python and the libraries it counts with."""
    found = {"study": metadata.version(PACKAGE), "python": platform.python_version()}
    return found | {name: metadata.version(name) for name in _VERSIONED}


def current_commit() -> str:
    """The commit of the study's own files, ``-modified`` where they differ from it."""
    found = commit()
    return found[0] if found else UNKNOWN_COMMIT


def commit_year(cited: str) -> str | None:
    """The year in which a commit was made, if it is that of the study's own files."""
    found = commit()
    return found[1] if found and found[0] == cited else None
