"""The quiz as widgets: a hand and an auction, a call, and what the rules say to it."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from double_study.agreements.reader import REFERENCE, Agreement, in_words
from double_study.app import quiz_questions
from double_study.app.markup import text_lines
from double_study.cards.bids import PASS, call_symbol
from double_study.cards.notation import hand_symbols
from double_study.escape import html as escape


class Quiz:
    """The quiz; ``panel`` is the widget to display.

    Parameters
    ----------
    agreement
        Says which agreement the next question is to follow.
    seed
        Of the questions; without it each quiz has questions of its own.
    """

    def __init__(
        self, agreement: Callable[[], Agreement] = lambda: REFERENCE, seed: int | None = None
    ) -> None:
        self._agreement = agreement
        self.scope = widgets.Dropdown(
            options=quiz_questions.SCOPES,
            description="ask about",
            layout=widgets.Layout(width="28em"),
        )
        self.seed = widgets.BoundedIntText(
            value=quiz_questions.new_seed() if seed is None else seed,
            min=0,
            max=quiz_questions.MAX_SEED,
            description="seed",
        )
        self.judged_by, self.head, self.explanation, self.score = (widgets.HTML() for _ in range(4))
        self.call = widgets.Dropdown(description="your call")
        self.answer = widgets.Button(description="answer", button_style="primary")
        self.another = widgets.Button(description="another hand")
        self.answer.on_click(lambda _: self.explain())
        self.another.on_click(lambda _: self.ask(self.number + 1))
        for control in (self.scope, self.seed):
            control.observe(lambda _: self.begin(), names="value")
        self.panel = widgets.VBox(
            [
                widgets.HBox([self.scope, self.seed]),
                self.judged_by,
                self.head,
                widgets.HBox([self.call, self.answer, self.another]),
                self.explanation,
                self.score,
            ]
        )
        self.begin()

    def begin(self) -> None:
        """Put the first question, with nothing answered yet."""
        self._score = quiz_questions.Score()
        self.score.value = ""
        self.ask(0)

    def ask(self, number: int) -> None:
        """Put question ``number``."""
        self.number = number
        agreement = self._agreement()
        self.asked = quiz_questions.question(number, agreement, self.seed.value, self.scope.value)
        self.judged_by.value = escape(f"Judged by {in_words(agreement)}.")
        self.head.value = (
            f"<p style='font-size:1.3em'>You hold {escape(hand_symbols(self.asked.cards))}<br>"
            f"The bidding: {escape(self.asked.auction.symbols)}</p>"
        )
        self.call.options = [
            (call_symbol(call), call) for call in quiz_questions.choices(self.asked)
        ]
        self.call.value = PASS
        self.explanation.value = ""
        self.answer.disabled = False

    def follow(self) -> None:
        """Put the question again if the agreement is another by now; an answered one stays."""
        if not self.answer.disabled and self._agreement() != self.asked.agreement:
            self.ask(self.number)

    def explain(self) -> None:
        """Judge the call chosen, once."""
        judged = quiz_questions.verdict(self.asked, self.call.value)
        self._score.add(judged.right)
        self.answer.disabled = True
        self.explanation.value = text_lines(judged.lines)
        self.score.value = escape(f"Your score: {self._score}.")
