"""Put numbers into words: lists, shares as a card player says them, intervals with fitting decimals.

A limit is rounded to a tenth of the interval's width or less. If limits were rounded as coarsely as
the width itself, a 95% interval would cover the true value anywhere between 82% and 100% of the time.
"""

from collections.abc import Iterable, Sequence

import numpy as np
import pandas as pd

_ALL = 100.0


def listed(parts: Iterable[str]) -> str:
    """Return parts joined as in a sentence: a, b and c."""
    *before, last = parts
    return f"{', '.join(before)} and {last}" if before else last


def aligned(rows: Iterable[Sequence[str]]) -> list[str]:
    """Return rows of a table as lines for a terminal: the first column to the left, the others to
    the right.

    There are two columns or more.
    """
    first, *others = zip(*rows, strict=True)
    text = pd.DataFrame(dict(enumerate(others)), index=first).to_string(header=False)
    return [line.rstrip() for line in text.splitlines()]


def decimals(low: float, high: float) -> int:
    """Return the decimals at which rounding moves a limit by at most a twentieth of the interval's width.

    0 to 9; 2 if it has no width.
    """
    width = high - low
    if not np.isfinite(width) or width <= 0:
        return 2
    return int(np.clip(np.ceil(-np.log10(width)) + 1, 0, 9))


def interval(estimate: float, low: float, high: float, least: int = 0) -> str:
    """Return an estimate with its interval, such as ``3.762 (3.741 to 3.787)``.

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
    """Return a share with its interval, such as ``3.762% (3.741 to 3.787)``."""
    if low == share == high:
        return f"{_ALL * share:.2f}%"  # exact, not counted
    places = max(decimals(_ALL * low, _ALL * high), 1)
    # Nothing and all are exact, and need no decimals to say so.
    middle, lower, upper = (
        f"{_ALL * part:.{0 if part in (0, 1) else places}f}" for part in (share, low, high)
    )
    return f"{middle}% ({lower} to {upper})"


def points(difference: float, low: float, high: float, least: int = 2) -> str:
    """Return a difference of shares with its interval, in percentage points."""
    places = max(decimals(_ALL * low, _ALL * high), least)
    middle, lower, upper = (f"{_ALL * part:+.{places}f}" for part in (difference, low, high))
    return f"{middle} ({lower} to {upper})"


# --- a number as a card player says it ---

_WORDS = "no one two three four five six seven eight nine ten eleven twelve".split()
_PARTS = {
    1 / 5: "a fifth",
    1 / 4: "a quarter",
    1 / 3: "a third",
    1 / 2: "half",
    2 / 3: "two thirds",
    3 / 4: "three quarters",
    4 / 5: "four fifths",
}
_NEAR = 1 / 15
"""The largest difference between a share and its words, relative to the smaller of the share and 1
minus it.

A tenth would give 36.4% and 33.0% the same words.
"""


def number(value: float) -> str:
    """Return a number rounded as it is spoken: in words to twelve, beyond it to two digits."""
    whole = round(value)
    if whole < len(_WORDS):
        return _WORDS[whole]
    return f"{round(whole, 2 - len(str(whole))):,}"


def share(part: float) -> str:
    """Return a share for ``of the doubles`` to follow: ``about a third``, ``36%``, ``none``, ``all``."""
    if part in (0, 1):
        return "all" if part else "none"
    for exact, words in _PARTS.items():
        if abs(part - exact) <= _NEAR * min(exact, 1 - exact):
            return f"about {words}"
    return (
        f"{part:.0%}" if 0.1 <= part <= 0.9 else f"{part:.1%}" if part >= 0.001 else f"{part:.3%}"
    )


def one_in(part: float, noun: str) -> str:
    """Return a share for a sentence: ``one deal in 27``; a percentage if no whole number is near."""
    if part in (0, 1):
        return f"every {noun}" if part else f"no {noun}"
    whole = round(1 / part)
    if abs(1 / part - whole) > _NEAR * whole or whole < 2:
        return f"{share(part)} of {noun}s"
    return f"one {noun} in {number(whole)}"


_SESSIONS = {
    1 / 3: "about once in three sessions",
    2 / 5: "about twice in five sessions",
    1 / 2: "about every other session",
    2 / 3: "about twice in three sessions",
    3 / 4: "about three times in four sessions",
    1: "about once a session",
}


def in_sessions(per_session: float) -> str:
    """Return how often something comes up, said after a verb: ``about every other session``."""
    if per_session == 0:
        return "never"
    if per_session >= 1.5:
        return f"{per_session:.1f} times a session"
    if per_session < 0.3:
        return f"about once in {number(1 / per_session)} sessions"
    near = min(_SESSIONS, key=lambda exact: abs(per_session / exact - 1))
    if abs(per_session / near - 1) <= 0.1:
        return _SESSIONS[near]
    return f"{per_session:.2f} times a session"


def overcalls(level: int) -> str:
    """Return overcalls at a level, as players say it: ``two-level overcalls``."""
    return f"{number(level)}-level overcalls"


def from_to(low: str, high: str) -> str:
    """Return a range for a sentence, such as ``from 16.8% to 23.9%``; one figure if both are the same."""
    return low if low == high else f"from {low} to {high}"


def points_more(by: float) -> str:
    """Return a change of a mean in points: ``3.2 points more``."""
    return f"{abs(by):.1f} points {'more' if by >= 0 else 'fewer'}" if round(by, 1) else "the same"


_SMALLEST_P = 1e-6
"""Smaller than the false-alarm rate of any family of checks."""


def p_value(value: float) -> str:
    """Return a p-value in two figures: none reads as 0, and only a certain one as 1."""
    if value < _SMALLEST_P:
        return "below one in a million"
    return f"{min(value, 0.999):.3f}" if 0.995 <= value < 1 else f"{value:.2g}"
