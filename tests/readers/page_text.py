"""What a page says, without a kernel and without drawing: its notebook run cell by cell, in place.

The exact chances of overcalls are the reference's whatever the agreement, for to work them out takes
long; so these numbers, unlike the words, are not those of the page.
"""

from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any

import IPython.display
import nbformat
import pytest
from double_study import comparing as agreements
from double_study import comparing as settings_moved
from double_study.agreements.reader import REFERENCE
from double_study.combinatorics import table
from double_study.combinatorics import table as opener_majors
from double_study.counting import run as counted
from double_study.tables import Run
from double_study.telling.figures import style

FEW_DEALS = 20_000
"""What a page deals for itself, at most."""


def page_text(notebook: Path, run: Run) -> str:
    """Text, tables and words for pictures, in the order of the page; what it prints comes last."""
    found: list[str] = []

    def display(*shown: Any, **_: Any) -> None:
        found.extend(map(_text, shown))

    with pytest.MonkeyPatch.context() as patch, redirect_stdout(StringIO()) as printed:
        patch.setattr(counted, "open_run", lambda: run)
        patch.setattr(style, "show", lambda figure, alt: found.append(alt))
        patch.setattr(IPython.display, "display", display)
        patch.setattr(IPython.display.DisplayHandle, "display", lambda _, *s, **m: display(*s))
        for module, name in ((agreements, "compare"), (settings_moved, "sweep")):
            _fewer(patch, module, name)
        for module in (table, opener_majors):
            patch.setattr(module, "up_to_overcall", lambda _: REFERENCE)
        names: dict[str, Any] = {}
        for cell in nbformat.read(notebook, as_version=4).cells:
            if cell.cell_type == "markdown":
                found.append(cell.source)
            else:
                exec(compile(cell.source, notebook.name, "exec"), names)  # noqa: S102
    return "\n\n".join([*found, printed.getvalue()])


def _text(shown: Any) -> str:
    """The words of what is displayed: Markdown's own, or those given beside a picture."""
    return shown["text/plain"] if isinstance(shown, dict) else str(getattr(shown, "data", ""))


def _fewer(patch: pytest.MonkeyPatch, module: Any, name: str) -> None:
    whole = getattr(module, name)
    patch.setattr(
        module, name, lambda *given, **named: whole(*given, **named | {"deals": FEW_DEALS})
    )
