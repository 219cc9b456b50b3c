"""How large a fault must be for the check to find it nine times in ten.

The table is made by ``tests/power.py``, which plants each fault in runs and counts.
"""

from pathlib import Path

import pandas as pd

FILE = Path(__file__).with_name("power.csv")
DEALS = (20_000_000, 100_000_000)
"""The lengths of run that the table is for."""

SHARES = tuple(f"share_at_{deals}" for deals in DEALS)


def power() -> pd.DataFrame:
    """Return the table of ``power.csv``, one row per fault.

    Columns ``fault``, in words; ``seen_by``, the family that finds it; ``share_at_20000000`` and
    ``share_at_100000000``, the smallest share of the places where the fault could show at which a run
    of that length fails nine times in ten; ``found`` and ``of_runs``, how many runs of the shorter
    length failed at the share stated for it.
    """
    return pd.read_csv(FILE)
