"""How lists, tables and numbers with their intervals read: as many decimals as keep what the interval says.

A limit is rounded to a tenth of the interval's width or less. Rounded to a whole width, as a reader
might like it, an interval of 95% would cover what it should anywhere between 82% and 100% of the time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import pandas as pd

_ALL = 100.0


def listed(parts: Iterable[str]) -> str:
    """Parts joined as in a sentence: a, b and c."""
    *before, last = parts
    return f"{', '.join(before)} and {last}" if before else last


def aligned(rows: Iterable[Sequence[str]]) -> list[str]:
    """Rows of a table as lines for a terminal: the first column to the left, the others to the right.

    There are two columns or more.
    """
    first, *others = zip(*rows, strict=True)
    text = pd.DataFrame(dict(enumerate(others)), index=first).to_string(header=False)
    return [line.rstrip() for line in text.splitlines()]


def decimals(low: float, high: float) -> int:
    """Decimals at which a limit is off by a twentieth of the interval's width at most.

    0 to 9; 2 where it has no width.
    """
    width = high - low
    if not np.isfinite(width) or width <= 0:
        return 2
    return int(np.clip(np.ceil(-np.log10(width)) + 1, 0, 9))


def rounded(estimate: float, low: float, high: float) -> str:
    """An estimate for a sentence: three figures, or as many of them as the interval supports.

    The interval is no wider than five units of the last one.
    """
    if np.isinf(estimate):
        return "∞"
    places = 2 - int(np.floor(np.log10(abs(estimate)))) if estimate else 0
    if np.isfinite(high - low) and high > low:
        places = min(places, int(np.floor(-np.log10((high - low) / 5))))
    return f"{round(estimate, places):,.{max(places, 0)}f}"


def interval(estimate: float, low: float, high: float, least: int = 0) -> str:
    """An estimate with its interval, such as ``3.762 (3.741 to 3.787)``.

    ``least``: decimals that are shown in any case.
    """
    # Whole numbers, such as boards, are exact as they are.
    whole = all(float(number).is_integer() for number in (estimate, low, high))
    places = max(0 if whole else decimals(low, high), least)
    if low == estimate == high:
        return f"{estimate:,.{places}f}"
    middle, lower, upper = (
        "∞" if np.isinf(x) else f"{x:,.{places}f}" for x in (estimate, low, high)
    )
    return f"{middle} (no interval)" if np.isnan(low) else f"{middle} ({lower} to {upper})"


def percent(share: float, low: float, high: float) -> str:
    """A share with its interval, such as ``3.762% (3.741 to 3.787)``."""
    if low == share == high:
        return f"{_ALL * share:.2f}%"  # worked out, not counted
    places = max(decimals(_ALL * low, _ALL * high), 1)
    # Nothing and all are exact, and need no decimals to say so.
    middle, lower, upper = (
        f"{_ALL * part:.{0 if part in (0, 1) else places}f}" for part in (share, low, high)
    )
    return f"{middle}% ({lower} to {upper})"


def points(difference: float, low: float, high: float, least: int = 2) -> str:
    """A difference of shares with its interval, in percentage points."""
    places = max(decimals(_ALL * low, _ALL * high), least)
    middle, lower, upper = (f"{_ALL * part:+.{places}f}" for part in (difference, low, high))
    return f"{middle} ({lower} to {upper})"
