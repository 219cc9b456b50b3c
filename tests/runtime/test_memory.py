"""Memory that arrays free is kept for the next ones, in a process that was told to give it back."""

import os
import platform
import subprocess
import sys

import pytest

ARRAYS = 40
TOUCHED = f"""
import resource, sys
import numpy as np
from double_study.workers import keep_freed_memory

if sys.argv[1] == "kept":
    keep_freed_memory()
np.ones(1_000_000)
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
for _ in range({ARRAYS}):
    np.ones(1_000_000)
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""


def fetched(kept: str) -> int:
    """Pages that a process has to fetch for its arrays, told as a worker of Dask's is."""
    told = os.environ | {"MALLOC_TRIM_THRESHOLD_": "65536"}
    command = [sys.executable, "-c", TOUCHED, kept]
    done = subprocess.run(command, env=told, capture_output=True, text=True, check=True)  # noqa: S603
    return int(done.stdout)


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="elsewhere there is no such setting")
def test_freed_memory_is_kept() -> None:
    given_back = fetched("given back")
    assert given_back > ARRAYS  # otherwise there would be nothing to mend
    assert fetched("kept") < given_back / 20
