"""The numbers in bold of the reference agreement, as the plain reading takes them."""

import tomllib
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from unittest.mock import patch

_READ = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))

ADDED: set[str] = {*_READ.pop("added")}
"""The settings that stand in no bold type."""

SETTINGS = SimpleNamespace(**{name: SimpleNamespace(**part) for name, part in _READ.items()})
"""What the plain reading plays by: the reference agreement, except within ``played``."""


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

    Raises AttributeError for a name that is no setting.
    """
    with ExitStack() as stack:
        for key, value in changes.items():
            section, name = key.split(".")
            stack.enter_context(patch.object(getattr(SETTINGS, section), name, value))
        yield
