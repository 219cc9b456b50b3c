"""Notebooks as they are kept: they ask and the package answers, and none holds what a run left."""

import ast
from pathlib import Path
from typing import Any

import nbformat
import pytest
from double_study.report.publish import NOTEBOOKS

PATHS = sorted(NOTEBOOKS.glob("*.ipynb"))
CELL_LINES = 15
DEFINES = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Lambda)
# SciPy as the reference that a number of the package is compared with before the reader's eyes.
MAY_IMPORT = {"double_study", "IPython", "scipy"}

pytestmark = pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)


def read(path: Path) -> Any:
    return nbformat.read(path, as_version=4)


def code_cells(path: Path) -> list[Any]:
    return [cell for cell in read(path).cells if cell.cell_type == "code"]


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


def test_a_notebook_defines_nothing_and_its_cells_are_short(path: Path) -> None:
    for cell in code_cells(path):
        tree = ast.parse(cell.source)
        assert not [node for node in ast.walk(tree) if isinstance(node, DEFINES)]
        assert len(cell.source.splitlines()) <= CELL_LINES


def test_a_notebook_imports_the_package_and_the_display(path: Path) -> None:
    names = set()
    for cell in code_cells(path):
        for node in ast.walk(ast.parse(cell.source)):
            if isinstance(node, ast.Import):
                names |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                names.add((node.module or "").partition(".")[0])
    assert "double_study" in names
    assert names <= MAY_IMPORT


def test_a_name_keeps_its_meaning(path: Path) -> None:
    bound = [
        target.id
        for cell in code_cells(path)
        for node in ast.walk(ast.parse(cell.source))
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    ]
    assert len(bound) == len(set(bound))


def test_the_text_needs_no_typesetter(path: Path) -> None:
    # The pages load nothing, so a formula would be shown as it was typed.
    for cell in read(path).cells:
        if cell.cell_type == "markdown":
            assert "$$" not in cell.source
            assert "\\(" not in cell.source
            assert "\\[" not in cell.source
