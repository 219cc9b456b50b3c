"""How to cite a run: everything needed to find the number again and to make it again."""

from __future__ import annotations

from collections.abc import Callable

from analysis.counting.provenance import RunRecord, commit_year, versions
from analysis.runtime import escape

TITLE = "The responder's double: how often it arises, counted and checked exactly"
AUTHOR = "The contributors to the responder's double study"


def citation(record: RunRecord) -> str:
    """The reference in words, one paragraph."""
    year = commit_year(record.commit)
    return (
        f"{AUTHOR}{f' ({year})' if year else ''}. *{TITLE}.* Version {versions()['study']}, "
        f"commit {record.commit}. {_run(record, escape.markdown)}."
    )


def bibtex(record: RunRecord) -> str:
    """The reference as a BibTeX entry."""
    year = commit_year(record.commit)
    fields = {
        "title": f"{{{TITLE}}}",
        "author": f"{{{AUTHOR}}}",
        "year": year,
        "version": versions()["study"],
        "note": f"Commit {record.commit}. {_run(record, escape.bibtex)}",
    }
    lines = [f"  {name} = {{{value}}}," for name, value in fields.items() if value]
    key = f"respondersdouble{year or ''}"
    return "\n".join([f"@misc{{{key},", *lines, "}"])


def _run(record: RunRecord, shown: Callable[[str], str]) -> str:
    return (
        f"Run of {record.deals:,} deals, seed {record.seed}, agreement "
        f"{shown(record.agreement.name)} ({record.agreement.digest[:12]}), "
        f"digest of the counts {record.digest[:12]}"
    )
