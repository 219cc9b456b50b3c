"""A quiz: a hand and an auction are dealt, the reader calls, and the rules explain.

Each question first draws one of the rules that some hand of a block of deals came under, then one
of those hands, so that rare calls are asked about as often as common ones.
"""

from __future__ import annotations

from collections.abc import Callable
from html import escape

import ipywidgets as widgets
import numpy as np

from analysis.agreements.agreement import REFERENCE, Agreement
from analysis.asking.answer_text import call_symbol, lesson, why
from analysis.asking.odds import odds
from analysis.asking.question import Question, reply
from analysis.bidding.after_overcall import PAIRS
from analysis.bidding.auction import Auctions
from analysis.bidding.response import ABOVE_CEILING
from analysis.cards.bids import DOUBLE, PASS, Bid
from analysis.cards.dealing import deal_block
from analysis.cards.notation import Auction, hand_symbols
from analysis.counting.sampling import DEFAULT_SEED

_HIGHEST = Bid.parse("5H")
"""The highest call that the rules make: a raise of hearts after 4♠."""


def question(number: int, agreement: Agreement = REFERENCE, seed: int = DEFAULT_SEED) -> Question:
    """Question ``number`` (0, 1, ...) under an agreement; a pure function of its arguments."""
    cards = deal_block(seed, number)
    responses = Auctions(cards, agreement).responses
    rule, place = np.random.SeedSequence(seed, spawn_key=(number,)).generate_state(2).tolist()
    rules = np.unique(responses.call[responses.call != ABOVE_CEILING])
    rows = np.flatnonzero(responses.call == rules[rule % len(rules)])
    row = rows[place % len(rows)]
    seat, (opening, overcall) = int(responses.seat[row]), PAIRS[responses.pair[row]]
    hand = int(cards[(seat + 1) % 4, responses.rows[row]])
    return Question(hand, Auction(seat - 1, opening, overcall), agreement)


def choices(asked: Question) -> list[tuple[str, str]]:
    """The calls to choose from, as readers see them and as a ``Reply`` has them."""
    higher = range(asked.auction.overcall.code + 1, _HIGHEST.code + 1)
    calls = [PASS, DOUBLE, *(str(Bid.from_code(code)) for code in higher)]
    return [(call_symbol(call), call) for call in calls]


def verdict(asked: Question, call: str) -> list[str]:
    """Whether ``call`` is the agreement's, why that call is, and what partner may hold; in lines."""
    answer = reply(asked)
    right = call == answer.call
    head = "Right." if right else f"Not {call_symbol(call)} by this agreement."
    return [head, *why(answer), lesson(odds(asked))]


class Quiz:
    """The quiz as widgets; ``panel`` is the one to display.

    ``agreement`` says which agreement the next question is to follow.
    """

    def __init__(
        self, agreement: Callable[[], Agreement] = lambda: REFERENCE, seed: int = DEFAULT_SEED
    ) -> None:
        self._agreement, self._seed = agreement, seed
        self.number = 0
        self.asked = question(0, agreement(), seed)
        self.head, self.explanation = widgets.HTML(), widgets.HTML()
        self.call = widgets.Dropdown(description="your call")
        self.answer = widgets.Button(description="answer")
        self.another = widgets.Button(description="another hand")
        self.answer.on_click(lambda _: self.explain())
        self.another.on_click(lambda _: self.ask(self.number + 1))
        buttons = widgets.HBox([self.call, self.answer, self.another])
        self.panel = widgets.VBox([self.head, buttons, self.explanation])
        self._put()

    def ask(self, number: int) -> None:
        """Put question ``number``."""
        self.number = number
        self.asked = question(number, self._agreement(), self._seed)
        self._put()

    def _put(self) -> None:
        self.head.value = escape(
            f"You hold {hand_symbols(self.asked.cards)}; the bidding: {self.asked.auction.symbols}; "
            f"agreement: {self.asked.agreement.name}"
        )
        self.call.options = choices(self.asked)
        self.call.value = PASS
        self.explanation.value = ""

    def explain(self) -> None:
        """Judge the call chosen."""
        self.explanation.value = "<br>".join(map(escape, verdict(self.asked, self.call.value)))
