"""What readers call an agreement: the first line of its file says it as a condition."""

from __future__ import annotations

from functools import cache

from analysis.agreements.agreement import REFERENCE, SHIPPED, shipped

_IF = "If "


def title(name: str) -> str:
    """A shipped agreement in words, such as ``the opponents overcall lighter``; any other by its name."""
    return _head(name)[0] if _has_title(name) else name


def condition(name: str) -> str:
    """An agreement as part of a sentence: ``if the opponents overcall lighter``, ``under reference``."""
    return f"{'if' if _has_title(name) else 'under'} {title(name)}"


def origin(name: str) -> str:
    """What the head of a shipped agreement's file says after its title: what it is, and from where."""
    return _head(name)[1]


def _has_title(name: str) -> bool:
    return name != REFERENCE.name and name in shipped()


@cache
def _head(name: str) -> tuple[str, str]:
    """The title, and the rest of the comment at the head of a shipped agreement's file."""
    text = (SHIPPED / f"{name}.toml").read_text(encoding="utf-8")
    first, *others = [line.removeprefix("# ") for line in text.partition("\n\n")[0].splitlines()]
    return first.removeprefix(_IF).removesuffix("."), " ".join(others)
