"""How often something comes up, as a card player says it: the precise figure stands elsewhere.

Each function rounds so far that the words are within a fifth of the number they stand for.
"""

from __future__ import annotations

_WORDS = (
    "no one two three four five six seven eight nine ten eleven twelve".split()  # by number
)
_PARTS = ((1, 4), (3, 10), (1, 3), (4, 10), (1, 2), (6, 10), (2, 3), (7, 10), (3, 4), (8, 10))
"""Shares that are said as such, between one in five and all but one in six."""
_FEW = 1 / 4.5
"""Below it a share reads as one in so many."""
_HARDLY_ANY = 0.03
"""Below it a whole number in a hundred is too coarse."""

_EVENINGS = (
    (1.25, "three times in two evenings"),
    (5 / 6, "once in an evening"),
    (0.6, "twice in three evenings"),
    (0.45, "once in two evenings"),
    (0.37, "twice in five evenings"),
)
"""From which number in a session on, below twice, it reads so."""


def number(value: float) -> str:
    """A number rounded as it is spoken: in words to twelve, beyond it to two digits."""
    whole = round(value)
    if whole < len(_WORDS):
        return _WORDS[whole]
    return f"{round(whole, 2 - len(str(whole))):,}"


def share(of_all: float, noun: str) -> str:
    """A share of some things: ``about one deal in 27``, ``about three deals in ten``.

    ``noun`` is one of the things, and takes an s where there are more.
    """
    if of_all in (0, 1):
        return f"every {noun}" if of_all else f"no {noun}"
    if of_all < _FEW:
        return f"about one {noun} in {number(1 / of_all)}"
    if of_all > 1 - _FEW + 0.04:
        return f"all but about one {noun} in {number(1 / (1 - of_all))}"
    some, many = min(_PARTS, key=lambda part: abs(part[0] / part[1] - of_all))
    return f"about {number(some)} {noun}{'s' if some > 1 else ''} in {number(many)}"


def in_hundred(of_all: float, noun: str) -> str:
    """A share of some things to be set beside others: ``about 45 hands in a hundred``.

    Where it is hardly any or nearly all of them, as :func:`share` has it.
    """
    if not _HARDLY_ANY <= of_all <= 1 - _HARDLY_ANY:
        return share(of_all, noun)
    return f"about {100 * of_all:.0f} {noun}s in a hundred"


def in_evenings(per_session: float) -> str:
    """Times in a session, for one partnership: ``about once in two evenings``."""
    if per_session == 0:
        return "never"
    if per_session >= 1.75:
        times = "twice" if round(per_session) == 2 else f"{number(per_session)} times"
        return f"about {times} in an evening"
    for least, words in _EVENINGS:
        if per_session >= least:
            return f"about {words}"
    return f"about once in {number(1 / per_session)} evenings"
