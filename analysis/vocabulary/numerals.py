"""How numbers with their intervals read: no more decimals than the interval allows."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

_ALL = 100.0


def listed(parts: Iterable[str]) -> str:
    """Parts joined as in a sentence: a, b and c."""
    *before, last = parts
    return f"{', '.join(before)} and {last}" if before else last


def decimals(low: float, high: float) -> int:
    """Decimals that show an interval's width and no more: 0 to 4; 2 where it has none."""
    width = high - low
    if not np.isfinite(width) or width <= 0:
        return 2
    return int(np.clip(np.ceil(-np.log10(width)), 0, 4))


def interval(estimate: float, low: float, high: float, least: int = 0) -> str:
    """An estimate with its interval, such as ``3.76 (3.74 to 3.79)``.

    ``least``: decimals that are shown in any case.
    """
    if low == estimate == high:
        return f"{estimate:,.{decimals(low, high)}f} (at both limits)"
    places = max(decimals(low, high), least)
    middle, lower, upper = (
        "∞" if np.isinf(x) else f"{x:,.{places}f}" for x in (estimate, low, high)
    )
    return (
        f"{middle} (too few for an interval)" if np.isnan(low) else f"{middle} ({lower} to {upper})"
    )


def percent(share: float, low: float, high: float) -> str:
    """A share with its interval, such as ``3.76% (3.74 to 3.79)``."""
    estimate, low, high = (_ALL * float(part) for part in (share, low, high))
    if low == estimate == high:
        return f"{estimate:.2f}%"  # worked out, not counted
    # A limit of 0% or 100% is exact, and needs no decimals to say so.
    places = 1 if low == 0 or high == _ALL else int(np.clip(decimals(low, high), 1, 3))
    return f"{estimate:.{places}f}% ({low:.{places}f} to {high:.{places}f})"


def points(difference: float, low: float, high: float, places: int = 2) -> str:
    """A difference of shares with its interval, in percentage points."""
    middle, lower, upper = (f"{_ALL * part:+.{places}f}" for part in (difference, low, high))
    return f"{middle} ({lower} to {upper})"
