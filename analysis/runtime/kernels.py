"""Kernels of the interpreter that runs the command: nothing of the user's own has a part in them."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def launch() -> list[str]:
    """What starts such a kernel, in the words of a kernel's description."""
    return [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]


def environment(folder: Path) -> dict[str, str]:
    """The variables that such a kernel is started with; IPython writes into ``folder``.

    Neither start-up files nor a window to draw in, and no warnings about Jupyter's parts.
    """
    return os.environ | {
        "IPYTHONDIR": str(folder / "ipython"),
        "MPLBACKEND": "agg",
        "PYTHONSTARTUP": "",
        "PYTHONWARNINGS": "",
        "PYDEVD_DISABLE_FILE_VALIDATION": "1",
    }
