"""What a page says, without a kernel: its notebook run cell by cell, in place.

The exact chances of overcalls are the reference's whatever the agreement, because computing them takes
long; so these numbers, unlike the words, are not those of the page.
"""

import ast
from collections.abc import Callable
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any

import double_study
import IPython.display
import nbformat
import pytest
from double_study import comparing, plots
from double_study.agreements.reader import REFERENCE
from double_study.combinatorics import table
from double_study.errors import DoesNotApply
from double_study.tables import Run
from matplotlib.figure import Figure
from pandas.io.formats.style import Styler

FEW_DEALS = 20_000
"""What a page deals for itself, at most."""
FEW_STEPS = 4
"""Of the settings that a page moves by a step, one in this many is moved."""


def page_text(notebook: Path, run: Run, shown: Callable[[Figure, str], None] | None = None) -> str:
    """Return text, tables and words for pictures, in the order of the page; what it prints comes last.

    ``shown`` is called with every figure and its words.
    """
    found: list[str] = []
    all_steps = comparing.steps

    def show(figure: Figure, alt: str) -> None:
        found.append(alt)
        if shown:
            shown(figure, alt)

    def display(*results: Any, **_: Any) -> None:
        found.extend(map(_text, results))

    with pytest.MonkeyPatch.context() as patch, redirect_stdout(StringIO()) as printed:
        patch.setattr(double_study, "run", lambda **_: run)
        patch.setattr(plots, "show", show)
        patch.setattr(IPython.display, "display", display)
        patch.setattr(IPython.display.DisplayHandle, "display", lambda _, *s, **m: display(*s))
        for name in ("compare", "sweep"):
            _fewer(patch, comparing, name)
        patch.setattr(comparing, "steps", lambda agreement: all_steps(agreement)[::FEW_STEPS])
        patch.setattr(table, "up_to_overcall", lambda _: REFERENCE)
        names: dict[str, Any] = {}
        try:
            for cell in nbformat.read(notebook, as_version=4).cells:
                if cell.cell_type == "markdown":
                    found.append(cell.source)
                else:
                    result = _run(cell.source, notebook.name, names)
                    if result is not None:
                        display(result)
        except DoesNotApply as end:
            found.append(str(end))
    return "\n\n".join([*found, printed.getvalue()])


def _run(source: str, name: str, names: dict[str, Any]) -> Any:
    """Run a cell of the study's own and return the value of its last line, as Jupyter shows it."""
    tree, names["_"] = ast.parse(source), None
    if tree.body and isinstance(last := tree.body[-1], ast.Expr):
        tree.body[-1] = ast.Assign([ast.Name("_", ast.Store())], last.value)
    exec(compile(ast.fix_missing_locations(tree), name, "exec"), names)  # noqa: S102
    return names["_"]


def _text(shown: Any) -> str:
    """Return the words of what is displayed: a table as Markdown, or those given beside a picture."""
    if isinstance(shown, Styler):
        return _markdown(shown)
    return shown["text/plain"] if isinstance(shown, dict) else str(getattr(shown, "data", ""))


def _markdown(table: Any) -> str:
    frame = table.data.astype(str)
    if frame.empty:
        return str(table.caption)
    rows = [list(map(str, frame.columns)), ["---"] * len(frame.columns), *frame.to_numpy().tolist()]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)


def _fewer(patch: pytest.MonkeyPatch, module: Any, name: str) -> None:
    whole, few = getattr(module, name), {"deals": FEW_DEALS}
    patch.setattr(module, name, lambda *given, **named: whole(*given, **named | few))
