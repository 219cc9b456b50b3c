"""Memory that arrays free is reused, in a process that is set to return it at once."""

import os
import platform
import subprocess
import sys

ARRAYS = 40
TOUCHED = f"""
import resource, sys
import numpy as np
from double_study.workers import keep_freed_memory

if sys.argv[1] == "reused":
    keep_freed_memory()
np.ones(1_000_000)
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
for _ in range({ARRAYS}):
    np.ones(1_000_000)
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""


def fetched(how: str) -> int:
    """Return the pages that a process fetches for its arrays, with the environment of a Dask worker."""
    environment = os.environ | {"MALLOC_TRIM_THRESHOLD_": "65536"}
    command = [sys.executable, "-c", TOUCHED, how]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)  # noqa: S603
    return int(done.stdout)


def test_freed_memory_is_reused() -> None:
    """Elsewhere than with glibc there is no such setting, and the call leaves memory as it is."""
    returned, reused = fetched("returned"), fetched("reused")
    if platform.libc_ver()[0] == "glibc":
        assert returned > ARRAYS  # otherwise there would be nothing to mend
        assert reused < returned / 20
