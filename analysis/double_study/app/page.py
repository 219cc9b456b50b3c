"""The page: five parts, each of which turns the fields of a form into HTML.

The form sends everything that a part needs, so the page stores only the agreement it began with and the
one long count that may be running.
"""

import multiprocessing
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache, partial
from pathlib import Path
from threading import Event, Lock, Thread
from typing import Any
from urllib.parse import quote

import numpy as np
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from double_study.agreements.questions import QUESTIONS
from double_study.agreements.reader import (
    Agreement,
    differences_in_words,
    load,
    of_document,
    shipped,
    short_file,
    title,
)
from double_study.agreements.settings import Span, WholeNumber
from double_study.app import explore, quiz
from double_study.asking import odds as on
from double_study.asking.answer import Answer, basis, matters
from double_study.asking.question import Question, reply
from double_study.cards import notation
from double_study.cards.bids import (
    DENOMINATIONS,
    NOTRUMP,
    PASS,
    SUIT_NAMES,
    SUITS,
    Bid,
    Call,
    legal_calls,
)
from double_study.cards.deal import HAND_CARDS
from double_study.columns import COLUMNS, PLAYERS
from double_study.counting import run as study
from double_study.counting.responder_hands import Holding, count_hands
from double_study.counting.run import DEFAULT_SEED
from double_study.counting.sessions import per_session
from double_study.counting.tally import Blocks, Tally
from double_study.errors import Failure, InputError
from double_study.escape import quoted, terminal
from double_study.how_often import FieldCount, answer, checked, command, counted_share, field_count
from double_study.numbers_in_words import in_sessions
from double_study.rules.batch import Batch
from double_study.rules.response import DOUBLE_CALL
from double_study.rules.terms import SEQUENCE, SEQUENCES, sequence_wording
from double_study.tables import READING_DEALS
from double_study.tabulation import AUCTION
from double_study.workers import pool, worker_count

LONG_DEALS = 100_000_000

Fields = Mapping[str, str]

_GLANCE_DEALS = 60_000
"""Deals around a hand from which the small picture of partner's hand is drawn."""
_FEWEST = 30
"""With fewer deals that fit, no picture is drawn."""
_LEVELS = 5
"""Levels for which there are buttons: the rules bid no higher."""
_NAME = re.compile(r"[A-Za-z0-9_-]{1,40}")
_FIRST = int(SEQUENCE.code("1D", "1S"))
"""The auction that is explored at first."""
_PARTS = "call partner ask glance odds explore working controls often own".split()
_ASKED_CALLS = ("call", "advancer", "answer", "reopening", "final_contract")


_JINJA = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    finalize=lambda value: (
        terminal(value) if isinstance(value, str) and not isinstance(value, Markup) else value
    ),
)
_JINJA.filters["suits"] = lambda text: Markup(notation.with_suits(escape(text)))  # noqa: S704
_JINJA.globals |= {
    "write_hand": notation.write_hand,
    "hand_symbols": notation.hand_symbols,
    "bids": [Bid.from_code(code) for code in range(5 * _LEVELS)],
    "strains": (*SUIT_NAMES, "notrump"),
    "holdings": lambda cards: [
        (SUIT_NAMES[s], notation.holding_shown(cards, s, " ")) for s in reversed(SUITS)
    ],
}


def _rendered(template: str, **values: Any) -> str:
    return _JINJA.get_template(template).render(values)


class LongCount(Thread):
    """A count in the background: ``of`` is what it counts, ``tally`` the deals counted so far."""

    def __init__(self, of: tuple[FieldCount, Agreement], deals: int) -> None:
        super().__init__()
        self.of, self.deals, self.stop = of, deals, Event()
        self.tally: Tally | None = None
        self.failed = ""

    def end(self) -> None:
        """Stop the count and wait until the tasks in progress are finished."""
        self.stop.set()
        self.join()

    def run(self) -> None:
        asked, agreement = self.of
        work = partial(study.count_blocks, DEFAULT_SEED, agreement=agreement, counts=(asked,))
        workers = worker_count(None)
        # Spawned, because a process forked from one with several threads may deadlock.
        try:
            with pool(workers, multiprocessing.get_context("spawn")) as executor:
                parts = study.over_blocks(work, self.deals, workers, executor, progress=False)
                for part in parts:
                    self.tally = part if self.tally is None else self.tally + part
                    if self.stop.is_set():
                        parts.close()  # type: ignore[attr-defined]
                        if executor:
                            executor.shutdown(cancel_futures=True)
                        return
        except Failure as error:
            self.failed = str(error)


