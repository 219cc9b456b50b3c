"""The numbers in bold of the reference agreement, as the plain reading takes them.

In settings.txt each bears the name that a user gives it, by section. A range is its lowest and highest.
What is marked * is in no bold type: its default is what the text does.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any

SETTINGS = SimpleNamespace()
"""What the plain reading plays by: the reference agreement, except within ``played``."""

ADDED: set[str] = set()
"""The settings marked *."""


def _value(written: str) -> Any:
    if "-" in written:
        low, high = written.split("-")
        return int(low), int(high)
    return {"yes": True, "no": False}.get(written, int(written) if written.isdigit() else written)


def _read(text: str) -> None:
    for paragraph in text.strip().split("\n\n"):
        section, numbers = paragraph.split(":")
        setattr(SETTINGS, section, SimpleNamespace())
        for number in numbers.split(","):
            name, written = number.split()
            setattr(getattr(SETTINGS, section), name, _value(written.removesuffix("*")))
            if written.endswith("*"):
                ADDED.add(f"{section}.{name}")


_read(Path(__file__).with_suffix(".txt").read_text(encoding="utf-8"))


def settings() -> dict[str, Any]:
    """Return the values in force, by ``section.name``."""
    return {
        f"{section}.{name}": value
        for section, values in vars(SETTINGS).items()
        for name, value in vars(values).items()
    }


@contextmanager
def played(changes: Mapping[str, Any]) -> Iterator[None]:
    """Play by other values of these settings, named ``section.name``, inside the block.

    Raises KeyError for a name that is no setting.
    """
    standing = {key: settings()[key] for key in changes}
    try:
        _put(changes)
        yield
    finally:
        _put(standing)


def _put(values: Mapping[str, Any]) -> None:
    for key, value in values.items():
        section, name = key.split(".")
        setattr(getattr(SETTINGS, section), name, value)
