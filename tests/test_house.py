"""The house stands as drawn: imports run downwards only, and modules stay short."""

import ast
from functools import cache
from pathlib import Path

import pytest

import analysis

ROOT = Path(analysis.__file__).parent
LONGEST = 300
"""Lines: about 250 is meant, and nothing beyond this."""

# From the ground up. A folder stands for all that is in it. Within a storey a module may import
# another as long as no circle comes of it.
STOREYS: dict[str, tuple[str, ...]] = {
    "cards": (
        "__init__ errors cards notation hands classes dealing settings agreement output "
        "estimates against_exact"
    ).split(),
    "bidding": "bidding agreement_text asked".split(),
    "counting": (
        "tally dealt counts blocks study store keeping locking workers cluster precision "
        "run_record run exact compare sweep explored conditional odds answer_text pitfalls "
        "examples twin_family twin_dealt twin_bid twins"
    ).split(),
    "telling": (
        "tables sentences figures claims cite explorer quiz course board pbn lesson lesson_case "
        "lesson_check lesson_deals lesson_text"
    ).split(),
    "publishing": "typeset pages front_page publish handout".split(),
    "commands": "commands __main__".split(),
}
NOTEBOOK_SIDE = {"IPython", "ipywidgets", "matplotlib", "seaborn", "nbclient", "nbconvert"}


def modules() -> dict[str, Path]:
    """Every module by its dotted name within the package."""
    paths = {path.relative_to(ROOT).with_suffix(""): path for path in ROOT.rglob("*.py")}
    return {".".join(name.parts).removesuffix(".__init__"): path for name, path in paths.items()}


MODULES = modules()


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


def storey(module: str) -> int:
    """The storey of a module, counted from the ground."""
    top = module.partition(".")[0]
    places = [number for number, names in enumerate(STOREYS.values()) if top in names]
    assert len(places) == 1, f"analysis/{top}: give it one storey in tests/test_house.py"
    return places[0]


@pytest.mark.parametrize("module", MODULES)
def test_imports_run_downwards_only(module: str) -> None:
    names = list(STOREYS)
    above = {name: names[storey(name)] for name in ours(module) if storey(name) > storey(module)}
    assert not above, f"{module} ({names[storey(module)]}) imports from above: {above}"


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


@pytest.mark.parametrize("module", MODULES)
def test_counting_knows_nothing_of_notebooks_and_pictures(module: str) -> None:
    libraries = {name.partition(".")[0] for name in imported(module)}
    if storey(module) < list(STOREYS).index("telling"):
        assert not libraries & NOTEBOOK_SIDE


@pytest.mark.parametrize("module", MODULES)
def test_modules_stay_short(module: str) -> None:
    assert len(MODULES[module].read_text(encoding="utf-8").splitlines()) <= LONGEST


def test_every_name_of_a_storey_is_there() -> None:
    tops = {module.partition(".")[0] for module in MODULES}
    assert {name for names in STOREYS.values() for name in names} == tops
