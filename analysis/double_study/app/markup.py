"""A figure, and lines of text, as HTML for a widget."""

from __future__ import annotations

import base64
from collections.abc import Iterable

from matplotlib.figure import Figure

from double_study.escape import html as escape
from double_study.plots import picture


def svg(figure: Figure, alt: str) -> str:
    """An image with alternative text, in HTML, that loads nothing."""
    image = base64.b64encode(picture(figure, "svg")).decode()
    return f'<img alt="{escape(alt)}" src="data:image/svg+xml;base64,{image}">'


def text_lines(lines: Iterable[str]) -> str:
    """Lines as they are, their columns aligned."""
    style = "white-space: pre-wrap; font-family: monospace; line-height: 1.4"
    return f"<pre style='{style}'>{escape(chr(10).join(lines))}</pre>"