class Page:
    """The page under an agreement, with counts over some number of deals."""

    def __init__(
        self, start: Agreement, deals: int = READING_DEALS, long_deals: int = LONG_DEALS
    ) -> None:
        others = {name: load(name) for name in shipped() if name != start.name}
        self._agreements = {start.name: start} | others
        self._deals, self._long_deals = deals, long_deals
        self._long: LongCount | None = None
        self._start = start
        Thread(target=self._warm, daemon=True).start()

    def _warm(self) -> None:
        """Deal the hands that the parts need, so that the first request is as fast as later ones."""
        count_hands(self._start, self._deals, DEFAULT_SEED)
        explore.doubles(self._start, DEFAULT_SEED)
        explore.settings_at_work(self._start, _FIRST)
        _batches(self._start, self._deals)

    def close(self) -> None:
        if self._long:
            self._long.end()

    def whole(self, nonce: str, key: str) -> str:
        return _rendered(
            "page.html",
            nonce=nonce,
            key=key,
            start=self._start,
            agreements=[(name, title(name)) for name in self._agreements],
            scopes=quiz.SCOPES,
            suits=[(DENOMINATIONS[s], SUIT_NAMES[s], "AKQJT98765432") for s in reversed(SUITS)],
            sequences=SEQUENCE.frame().to_dict("records"),
            sequence_wording=sequence_wording,
            first=_FIRST,
            **_form(self._start),
            players=PLAYERS,
            calls=[COLUMNS[name] for name in _ASKED_CALLS],
            openings=COLUMNS["opening"].wordings,
            overcalls=COLUMNS["overcall"].wordings,
            deals=self._deals,
        )

    def part(self, name: str, fields: Fields) -> str | None:
        """Return a part of the page for the fields of its form; None if no part has that name."""
        if name not in _PARTS:
            return None
        try:
            return getattr(self, f"_{name}")(fields, self.agreement(fields))
        except InputError as error:
            return _rendered("error.html", message=str(error))

    def agreement(self, fields: Fields) -> Agreement:
        """Return the agreement chosen, with its settings changed as in the form."""
        base = self._standing(fields)
        document = base.document
        for one in base.settings():
            if text := fields.get(f"set.{one.key}"):
                kind = one.field.metadata["kind"]
                value = kind.answered(text)
                if value is None:
                    raise InputError(f"{one.key} cannot be {quoted(text)}; allowed: {kind.asked}")
                document[one.section][one.name] = kind.written(value)
        if document == base.document:
            return base
        name = f"{base.name}, changed"
        return replace(of_document(document, name, "the settings"), rules=base.rules)

    def _standing(self, fields: Fields) -> Agreement:
        return self._agreements[_one_of(fields, "agreement", self._agreements)]

    # --- call a hand ---

    def _call(self, fields: Fields, agreement: Agreement) -> str:
        scope = _one_of(fields, "scope", quiz.SCOPES)
        right, answered = _count(fields, "right"), _count(fields, "answered")
        made, call = fields.get("made", ""), fields.get("call", "")
        asked = None
        if "again" not in fields and fields.get("asked_of") == scope:
            asked = _question(fields, agreement)
        if asked is None:
            made = call = ""
            asked = quiz.question(0, agreement, quiz.new_seed(), scope)
        best = reply(asked)
        if call and not made:
            made = str(notation.read_call(call))
            answered, right = answered + 1, right + (made == str(best.call))
        judged = notation.read_call(made) if made else None
        return _rendered(
            "call.html",
            scope=scope,
            asked=asked,
            legal=quiz.choices(asked),
            made=judged,
            best=best.call,
            right=right,
            answered=answered,
            because=quiz.why_in_one_sentence(best, judged) if judged else "",
        )

    def _partner(self, fields: Fields, agreement: Agreement) -> str:
        asked = _question(fields, agreement)
        if asked is None:
            raise InputError("no hand was asked about; allowed: a hand and an auction")
        rule, column = reply(asked).rule, str(asked.rules.column)
        # The same double, whether or not the fourth hand takes it out.
        again = ("double_taken_out",) if (column, rule) == ("reopening", "double") else ()
        codes = [COLUMNS[column].code(name) for name in (rule, *again)]
        batches = (b.at(quiz.STAGE_OF[column]) for b, _ in _batches(agreement, self._deals))
        share = sum(np.isin(b[column], codes).sum() for b in batches) / self._deals
        about = {
            "who": Answer(asked.cards, asked).partner,
            "wording": COLUMNS[column].wording(rule),
            "often": share and in_sessions(float(per_session(share))),
            "deals": self._deals,
        }
        if (chances := _glance(asked)) is None:
            return _rendered("partner.html", suits=(), **about)
        points, fits = on.points(chances), on.fits(chances).set_index("suit")["estimate"]
        lengths = on.lengths(chances).groupby("suit", sort=False, observed=True)
        return _rendered(
            "partner.html",
            **about,
            kept=chances.kept,
            points=float((points["hcp"] * points["estimate"]).sum()),
            suits=[
                (name, float((part["cards"] * part["estimate"]).sum()), fits.get(name))
                for name, part in lengths
            ],
        )

    # --- ask ---

    def _ask(self, fields: Fields, agreement: Agreement) -> str:
        whole, prompt, error = None, "", ""
        calls: list[Call] = []
        try:
            calls = notation.read_calls(fields.get("auction", ""))
            whole, prompt = _asked(fields, agreement)
        except InputError as said:
            error = str(said)
        question = whole.question if whole else None
        made = whole.reply if whole else None
        # Until the auction is complete, assume that South's partner opens.
        opens = next((at for at, call in enumerate(calls) if call != PASS), len(calls))
        return _rendered(
            "ask.html",
            error=error,
            prompt=prompt,
            whole=whole,
            calls=calls,
            seat=question.auction.seat_asked if question else opens + 3,
            legal=legal_calls(calls, Bid(_LEVELS, NOTRUMP)),
            reply=made,
            asked=question.auction.asked if question else "",
            wording=question.rules.wordings[made.rule] if question and made else "",
        )

    def _glance(self, fields: Fields, agreement: Agreement) -> str:
        """Return quick odds from a few deals, to show while :meth:`_odds` computes the full ones."""
        whole, _ = _asked(fields, agreement)
        if whole is None or whole.question is None or (chances := _glance(whole.question)) is None:
            return _rendered("waiting.html")
        return self._pictures(whole, chances, matters(whole, chances))

    def _odds(self, fields: Fields, agreement: Agreement) -> str:
        whole, prompt = _asked(fields, agreement)
        if whole is None:
            raise InputError(prompt)
        whole = _answered(whole)
        return self._pictures(whole, whole.chances, matters(whole))

    def _pictures(self, whole: Answer, chances: on.Odds, said: str) -> str:
        both = chances.bid_against is not None
        lengths = on.lengths(chances).groupby("suit", sort=False, observed=True)
        ranges = on.point_ranges(chances)
        labels = [f"{row.lowest_hcp}–{row.highest_hcp}" for row in ranges.itertuples()]
        return _rendered(
            "odds.html",
            who=whole.partner,
            both=both,
            charts=[(name, _chart(part["cards"], part, both)) for name, part in lengths],
            points=_chart(labels, ranges, both),
            matters=said,
            basis=basis(chances),
        )

    # --- explore ---

    def _explore(self, fields: Fields, agreement: Agreement) -> str:
        sequence, standing = _sequence(fields), self._standing(fields)
        holding = _holding(fields)
        found = explore.explored(agreement, standing, sequence, holding, DEFAULT_SEED, self._deals)
        double = found.iloc[DOUBLE_CALL]
        return _rendered(
            "explore.html",
            auction=sequence_wording(dict(zip(AUCTION, SEQUENCE.names[sequence], strict=True))),
            holding=holding,
            hands=int(found["deals"].sum()),
            double=double,
            often=in_sessions(float(per_session(double["estimate"]))),
            rows=found[found["made"]].to_dict("records"),
            call_words=COLUMNS["call"].wordings,
            most=found[["share_high", "before"]].max(axis=None),
            moved=differences_in_words(agreement, standing),
            deals=self._deals,
            seed=DEFAULT_SEED,
        )

    def _working(self, fields: Fields, agreement: Agreement) -> str:
        """Return the keys of the settings that matter for the auction, after the picture is shown."""
        return " ".join(explore.settings_at_work(agreement, _sequence(fields)))

    def _controls(self, fields: Fields, agreement: Agreement) -> str:
        """Return the sliders and the choices, set to the values of the agreement chosen."""
        return _rendered("controls.html", **_form(self._standing(fields)))

    # --- how often ---

    def _often(self, fields: Fields, agreement: Agreement) -> str:
        what, given = _conditions(fields)
        asked = field_count(
            (), checked(given, "the auction and the hand"), checked(what, "the call")
        )
        key, job = (asked, agreement), self._long
        if "stop" in fields and job:
            job.end()
        if "long" in fields and not (job and job.is_alive()):
            job = self._long = LongCount(key, self._long_deals)
            job.start()
        mine = job if job and job.of == key else None
        counts = sum(
            asked.count(batch, blocks) for batch, blocks in _batches(agreement, self._deals)
        )
        moved = agreement.name not in self._agreements
        whole = mine.tally if mine and not mine.is_alive() and mine.tally else None
        shown = whole.deals if whole else self._deals
        told = whole[asked.name] if whole else np.asarray(counts)
        met, of = int(told[1]), int(told.sum())
        return _rendered(
            "often.html",
            column=COLUMNS[what.split()[0]],
            value=what.split("'")[1],
            share=counted_share(met, of) if of else "",
            met=met,
            of=of,
            answer=answer(asked, told, shown),
            command=command(
                what, given, None, shown, DEFAULT_SEED, "mine.toml" if moved else agreement.name
            ),
            moved=moved,
            job=mine,
            busy=job is not None and job.is_alive(),
            long_deals=self._long_deals,
        )

    # --- an agreement of one's own ---

    def _own(self, fields: Fields, agreement: Agreement) -> str:
        name = fields.get("name") or "mine"
        if not _NAME.fullmatch(name):
            raise InputError(
                f"name {quoted(name)} cannot be used; allowed: letters, digits, - and _, 40 at most"
            )
        standing = self._standing(fields)
        now, before = (explore.doubles(each, DEFAULT_SEED) for each in (agreement, standing))
        lines = short_file(replace(agreement, name=name))
        return _rendered(
            "own.html",
            often=in_sessions(float(per_session(now))),
            now=now,
            before=before,
            most=max(now, before, 1e-9),
            moved=differences_in_words(agreement, standing),
            standing=standing.name,
            name=name,
            lines=lines,
            data=quote("\n".join(lines) + "\n"),
            deals=explore.COMPARED_DEALS,
        )


