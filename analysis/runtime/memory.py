"""Memory that is freed and wanted again the next moment."""

from __future__ import annotations

import ctypes
from contextlib import suppress
from functools import cache

_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
"""glibc's names in ``mallopt``: free memory to keep, and the size from which it is always given back."""

_KEPT = 1 << 30
_LARGEST = 1 << 25
"""The most that glibc takes for the second, in bytes; larger arrays are not in a batch of deals."""


@cache
def keep_freed_memory() -> None:
    """Have this process keep what its arrays free, where it would give that back to the system.

    A process does by itself what is asked for here, but not Dask's workers: they are told to give
    freed memory back at once, and fetching it anew for every array takes longer than to count.
    Does nothing on a system without glibc.
    """
    with suppress(AttributeError, OSError):
        library = ctypes.CDLL(None)
        library.mallopt(_TRIM_THRESHOLD, _KEPT)
        library.mallopt(_MMAP_THRESHOLD, _LARGEST)
