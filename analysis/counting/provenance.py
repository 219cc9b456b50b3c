"""The record of a run: all that is needed to cite it and to run it again."""

from __future__ import annotations

import platform
from dataclasses import asdict, dataclass
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
LEFT_OUT = "left out"
"""In ``run.json``, of the responder's calls worked out exactly."""


@dataclass(frozen=True)
class ExactUsed:
    """The responder's calls worked out exactly, as a run uses them.

    ``agreement``: digest of the agreement that they are by, what comes after the call left out.
    ``sources``: digest of the sources that they come from. ``compared``: by name, digests of the
    other agreements whose calls were worked out for the comparison. ``seconds``: what it took this
    time; a moment, where they were kept from an earlier run.
    """

    agreement: str
    sources: str
    compared: dict[str, str]
    seconds: float


@dataclass(frozen=True)
class RunRecord:
    """What a run was: deals, seed, agreement, versions, commit and a digest of the counts.

    ``exact``: None where the responder's calls were not worked out exactly for it.
    """

    deals: int
    seed: int
    agreement: Agreement
    digest: str
    commit: str
    exact: ExactUsed | None = None

    @classmethod
    def of(
        cls, tally: Tally, seed: int, agreement: Agreement, exact: ExactUsed | None = None
    ) -> RunRecord:
        """The record of a tally just counted."""
        return cls(tally.deals, seed, agreement, tally.digest, current_commit(), exact)

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
            "exact": asdict(self.exact) if self.exact else LEFT_OUT,
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
