"""A form for an agreement of one's own: the questions of :mod:`double_study.agreements.questions`."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from double_study.agreements.questions import QUESTIONS, agreement_of
from double_study.agreements.reader import Agreement, short_file
from double_study.errors import InputError
from double_study.escape import html as escape

_NAME = "mine"
_WIDE = widgets.Layout(width="24em")


class OwnAgreement:
    """A field for each question; ``panel`` is the widget to display.

    ``play`` is given the agreement that the answers make.
    """

    def __init__(self, play: Callable[[Agreement], None]) -> None:
        self._play = play
        self.answers = {
            asked.name: widgets.Text(placeholder=f"{asked.reference} (the reference)", layout=_WIDE)
            for asked in QUESTIONS
        }
        self.button = widgets.Button(description="play by it", button_style="primary")
        self.button.on_click(lambda _: self.make())
        self.result = widgets.HTML()
        rows = [
            widgets.VBox(
                [
                    widgets.HTML(f"<b>{escape(asked.text)}</b> {escape(asked.allowed)}"),
                    self.answers[asked.name],
                ]
            )
            for asked in QUESTIONS
        ]
        self.panel = widgets.VBox([*rows, self.button, self.result])

    def make(self) -> None:
        """Play by the answers, and show them as a file; or say which cannot be used."""
        try:
            agreement = agreement_of(
                {name: field.value for name, field in self.answers.items()}, _NAME
            )
        except InputError as error:
            self.result.value = f"<b>{escape(str(error))}</b>"
            return
        self._play(agreement)
        self.result.value = (
            f"Played from now on. To keep it, put these lines into a file {_NAME}.toml and begin with "
            f"--agreement {_NAME}.toml.<pre>{escape(chr(10).join(short_file(agreement)))}</pre>"
        )
