"""What stands in the way of writing: a disk without room, and rights that a user lacks."""

import os
import resource
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import pytest


@contextmanager
def full_disk(room: int) -> Iterator[None]:
    """Limit files to so many bytes in place of a full disk, because a write then fails half-way too."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    with pytest.MonkeyPatch.context() as patch:
        # Python does not notice that it saved half of a compiled module, and fails to load it next time.
        patch.setattr(sys, "dont_write_bytecode", True)
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, hard))
        try:
            yield
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@contextmanager
def as_a_user_without_rights() -> Iterator[None]:
    """Root may write anywhere: for a moment this process is nobody."""
    root = os.geteuid() == 0
    if root:
        os.setresuid(65_534, 65_534, 0)
    try:
        yield
    finally:
        if root:
            os.setresuid(0, 0, 0)
