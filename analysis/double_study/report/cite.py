"""Cite a run, in words and in the formats of reference lists."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import floor, log10
from typing import Any

from double_study import escape
from double_study.datapackage import AUTHOR

TITLE = "The negative double: how often it comes up, and what happens next"
SHORT = "Responder's Double Study"


@dataclass(frozen=True)
class Citation:
    """A reference to a run; ``about`` is what its ``run.json`` says."""

    about: Mapping[str, Any]

    @property
    def version(self) -> str:
        return self.about["versions"]["study"]

    @property
    def commit(self) -> str:
        return self.about["commit"]

    @property
    def created(self) -> str:
        """The date of the commit; empty without one."""
        return self.about.get("created") or ""

    @property
    def year(self) -> str:
        return self.created[:4]

    @property
    def short(self) -> str:
        """Return the citation at the end of a sentence: ``(Responder's Double Study, 2.0, 2026)``."""
        edition = self.version.rpartition(".")[0]  # without its last part
        return f"({', '.join(filter(None, (SHORT, edition, self.year)))})"

    def run(self, shown: Callable[[str], str] = str) -> str:
        """Return the run in words; ``shown`` escapes the agreement's name, which anyone may choose."""
        about, by = self.about, self.about["agreement"]
        return (
            f"Run of {about['deals']:,} deals, seed {about['seed']}, agreement {shown(by['name'])} "
            f"({by['digest'][:12]}), digest of the counts {about['digest'][:12]}"
        )

    @property
    def text(self) -> str:
        """The entry of a reference list, in Markdown."""
        year = f" ({self.year})" if self.year else ""
        return (
            f"{AUTHOR}{year}. *{TITLE}.* Version {self.version}, commit {self.commit}. "
            f"{self.run(escape.markdown)}."
        )

    @property
    def bibtex(self) -> str:
        fields = {
            "title": f"{{{TITLE}}}",
            "author": f"{{{AUTHOR}}}",
            "year": self.year,
            "version": self.version,
            "note": f"Version {self.version}, commit {self.commit}. {self.run(escape.bibtex)}",
        }
        lines = [f"  {name} = {{{value}}}," for name, value in fields.items() if value]
        return "\n".join([f"@misc{{respondersdouble{self.year},", *lines, "}"])

    @property
    def csl(self) -> str:
        issued = [int(part) for part in self.created[:10].split("-") if part]
        entry = {
            "id": f"respondersdouble{self.year}",
            "type": "software",
            "title": TITLE,
            "author": [{"literal": AUTHOR}],
            **({"issued": {"date-parts": [issued]}} if issued else {}),
            "version": self.version,
            "note": f"Commit {self.commit}. {self.run()}",
        }
        return json.dumps([entry], indent=2, ensure_ascii=False)

    @property
    def cff(self) -> str:
        """The entry in the Citation File Format 1.2.0; a text of JSON is one of YAML."""
        fields: dict[str, Any] = {
            "cff-version": "1.2.0",
            "message": "To cite the study, use these fields.",
            "type": "software",
            "title": TITLE,
            "authors": [{"name": AUTHOR}],
            "version": self.version,
            "commit": self.commit,
            **({"date-released": self.created[:10]} if self.created else {}),
            "abstract": f"{self.run()}.",
        }
        return "\n".join(
            f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in fields.items()
        )

    @property
    def files(self) -> dict[str, str]:
        """Each format by the name of its file in a report."""
        formats = {"CITATION.cff": self.cff, "citation.bib": self.bibtex, "citation.json": self.csl}
        return {name: f"{text}\n" for name, text in formats.items()}


def figure(share: float, low: float | None = None, high: float | None = None) -> str:
    """Return a share with three figures, and its sampling error if that reaches the last of them."""
    places = max(0, 2 - floor(log10(100 * share))) if 0 < share < 1 else 0
    half = 50 * (high - low) if low is not None and high is not None else 0.0
    if half < 0.5 * 10**-places:
        return f"{share:.{places}%}"
    places = max(0, -floor(log10(half)))
    return f"{share:.{places}%} (±{half:.{places}f}, sampling error only)"
