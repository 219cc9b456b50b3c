"""The responder's calls by the other agreements that come with the study, exactly.

A run's own counts serve the agreements that differ from its own in the responder's settings alone
(:func:`analysis.exact.table.serves`). Those that open or overcall otherwise need counts of their own. They
are made together, since they have much in common, and only what each call comes to over all
auctions is kept: one table for all, so that its last digits never depend on which of them was worked out
before.
"""

from __future__ import annotations

import hashlib

import pandas as pd

from analysis.agreements.agreement import Agreement, load, shipped
from analysis.bidding.response import CALL
from analysis.exact.cache import KeptTable, kept
from analysis.exact.responses import PROBABILITY, Progress, calls_of, up_to_response
from analysis.exact.table import serves
from analysis.vocabulary.column import Column

AGREEMENT = Column("agreement", "agreement", "The agreement.")


def others(agreement: Agreement) -> list[Agreement]:
    """The agreements that come with the study and need counts of their own beside the agreement's."""
    return [other for other in map(load, shipped()) if not serves(agreement, other)]


def others_calls(
    agreement: Agreement,
    workers: int | None = None,
    progress: Progress = lambda done, of: None,
) -> pd.DataFrame:
    """Exact probability of each of the responder's calls by each of :func:`others`.

    Columns ``agreement`` (its name), ``call`` and ``probability`` (first seat, per deal,
    unconditional); calls above the ceiling have no row. Worked out once and kept on disk.
    """
    wanted = others(agreement)

    def compute() -> pd.DataFrame:
        tables = calls_of([up_to_response(other) for other in wanted], workers, progress)
        rows = [
            (other.name, call, float(of_call[PROBABILITY].sum()))
            for other, table in zip(wanted, tables, strict=True)
            for call, of_call in table.groupby(CALL, sort=False)
        ]
        return pd.DataFrame(rows, columns=[AGREEMENT, CALL, PROBABILITY])

    digest = hashlib.sha256(" ".join(other.digest for other in wanted).encode()).hexdigest()
    table = KeptTable(f"others-{digest[:16]}", (AGREEMENT, CALL, PROBABILITY))
    return kept(table, up_to_response(agreement), compute)