# --- the fields of a form ---


def _one_of(fields: Fields, name: str, allowed: Mapping[str, Any]) -> str:
    value = fields.get(name) or next(iter(allowed))
    if value not in allowed:
        raise InputError(f"{name} cannot be {quoted(value)}; allowed: {', '.join(allowed)}")
    return value


def _count(fields: Fields, name: str, most: int = 10**6) -> int:
    text = fields.get(name) or "0"
    if not re.fullmatch(r"[0-9]{1,7}", text) or int(text) > most:
        raise InputError(
            f"{name} cannot be {quoted(text)}; allowed: a whole number from 0 to {most}"
        )
    return int(text)


def _span(fields: Fields, name: str, most: int) -> tuple[int, int]:
    low = _count(fields, f"{name}_low", most)
    high = _count(fields, f"{name}_high", most) if fields.get(f"{name}_high") else most
    if low > high:
        raise InputError(f"{name}: {low} is more than {high}; allowed: the lower number first")
    return low, high


def _holding(fields: Fields) -> Holding:
    lengths = tuple(_span(fields, name, 13) for name in SUIT_NAMES)
    return Holding(_span(fields, "hcp", 37), lengths)


def _sequence(fields: Fields) -> int:
    return _count(fields, "sequence", len(SEQUENCES) - 1)


