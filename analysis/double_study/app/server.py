"""The local page served: Voilà shows one notebook to this machine's browser, and to nobody else's.

The notebook has one cell, which displays :func:`double_study.app.page.page`. Voilà hands to its
kernel what widgets say and nothing to be run; without the key it hands on nothing. Whatever Voilà, the
kernel and Jupyter write goes into a temporary folder, which is gone when the page ends.
"""

from __future__ import annotations

import json
import os
import secrets
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory

import nbformat

from double_study.agreements.reader import Agreement
from double_study.errors import Failure, InputError
from double_study.report import pages as kernels

LOOPBACK = "127.0.0.1"
_TEMPLATE = "study"
_SHOWN_SECONDS = 60
"""Seconds after which a server that does not answer is given up."""
_ENDS_SECONDS = 10
"""Seconds that a server has to end its kernel."""
_LOOKS_SECONDS = 0.05


@contextmanager
def served(
    agreement: Agreement, port: int | None = None
) -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """The page for as long as the block runs: its address, with the key to it, and its process.

    Raises :class:`InputError` where something else is served at ``port`` and :class:`Failure` where
    Voilà is not installed or does not begin.
    """
    if find_spec("voila") is None:
        raise Failure(
            "the page needs Voilà, which is not installed: python -m pip install -e '.[web]' in the "
            "study's folder installs it"
        )
    with TemporaryDirectory(prefix="double-study-") as name:
        folder = Path(name)
        port = _free_port(port)
        key = secrets.token_hex(16)
        _write(folder, agreement, port, key)
        with (folder / "log").open("wb") as log:
            process = subprocess.Popen(  # noqa: S603
                [sys.executable, "-m", "voila", str(folder / "page.ipynb")],
                cwd=folder,  # where modules and settings are looked for first, which are none of the user's
                env=_environment(folder),
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,  # Ctrl-C ends this program, which then ends the server
            )
        try:
            _wait(process, port, folder / "log")
            yield f"http://{LOOPBACK}:{port}/?token={key}", process
        finally:
            process.terminate()
            try:
                process.wait(_ENDS_SECONDS)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def _write(folder: Path, agreement: Agreement, port: int, key: str) -> None:
    """The notebook, the settings of the server and the kernel that it starts."""
    cell = nbformat.v4.new_code_cell(
        f"from double_study.app.page import page\npage({agreement.name!r}, {agreement.document!r})"
    )
    notebook = nbformat.v4.new_notebook(
        cells=[cell], metadata={"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    )
    nbformat.write(notebook, folder / "page.ipynb")
    settings = {
        "Voila": {
            "ip": LOOPBACK,
            "port": port,
            "port_retries": 0,
            "token": key,
            "open_browser": False,
            # A name of another's that is made to lead here gets nothing, key or no key.
            "tornado_settings": {"allow_remote_access": False},
            "connection_dir_root": str(folder),
        },
        # The address names no file and no other template.
        "VoilaConfiguration": {
            "template": _TEMPLATE,
            "allow_template_override": "NO",
            "allow_theme_override": "NO",
            "file_allowlist": [],
        },
    }
    (folder / "voila.json").write_text(json.dumps(settings), encoding="utf-8")
    kernel = folder / "kernels" / "python3"
    kernel.mkdir(parents=True)
    started = {"argv": kernels.launch(), "display_name": "Python 3", "language": "python"}
    (kernel / "kernel.json").write_text(json.dumps(started), encoding="utf-8")


def _environment(folder: Path) -> dict[str, str]:
    """Neither the user's Jupyter and IPython files have a part in the page, nor are any written."""
    return kernels.environment(folder) | {
        "JUPYTER_PATH": os.pathsep.join([str(folder), str(Path(__file__).parent)]),
        "JUPYTER_CONFIG_DIR": str(folder),
        "JUPYTER_NO_CONFIG": "1",  # in any other folder
        "JUPYTER_DATA_DIR": str(folder),
        "JUPYTER_RUNTIME_DIR": str(folder),
        "TMPDIR": str(folder),
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
    }


def _free_port(port: int | None) -> int:
    """``port``, or any that is free: whoever serves at another would be shown, and told the key."""
    try:
        with socket.create_server((LOOPBACK, port or 0)) as found:
            return int(found.getsockname()[1])
    except OSError as error:
        raise InputError(
            f"--port {port}: {error.strerror}; allowed: one at which nothing is served"
        ) from None


def _wait(process: subprocess.Popen[bytes], port: int, log: Path) -> None:
    """Return when the server answers; raises :class:`Failure` where it ends or never does."""
    until = time.monotonic() + _SHOWN_SECONDS
    while process.poll() is None and time.monotonic() < until:
        with socket.socket() as asked:
            if asked.connect_ex((LOOPBACK, port)) == 0:
                return
        time.sleep(_LOOKS_SECONDS)
    text = log.read_text(encoding="utf-8", errors="replace").split("\n")
    last = next((line.strip() for line in reversed(text) if line.strip()), "it said nothing")
    raise Failure(f"the page could not be served: {last}")
