"""Notebooks to reports: run every notebook on one run, and write their pages and figures."""

from __future__ import annotations

import asyncio
import atexit
import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import CancelledError, ThreadPoolExecutor, as_completed
from pathlib import Path
from secrets import token_hex
from subprocess import DEVNULL
from threading import Event
from typing import Any, Never

import nbformat
from jupyter_client.kernelspec import KernelSpec
from jupyter_client.manager import AsyncKernelManager
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError
from nbformat import NotebookNode
from nbformat.v4 import new_notebook, new_output
from tqdm import tqdm
from traitlets.config import Config

from double_study.counting.record import HANDED_OVER
from double_study.datapackage import LEAVE, TABLES_FOLDER, write_tables
from double_study.errors import DoesNotApply, Failure, InputError
from double_study.report.cite import TITLE, Citation
from double_study.report.lesson_plan import LESSON, write_lessons
from double_study.report.pages import FIGURES_FOLDER, INDEX, Page, text_page
from double_study.report.text_pages import front_page, run_line, text_pages
from double_study.sources import BUILT_NOTEBOOKS, CHECKOUT, PACKAGE
from double_study.tables import TABLE_FILES, Run
from double_study.workers import worker_count

_built = PACKAGE / BUILT_NOTEBOOKS
NOTEBOOKS = _built if _built.is_dir() else CHECKOUT / "notebooks"
"""The notebooks: within a package that was built, else beside it."""

CELL_SECONDS = 600
"""A cell that takes longer is assumed to hang."""


def notebooks_in(folder: Path = NOTEBOOKS) -> list[Path]:
    """Return the notebooks of ``folder`` in reading order; raises :class:`InputError` if there is none."""
    found = sorted(folder.glob("[0-9]*.ipynb"))
    if not found:
        raise InputError(
            f"there are no notebooks in {folder}; allowed: the study as installed, or its repository"
        )
    return found


def publish(
    run: Run,
    notebooks: Sequence[Path],
    folder: Path,
    workers: int | None = None,
    progress: bool = True,
) -> None:
    """Write the whole report of a run into ``folder``: tables, pages, figures, lesson, citation.

    Parameters
    ----------
    run
        The run to report.
    notebooks
        The notebooks to run, in reading order.
    folder
        An empty folder, which the caller puts in place after success.
    workers
        Kernels that run the notebooks; as many as there are processors by default.
    progress
        Whether to show notebooks done on standard error.

    Raises :class:`Failure` with the notebook's name, the cell and the error if a notebook fails.
    """
    (folder / TABLES_FOLDER).mkdir()
    executed = execute(run, notebooks, folder, workers, progress)
    pages = [Page(path.stem, one) for path, one in zip(notebooks, executed, strict=True)]
    for page in pages:
        for cell, output in page.outputs:
            if output.output_type == "stream" and output.name == "stderr":
                said = output.text.strip()
                print(f"notebook {page.name}, cell {cell} warns: {said}", file=sys.stderr)
    write_tables(folder / TABLES_FOLDER, run)
    (folder / FIGURES_FOLDER).mkdir()
    text, files = run_line(run.record), dict[str, bytes | str]()
    for page in pages:
        files |= {page.file: page.html(pages, text), **page.figures}
    tables = folder / TABLES_FOLDER
    left = [file for file in TABLE_FILES if (tables / file.path).exists()]
    for name, (title, said) in text_pages(run, pages, left).items():
        files |= {
            f"{name}.md": f"{said}\n",
            f"{name}.html": text_page(title, said, text, home=INDEX),
        }
    front = front_page(run, pages, tables, write_lessons(run, folder / LESSON))
    shown = {name: content for page in pages for name, content in page.figures.items()}
    files |= Citation(run.record.as_dict()).files
    files |= {"README.md": f"{front}\n", INDEX: text_page(TITLE, front, text, pictures=shown)}
    for name, content in files.items():
        data = content if isinstance(content, bytes) else content.encode()
        (folder / name).write_bytes(data)