def _question(fields: Fields, agreement: Agreement) -> Question | None:
    """Return the question in a form; None if the agreement never reaches that auction."""
    try:
        asked = Question.read(fields.get("hand", ""), fields.get("auction", ""), agreement)
    except InputError:
        return None
    return asked if reply(asked).call is not None else None


def _asked(fields: Fields, agreement: Agreement) -> tuple[Answer | None, str]:
    """Return the question in a form, and what is missing from it."""
    hand, auction = fields.get("hand", ""), fields.get("auction", "")
    held = sum(mark in "AKQJT98765432" for mark in hand.upper().replace("10", "T"))
    if held < HAND_CARDS and not re.search(r"[^AKQJT0-9CDHS ♠♥♦♣.–-]", hand.upper()):
        return None, f"Choose thirteen cards: {held} so far."
    cards, calls = notation.read_hand(hand), notation.read_calls(auction)
    bids = sum(isinstance(call, Bid) for call in calls)
    if bids < 2 and (not bids or isinstance(calls[-1], Bid)):
        lacks = "the overcall" if bids else "any passes, the opening and the overcall"
        prompt = f"Now the auction: {lacks}. So far the odds come from your cards alone."
        return Answer(cards, None), prompt
    return Answer(cards, Question(cards, notation.read_auction(auction), agreement)), ""


