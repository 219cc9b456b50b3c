"""The plain reading by another agreement than the reference."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from plain.bidding import REFERENCE as PLAIN
from shared.setting_names import PLAIN_NAMES, plain_value


@contextmanager
def plainly(agreement: Agreement) -> Iterator[None]:
    """Every number of the plain reading as ``agreement`` has it.

    The plain reading has one number for the double over two of a minor and of a major, so an
    agreement that tells them apart can only be compared with it on one of the two.
    """
    standing = REFERENCE.values
    with pytest.MonkeyPatch.context() as patch:
        for setting in agreement.settings():
            if setting.value != standing[setting.key]:
                written = setting.field.metadata["kind"].written(setting.value)
                for where, number in _numbers(setting.key, written):
                    _put(patch, where, tuple(number) if isinstance(number, list) else number)
        yield


def _numbers(key: str, value: Any) -> Iterator[tuple[str | tuple[str, int], Any]]:
    """Where the plain reading has the setting ``key``, and what stands there."""
    yield PLAIN_NAMES[key], value
    if key == "response.cue_bid":
        yield ("cue_bid", 1), value
    if key == "continuation.game":
        yield ("invitation", 1), value - 1


def _put(patch: pytest.MonkeyPatch, where: str | tuple[str, int], number: Any) -> None:
    assert number != plain_value(where)
    if isinstance(where, tuple):
        name, at = where
        numbers = list(getattr(PLAIN, name))
        numbers[at] = number
        patch.setattr(PLAIN, name, tuple(numbers))
    else:
        patch.setattr(PLAIN, where, number)
