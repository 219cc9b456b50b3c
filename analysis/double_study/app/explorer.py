"""The explorer: controls over the stored hands; the figures follow every move of a control.

A callback reads the controls, counts the stored hands again by the rules as now set, and shows a
sentence, a figure and a table. Nothing is dealt until an agreement with other openings or overcalls
is chosen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import ipywidgets as widgets
import numpy as np
import pandas as pd
from IPython.display import DisplayHandle, Markdown
from matplotlib.figure import Figure
from numpy.typing import NDArray

from double_study.agreements.reader import REFERENCE, SHIPPED, Agreement, in_words, load
from double_study.app.at_work import possible_calls, settings_at_work
from double_study.app.figures import call_shares, call_shares_alt, double_sentence
from double_study.app.markup import svg
from double_study.cards.bids import SUIT_SYMBOLS, SUITS, Bid
from double_study.cards.hands import SUIT_CARDS
from double_study.columns import COLUMNS
from double_study.counting import responder_hands as explored
from double_study.counting.sampling import DEFAULT_SEED
from double_study.errors import InputError
from double_study.escape import html, markdown
from double_study.plots import show_for_now, show_instead
from double_study.rules.terms import SEQUENCES
from double_study.tables import READING_DEALS

_SECTION = "response"
_NO_CALL = ("response.strong", "response.raise_game")
"""Thresholds of the section that move no call: one names a reason, one the level of a raise."""
_MOST_POINTS = 25
_LONGEST_LABEL = max(
    len(entry.metadata["meaning"]) for *_, entry, _ in REFERENCE.settings(_SECTION)
)
_WIDE = {"description_width": f"{0.9 * _LONGEST_LABEL}ch"}
"""Room for every label: the digit, a ``ch`` wide, is a fifth wider than letters are on average."""
_ROW = widgets.Layout(width=f"calc({0.9 * _LONGEST_LABEL}ch + 18em)")


def agreements(start: Agreement) -> list[tuple[str, Agreement]]:
    """Names and agreements to choose from: ``start``, the reference, those that are shipped."""
    found = {start.name: start, REFERENCE.name: REFERENCE}
    for path in sorted(SHIPPED.glob("*.toml")):
        found.setdefault(path.stem, load(path.stem))
    return list(found.items())


class Explorer:
    """The controls and what they show; ``panel`` is the widget to display, ``body`` it without the
    choice of an agreement.

    Parameters
    ----------
    start : Agreement
        Chosen at first.
    deals, seed : int
        What is dealt for the stored hands.
    """

    def __init__(
        self,
        start: Agreement = REFERENCE,
        deals: int = READING_DEALS,
        seed: int = DEFAULT_SEED,
    ) -> None:
        self._deals, self._seed = deals, seed
        self._quiet = False
        self.followers: list[Callable[[], None]] = []
        """Called after every move of a control."""
        self._below: list[tuple[DisplayHandle, DisplayHandle]] = []
        self.agreement = widgets.Dropdown(options=agreements(start), description="agreement")
        self.opening = widgets.Dropdown(
            options=[(Bid(1, suit).symbol, suit) for suit in SUITS], value=1, description="opening"
        )
        self.overcall = widgets.Dropdown(description="overcall")
        self.hcp = _range("HCP", COLUMNS["hcp"].names[-1])
        self.lengths = [_range(SUIT_SYMBOLS[suit], SUIT_CARDS) for suit in SUITS]
        self.thresholds = {
            setting.key: _threshold(setting.field.metadata, setting.value)
            for setting in start.settings(_SECTION)
            if setting.key not in _NO_CALL
        }
        self.back = widgets.Button(
            description="as the agreement stands", layout=widgets.Layout(width="auto")
        )
        self.said = ""
        self.sentence, self.figure, self.table = (widgets.HTML() for _ in range(3))
        self.body = self._body()
        self.panel = widgets.VBox([self.agreement, self.body])
        self._offer_overcalls()
        self._watch()
        self.show()

    def _watch(self) -> None:
        self.agreement.observe(lambda _: self.reset(), names="value")
        self.back.on_click(lambda _: self.reset())
        self.opening.observe(lambda _: self.choose_opening(), names="value")
        for control in (self.overcall, self.hcp, *self.lengths, *self.thresholds.values()):
            control.observe(lambda _: self.show(), names="value")

    def _body(self) -> widgets.VBox:
        double = [key for key in self.thresholds if "double" in key or "both" in key]
        others = [key for key in self.thresholds if key not in double]
        groups = widgets.Accordion(
            [widgets.VBox([self.thresholds[key] for key in keys]) for keys in (double, others)],
            titles=("what the double needs", "what the other calls need"),
            selected_index=0,
        )
        choices = widgets.HBox([self.opening, self.overcall])
        held = widgets.VBox([self.hcp, *reversed(self.lengths)])
        controls = widgets.VBox([choices, widgets.HBox([held, groups]), widgets.HBox([self.back])])
        return widgets.VBox([controls, self.sentence, self.figure, self.table])

    def offer(self, agreement: Agreement) -> None:
        """Put an agreement on offer, in place of any other of its name, and choose it."""
        with self._at_once():
            self.agreement.options = list(
                (dict(self.agreement.options) | {agreement.name: agreement}).items()
            )
            self.agreement.value = agreement

    @contextmanager
    def _at_once(self) -> Iterator[None]:
        """Move several controls and show the result once."""
        self._quiet = True
        try:
            yield
        finally:
            self._quiet = False
        self.show()

    def choose_opening(self) -> None:
        """Offer the overcalls that the rules can make over the opening chosen."""
        with self._at_once():
            self._offer_overcalls()

    def _offer_overcalls(self) -> None:
        offered = [
            (bid.symbol, sequence)
            for sequence, (suit, bid) in enumerate(SEQUENCES)
            if suit == self.opening.value
        ]
        self.overcall.options = offered
        self.overcall.value = offered[0][1]

    def reset(self) -> None:
        """Set every threshold as the agreement chosen has it."""
        values = self.agreement.value.values
        with self._at_once():
            for key, control in self.thresholds.items():
                control.value = values[key]

    def now(self) -> Agreement:
        """The agreement chosen, with the thresholds as now set."""
        agreement: Agreement = self.agreement.value
        standing = agreement.values
        for key, control in self.thresholds.items():
            if control.value != standing[key]:
                agreement = agreement.changed(key, control.value)
        return agreement

    def holding(self) -> explored.Holding:
        """The points and lengths chosen."""
        return explored.Holding(self.hcp.value, tuple(control.value for control in self.lengths))

    def calls(self, agreement: Agreement) -> pd.DataFrame:
        """The responder's calls on the hands chosen, by some agreement's responses."""
        hands = explored.responder_hands(self.agreement.value, self._deals, self._seed)
        return explored.calls(hands, agreement, self.overcall.value, self.holding())

    def text(self, table: pd.DataFrame) -> str:
        """The sentence under the controls."""
        sentence = double_sentence(table, self.overcall.value, self.holding(), self._deals)
        return f"{sentence} By {in_words(self.now(), self.agreement.value)}."

    def draw(self) -> tuple[Figure, str]:
        """The figure and its alternative text."""
        table, standing = self.calls(self.now()), self.calls(self.agreement.value)
        table, standing = (part[self._possible()] for part in (table, standing))
        return call_shares(table, standing), call_shares_alt(table, standing)

    def show(self) -> None:
        """Follow the controls: the callback of every one of them."""
        if self._quiet:
            return
        try:
            table = self.calls(self.now())
        except InputError as error:
            self._say(str(error))
            return
        self._say(self.text(table))
        figure, alt = self.draw()
        self.figure.value = svg(figure, alt)
        self.table.value = _html(table[self._possible()])
        for sentence, shown in self._below:
            sentence.update(Markdown(markdown(self.said)))
            show_instead(shown, figure, alt)
        self._dim()
        for follow in self.followers:
            follow()

    def _say(self, text: str) -> None:
        self.said, self.sentence.value = text, html(text)

    def _possible(self) -> NDArray[np.bool_]:
        """The calls that some hand makes here, as the rules are set or as they stand."""
        now, standing = (
            possible_calls(agreement, self.overcall.value)
            for agreement in (self.now(), self.agreement.value)
        )
        return now | standing

    def _dim(self) -> None:
        """Settings that cannot move a call after this opening and overcall cannot be moved."""
        tried = {key: _others(control) for key, control in self.thresholds.items()}
        working = settings_at_work(self.now(), self.overcall.value, tried)
        for key, control in self.thresholds.items():
            control.disabled = key not in working

    def below(self) -> None:
        """Show the sentence and the figure once more; they follow the panel, too."""
        sentence = DisplayHandle()
        sentence.display(Markdown(markdown(self.said)))
        self._below.append((sentence, show_for_now(*self.draw())))


def _range(name: str, most: int) -> widgets.IntRangeSlider:
    narrow = {"description_width": "2.5em"}
    return widgets.IntRangeSlider(
        value=(0, most),
        min=0,
        max=most,
        description=name,
        style=narrow,
        layout=widgets.Layout(width="19em", flex="0 0 auto"),
    )


def _threshold(about: Any, value: Any) -> widgets.ValueWidget:
    """The control of one setting, by the type of its value."""
    common = {"description": about["meaning"], "style": _WIDE, "layout": _ROW}
    if isinstance(value, bool):
        return widgets.Checkbox(value=value, indent=False, **common)
    if isinstance(value, Bid):
        bids = sorted(set(bid for _, bid in SEQUENCES))
        return widgets.Dropdown(options=[(bid.symbol, bid) for bid in bids], value=value, **common)
    kind = about["kind"]
    most = min(kind.high, max(_MOST_POINTS, value))
    return widgets.IntSlider(value=value, min=kind.low, max=most, **common)


def _others(control: widgets.ValueWidget) -> list[Any]:
    """Other values of a threshold's control: both ends, or the one that a tick has not."""
    if isinstance(control, widgets.Checkbox):
        return [not control.value]
    if isinstance(control, widgets.Dropdown):
        return [control.options[0][1], control.options[-1][1]]
    return [control.min, control.max]


def _html(table: pd.DataFrame) -> str:
    """The table of calls for readers: frequencies and shares with their intervals."""

    def percent(columns: Sequence[str], digits: int) -> list[str]:
        rows = table[list(columns)].itertuples(index=False)
        return [
            f"{100 * middle:.{digits}f} ({100 * low:.{digits}f}–{100 * high:.{digits}f})"
            for middle, low, high in rows
        ]

    shown = pd.DataFrame(
        {
            "call": [COLUMNS["call"].wording(call) for call in table["call"]],
            "deals": table["deals"],
            "% of all deals (95%)": percent(("estimate", "low", "high"), 3),
            "% of these hands (95%)": percent(("share", "share_low", "share_high"), 1),
        }
    )
    return str(shown.to_html(index=False, border=0, justify="left", col_space=120))