def _conditions(fields: Fields) -> tuple[str, str | None]:
    """Return the question in a form as expressions: the call, and the auction and hand given."""
    column, _, value = (fields.get("what") or "call=double").partition("=")
    if column not in _ASKED_CALLS or value not in COLUMNS[column].wordings:
        raise InputError("the call is not in the list; allowed: a call from the list")
    given = []
    for name in ("opening", "overcall"):
        if fields.get(name):
            given.append(f"{name} == '{_one_of(fields, name, COLUMNS[name].wordings)}'")
    if fields.get("level"):
        given.append(f"level == {_count(fields, 'level', 4)}")
    who = _one_of(fields, "who", dict.fromkeys(("responder", *PLAYERS)))
    for what in ("hcp", *reversed(SUIT_NAMES), "in_overcalled"):
        most = COLUMNS[f"{who}_{what}"].names[-1]
        low, high = _span(fields, what, most)
        if low == high:
            given.append(f"{who}_{what} == {low}")
            continue
        given += [f"{who}_{what} >= {low}"] if low else []
        given += [f"{who}_{what} <= {high}"] if high < most else []
    if fields.get("balanced"):
        given.append(f"{who}_balanced")
    if extra := fields.get("extra", "").strip():
        checked(extra, "and besides")
        given.append(f"({extra})")
    return f"{column} == '{value}'", " and ".join(given) or None


# --- what the templates show ---


def _form(agreement: Agreement) -> dict[str, Any]:
    """Return the controls of an agreement's settings, and the questions to a player with their choices.

    ``hidden`` are the settings that have a question but no slider.
    """
    settings = {one.key: one for one in agreement.settings()}
    controls = explore.controls(agreement)
    asked = {key for question in QUESTIONS for keys in question.parts for key in keys}
    hidden = asked - {control.key for control in controls}
    choices = []
    for each in QUESTIONS:
        parts = []
        for level, keys in enumerate(each.parts, start=1):
            values = [settings[key].value for key in keys]
            shown = each.kind.shown(values[0]) if len(set(values)) == 1 else ""
            label = f"level {level}" if len(each.parts) > 1 else ""
            parts.append((label, " ".join(keys), shown, _options(each.kind, values[0])))
        choices.append((each.text, parts))
    return {
        "controls": controls,
        "hidden": [
            (key, settings[key].field.metadata["kind"].shown(settings[key].value))
            for key in sorted(hidden)
        ],
        "choices": choices,
    }


def _options(kind: Any, value: Any) -> list[str]:
    if isinstance(kind, Span):
        usual = {f"{low}–{low + 2}" for low in range(10, 18)} | {kind.shown(value)}
        return sorted(usual)
    if isinstance(kind, WholeNumber):
        return [str(number) for number in range(kind.low, min(kind.high, 20) + 1)]
    return [kind.shown(choice) for choice in explore.choices_of(kind)]


def _chart(labels: Any, table: Any, both: bool) -> list[tuple[str, float, float]]:
    """Return the bars of a chart: label, chance with and without the bidding; drop impossible ends."""
    given = table["estimate" if both else "ignoring_bidding"].to_numpy()
    plain = table["ignoring_bidding"].to_numpy()
    seen = np.flatnonzero((given > 0.005) | (plain > 0.005))
    kept = range(seen[0], seen[-1] + 1) if len(seen) else range(0)
    names = [str(label) for label in labels]
    return [(names[at], float(given[at]), float(plain[at])) for at in kept]


# --- what is computed once ---


def _glance(asked: Question) -> on.Odds | None:
    """Return the odds on partner's hand from a few deals; None if hardly any of them fit."""
    try:
        chances = on.sampled(asked, on.both_bid(asked), max_deals=_GLANCE_DEALS)
    except InputError:
        return None
    return chances if (chances.kept or 0) >= _FEWEST else None


_answered = lru_cache(maxsize=32)(lambda answer: answer)
"""The same object for an equal question, because an answer caches what it has computed."""


def _batches(agreement: Agreement, deals: int) -> list[tuple[Batch, Blocks]]:
    """Return the first deals of the study, bid under an agreement; the batch caches its columns."""
    with _DEALING:
        return _dealt(agreement, deals)


_DEALING = Lock()


@lru_cache(maxsize=2)
def _dealt(agreement: Agreement, deals: int) -> list[tuple[Batch, Blocks]]:
    parts = study.batched(study.blocks_of(deals))
    batches = [(Batch(study.cards_of(DEFAULT_SEED, part), agreement), part) for part in parts]
    for batch, _ in batches:
        batch.at("overcalled")
    return batches
