"""The question form: a hand and an auction typed in, and the answer as ``double-study ask`` gives it."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from double_study.agreements.reader import REFERENCE, Agreement, in_words
from double_study.app.markup import svg, text_lines
from double_study.asking.answer import Answer, full, short
from double_study.asking.figures import opener_lengths, opener_lengths_alt
from double_study.errors import InputError
from double_study.escape import html as escape

_FIRST_HAND, _FIRST_AUCTION = "K752.AJ64.83.T92", "1D 1S"


class AskForm:
    """Two fields and a button; ``panel`` is the widget to display.

    ``agreement`` says which agreement is asked.
    """

    def __init__(self, agreement: Callable[[], Agreement] = lambda: REFERENCE) -> None:
        self._agreement = agreement
        self.hand = widgets.Text(value=_FIRST_HAND, description="your hand")
        self.auction = widgets.Text(value=_FIRST_AUCTION, description="bidding")
        self.ask = widgets.Button(description="ask", button_style="primary")
        self.all = widgets.Checkbox(description="with rules and tables", indent=False)
        self.by, self.answer, self.figure = (widgets.HTML() for _ in range(3))
        self.ask.on_click(lambda _: self.show())
        for field in (self.hand, self.auction):
            field.continuous_update = False
        for field in (self.hand, self.auction, self.all):
            field.observe(lambda _: self.show(), names="value")
        self.panel = widgets.VBox(
            [
                widgets.HBox([self.hand, self.auction, self.ask]),
                self.all,
                self.by,
                self.answer,
                self.figure,
            ]
        )
        self._asked_of: Agreement | None = None

    def follow(self) -> None:
        """Answer again if the agreement is another by now and something was asked."""
        if self._asked_of is not None and self._asked_of != self._agreement():
            self.show()

    def show(self) -> None:
        """Answer what the fields hold, or say why it cannot be answered."""
        self._asked_of = self._agreement()
        self.by.value = escape(f"By {in_words(self._asked_of)}.")
        try:
            answer = Answer.to(self.hand.value, self.auction.value, self._asked_of)
            parts = full(answer) if self.all.value else short(answer)
        except InputError as error:
            self.answer.value, self.figure.value = f"<b>{escape(str(error))}</b>", ""
            return
        self.answer.value = text_lines(parts)
        chances = answer.chances
        self.figure.value = svg(opener_lengths(chances), opener_lengths_alt(chances))
