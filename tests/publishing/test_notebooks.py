"""Notebooks as they are saved: cells that a reader can follow, and nothing that a run left."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import pytest
from double_study.report.publish import NOTEBOOKS

PATHS = sorted(NOTEBOOKS.glob("*.ipynb"))
CELL_LINES = 15
MAY_IMPORT = {
    *("dataclasses", "double_study", "IPython", "matplotlib", "numpy", "pandas", "scipy", "seaborn")
}

pytestmark = pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)


def read(path: Path) -> Any:
    return nbformat.read(path, as_version=4)


def cells(path: Path, kind: str) -> list[str]:
    return [cell.source for cell in read(path).cells if cell.cell_type == kind]


def nodes(path: Path) -> Iterator[ast.AST]:
    """Yield everything that the code of a notebook is made of."""
    for source in cells(path, "code"):
        yield from ast.walk(ast.parse(source))


def test_a_notebook_is_valid_and_numbered(path: Path) -> None:
    nbformat.validate(read(path))
    assert path.stem[:2].isdigit()
    assert path.stem[2] == "_"


def test_a_notebook_holds_nothing_that_a_run_left(path: Path) -> None:
    notebook = read(path)
    assert set(notebook.metadata) <= {"kernelspec", "language_info"}
    assert notebook.metadata.kernelspec.name == "python3"
    for cell in notebook.cells:
        assert not cell.metadata
        assert not cell.get("outputs")
        assert cell.get("execution_count") is None


def test_its_cells_are_short(path: Path) -> None:
    assert all(len(source.splitlines()) <= CELL_LINES for source in cells(path, "code"))


def test_a_notebook_imports_the_package_and_general_libraries(path: Path) -> None:
    names = set()
    for node in nodes(path):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").partition(".")[0])
    assert "double_study" in names
    assert names <= MAY_IMPORT


def test_a_name_keeps_its_meaning(path: Path) -> None:
    targets = [t for node in nodes(path) if isinstance(node, ast.Assign) for t in node.targets]
    # Figures are each shown at once.
    bound = [t.id for t in targets if isinstance(t, ast.Name) and t.id != "fig"]
    assert len(bound) == len(set(bound))


def test_the_text_needs_no_typesetter(path: Path) -> None:
    # The pages load nothing, so a formula would be shown as it was typed.
    for source in cells(path, "markdown"):
        assert not re.search(r"\$\$|\\\(|\\\[", source)
