"""A figure as the text of a widget."""

from __future__ import annotations

import base64
from html import escape

from matplotlib.figure import Figure

from analysis.telling.figures.style import picture


def svg(figure: Figure, alt: str) -> str:
    """An image with alternative text, in HTML, that loads nothing."""
    image = base64.b64encode(picture(figure, "svg")).decode()
    return f'<img alt="{escape(alt)}" src="data:image/svg+xml;base64,{image}">'
