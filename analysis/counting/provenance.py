"""The record of a run: all that is needed to cite it and to run it again."""

from __future__ import annotations

import platform
import subprocess
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any

from analysis.agreements.agreement import Agreement
from analysis.cards.dealing import BIT_GENERATOR, BLOCK_DEALS
from analysis.counting.sampling import blocks_of, count_blocks
from analysis.counting.tally import Tally

PACKAGE = "responders-double-study"
_VERSIONED = ("numpy", "scipy", "pandas")
UNKNOWN_COMMIT = "unknown"
_MAKES_REPORTS = ("analysis", "notebooks")


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
    """The commit of the study's checkout, ``-modified`` where files differ from it."""
    try:
        commit = _git("rev-parse", "HEAD")
        changed = _git("status", "--porcelain", "--untracked-files=no", "--", *_MAKES_REPORTS)
    except (OSError, subprocess.CalledProcessError):
        return UNKNOWN_COMMIT
    return commit + ("-modified" if changed else "")


def commit_year(commit: str) -> str | None:
    """The year in which a commit of the study's checkout was made; None where it is not known."""
    try:
        return _git("show", "-s", "--format=%cd", "--date=format:%Y", commit.split("-")[0])
    except (OSError, subprocess.CalledProcessError):
        return None


def _git(*arguments: str) -> str:
    here = Path(__file__).resolve().parents[2]
    # The study's own folder, and git by its name: nothing of the user's reaches the command.
    done = subprocess.run(  # noqa: S603
        ["git", "-C", str(here), *arguments],  # noqa: S607
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()
