"""How to cite a run: everything needed to find the number again and to make it again."""

from __future__ import annotations

from collections.abc import Callable

from double_study import escape
from double_study.counting.run import RunRecord, commit_year, versions
from double_study.datapackage import AUTHOR
from double_study.stats import CONFIDENCE

TITLE = "The responder's double: how often it arises, counted and checked exactly"


def citation(record: RunRecord) -> str:
    """The reference in words, one paragraph."""
    year = commit_year(record.commit)
    return (
        f"{AUTHOR}{f' ({year})' if year else ''}. *{TITLE}.* Version {versions()['study']}, "
        f"commit {record.commit}. {_run(record, escape.markdown)}."
    )


def sentence(record: RunRecord, what: str, share: str, of: str = "", interval: str = "") -> str:
    """A sentence to copy, such as ``what`` 3.76% ``of``; an exact share has no interval."""
    known = (
        f"({CONFIDENCE:.0%} interval {interval}; counted on {record.deals:,} random deals, seed "
        f"{record.seed}"
        if interval
        else "(computed exactly"
    )
    return (
        f"{what} {share}{' ' if of else ''}{of} {known}; agreement "
        f"{escape.markdown(record.agreement.name)} of the responder's double study, commit "
        f"{record.commit})."
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
