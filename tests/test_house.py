"""The layout is as drawn in DEVELOPERS.md: imports run downwards only."""

import ast
from pathlib import Path

import double_study

ROOT = Path(double_study.__file__).parent
# From the ground up. Names in one row do not import each other.
LAYERS = """
errors numbers_in_words escape
columns conditions sources
files plots table_format workers stats
cards
agreements
rules
combinatorics
counting
checking comparing asking lessons how_often own_agreement
tabulation
tables
datapackage tables_compared
api
report
app
cli
"""
LAYER = {name: number for number, row in enumerate(LAYERS.split("\n")) for name in row.split()}
MODULES = [p for p in ROOT.rglob("*.py") if p.parent != ROOT or p.stem in LAYER]


def imported(path: Path) -> set[str]:
    """Return the folders and modules directly under the package that a module imports."""
    nodes = [n for n in ast.walk(ast.parse(path.read_text())) if isinstance(n, ast.ImportFrom)]
    full = {f"{node.module}.{alias.name}" for node in nodes for alias in node.names}
    return {name.split(".")[1] for name in full if name.startswith("double_study.")}


def test_imports_run_downwards() -> None:
    for path in MODULES:
        own = path.relative_to(ROOT).with_suffix("").parts[0]
        wrong = {name for name in imported(path) - {own} if LAYER[name] >= LAYER[own]}
        assert not wrong, f"{path.relative_to(ROOT)} imports {wrong}, which is not below it"
