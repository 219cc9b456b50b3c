"""A disk without room."""

import resource
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def full_disk(room: int) -> Iterator[None]:
    """Limit files to so many bytes in place of a full disk, because a write then fails half-way too."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