def execute(
    run: Run,
    notebooks: Sequence[Path],
    folder: Path,
    workers: int | None = None,
    progress: bool = True,
) -> list[NotebookNode]:
    """Run notebooks, which stay as they are, and return them with their outputs.

    A kernel runs several notebooks, one after another, each in an emptied namespace, because starting
    a kernel and importing the packages takes longer than most notebooks do. Parameters and errors are
    those of :func:`publish`. The kernels' own files are in ``folder`` while they run, so they are
    removed with the unfinished report if the command is killed.
    """
    with tempfile.TemporaryDirectory(prefix="kernels-", dir=folder) as name:
        stage = Path(name)
        run.hand_over(stage / "run.store")
        # Without start-up files, windows for figures and warnings about Jupyter's parts.
        environment = os.environ | {
            HANDED_OVER: str(stage / "run.store"),
            "IPYTHONDIR": str(stage / "ipython"),
            "MPLBACKEND": "agg",
            "PYTHONSTARTUP": "",
            "PYTHONWARNINGS": "",
            "PYDEVD_DISABLE_FILE_VALIDATION": "1",
        }
        if (tables := folder / TABLES_FOLDER).is_dir():
            environment[LEAVE] = str(tables)
        at_once = min(worker_count(workers), len(notebooks))
        bar = tqdm(total=len(notebooks), desc="notebooks", unit="", disable=not progress)
        waiting, stop = iter(enumerate(notebooks)), Event()
        with bar, ThreadPoolExecutor(at_once) as pool:
            tasks = [
                pool.submit(_in_one_kernel, waiting, stage, environment, stop, bar)
                for _ in range(at_once)
            ]
            try:
                executed = dict(pair for task in as_completed(tasks) for pair in task.result())
            finally:
                stop.set()
    return [executed[number] for number in range(len(notebooks))]


def _in_one_kernel(
    waiting: Iterator[tuple[int, Path]],
    folder: Path,
    environment: dict[str, str],
    stop: Event,
    bar: tqdm[Never],
) -> list[tuple[int, NotebookNode]]:
    """Run notebooks in one kernel for as long as any is waiting; ``folder`` is the kernel's own."""
    executed: list[tuple[int, NotebookNode]] = []
    notebook, cell = "", 0

    def begin(cell_index: int, **_: Any) -> None:
        # Another notebook failed, or the user pressed Ctrl-C, so skip the remaining cells.
        if stop.is_set():
            raise CancelledError
        nonlocal cell
        cell = cell_index + 1

    connection = str(folder / f"kernel-{token_hex(4)}.json")
    client = NotebookClient(
        new_notebook(),
        kernel_manager_class=_OwnKernel,
        config=Config({"ConnectionFileMixin": {"connection_file": connection}}),
        timeout=CELL_SECONDS,
        extra_arguments=["--log-level=ERROR"],
        resources={"metadata": {"path": str(folder)}},
        on_cell_start=begin,
    )

    async def run() -> None:
        nonlocal notebook
        async with client.async_setup_kernel(env=environment, stderr=DEVNULL):
            kernel: Any = client.kc  # its type says that it is a blocking client
            for number, path in waiting:
                notebook, client.nb = path.stem, nbformat.read(path, as_version=4)
                await kernel.execute("%reset -f", reply=True, timeout=CELL_SECONDS)
                try:
                    await client.async_execute(cleanup_kc=False)
                except CellExecutionError as error:
                    if error.ename != DoesNotApply.__name__:
                        raise
                    client.nb.cells = client.nb.cells[:cell]
                    said = new_output("display_data", {"text/markdown": error.evalue})
                    client.nb.cells[-1].outputs = [said]
                executed.append((number, client.nb))
                bar.update()

    try:
        # An event loop of its own, closed at the end.
        asyncio.run(run())
    except (CellExecutionError, CellTimeoutError, DeadKernelError) as error:
        raise Failure(f"notebook {notebook}, cell {cell}: {_what(error)}") from None
    except (RuntimeError, TimeoutError, OSError) as error:
        # The kernel is gone already, which the client's own cleanup at exit does not expect.
        atexit.unregister(client._cleanup_kernel)
        raise Failure(f"the notebooks' kernel could not start ({error})") from None
    return executed


class _OwnKernel(AsyncKernelManager):
    """A kernel of the interpreter that runs the command, whatever kernels a user has installed."""

    @property
    def kernel_spec(self) -> KernelSpec:
        return KernelSpec(
            argv=[sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"],
            display_name="Python",
            language="python",
        )


def _what(error: Exception) -> str:
    if isinstance(error, CellExecutionError):
        return " ".join(f"{error.ename}: {error.evalue}".split())
    if isinstance(error, CellTimeoutError):
        return f"took longer than {CELL_SECONDS} seconds"
    return "its kernel died"
