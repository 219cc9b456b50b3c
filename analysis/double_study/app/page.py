"""The local page: explorer, questions, quiz and a form for an agreement of one's own."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from double_study.agreements.reader import of_document
from double_study.app.ask_form import AskForm
from double_study.app.explorer import Explorer
from double_study.app.own_agreement import OwnAgreement
from double_study.app.quiz import Quiz

_HEAD = (
    "<h1 style='margin:0.5rem 0 0'>The responder's double</h1>"
    "<p>Our side opens one of a suit and the next hand overcalls. What does the opener's partner call? "
    "Choose an agreement here and move its settings under “Explore”: the other parts go by it.</p>"
)


class LocalPage:
    """Four parts under one head; ``panel`` is the widget to display.

    The questions and the quiz go by the agreement chosen in the explorer, moved settings included.
    """

    def __init__(self, explorer: Explorer) -> None:
        self.explorer = explorer
        self.ask = AskForm(explorer.now)
        self.quiz = Quiz(explorer.now)
        self.own = OwnAgreement(explorer.offer)
        parts = {
            "Explore": explorer.body,
            "Ask": self.ask.panel,
            "Quiz": self.quiz.panel,
            "Your own agreement": self.own.panel,
        }
        self.parts = widgets.Tab(list(parts.values()), titles=tuple(parts))
        self.panel = widgets.VBox([widgets.HTML(_HEAD), explorer.agreement, self.parts])
        explorer.followers += [self.ask.follow, self.quiz.follow]


def page(name: str, settings: dict[str, Any]) -> widgets.Widget:
    """The page's widget, begun with an agreement as :attr:`Agreement.document` states it."""
    return LocalPage(Explorer(of_document(settings, name, source=name))).panel
