"""The house stands as drawn: imports run downwards only, and modules stay short."""

import ast
from functools import cache
from pathlib import Path

import pytest

import analysis

ROOT = Path(analysis.__file__).parent
LONGEST = 300
"""Lines: about 250 is meant, and nothing beyond this."""

# From the ground up. Folders on one storey stand side by side and know nothing of each other.
STOREYS: tuple[tuple[str, ...], ...] = (
    ("errors",),
    ("vocabulary",),
    ("runtime", "statistics"),
    ("cards",),
    ("agreements",),
    ("bidding",),
    ("counting", "exact"),
    ("checking", "comparing", "asking", "lessons"),
    ("telling.tables",),
    ("telling.sentences",),
    ("telling.figures",),
    ("interactive",),
    ("publishing",),
    ("commands",),
    ("__main__",),
)
TELLING = 8
NOTEBOOK_SIDE = {"IPython", "ipywidgets", "matplotlib", "seaborn", "nbclient", "nbconvert"}


def modules() -> dict[str, Path]:
    """Every module by its dotted name within the package."""
    paths = {path.relative_to(ROOT).with_suffix(""): path for path in ROOT.rglob("*.py")}
    return {".".join(name.parts).removesuffix(".__init__"): path for name, path in paths.items()}


MODULES = modules()
FACES = {"__init__", "telling"}
"""Folders of folders: nothing is in them but what they are for."""


@cache
def imported(module: str) -> frozenset[str]:
    """Full dotted names of what a module imports, ours and others'."""
    found = set()
    for node in ast.walk(ast.parse(MODULES[module].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: imports are written in full"
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return frozenset(found)


def ours(module: str) -> set[str]:
    """The modules of the package that a module imports."""
    inside = {name.removeprefix("analysis.") for name in imported(module) if "analysis." in name}
    return {name if name in MODULES else name.rpartition(".")[0] for name in inside} - {""}


def room(module: str) -> str:
    """The folder of the drawing that a module is in."""
    rooms = [name for names in STOREYS for name in names if f"{module}.".startswith(f"{name}.")]
    assert len(rooms) == 1, f"analysis/{module}: give it one storey in tests/test_house.py"
    return rooms[0]


def storey(module: str) -> int:
    """The storey of a module, counted from the ground."""
    return next(number for number, names in enumerate(STOREYS) if room(module) in names)


@pytest.mark.parametrize("module", sorted(set(MODULES) - FACES))
def test_imports_run_downwards_only(module: str) -> None:
    wrong = {
        name
        for name in ours(module)
        if room(name) != room(module) and storey(name) >= storey(module)
    }
    assert not wrong, f"{module} imports what is not below it: {wrong}"


def test_no_module_imports_itself_by_way_of_others() -> None:
    done: set[str] = set()

    def visit(module: str, way: tuple[str, ...]) -> None:
        assert module not in way, " -> ".join((*way, module))
        if module not in done:
            for name in ours(module):
                visit(name, (*way, module))
            done.add(module)

    for module in MODULES:
        visit(module, ())
    assert done == set(MODULES)


@pytest.mark.parametrize("module", sorted(set(MODULES) - FACES))
def test_counting_knows_nothing_of_notebooks_and_pictures(module: str) -> None:
    libraries = {name.partition(".")[0] for name in imported(module)}
    if storey(module) < TELLING:
        assert not libraries & NOTEBOOK_SIDE


@pytest.mark.parametrize("module", MODULES)
def test_modules_stay_short(module: str) -> None:
    assert len(MODULES[module].read_text(encoding="utf-8").splitlines()) <= LONGEST


def test_every_name_of_a_storey_is_there() -> None:
    assert {room(module) for module in set(MODULES) - FACES} == {r for s in STOREYS for r in s}
