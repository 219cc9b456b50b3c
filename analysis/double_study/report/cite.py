"""Cite a run, in words and in the formats of reference lists, and make sentences to copy."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import floor, log10
from typing import Any, Self

import pandas as pd

from double_study import escape
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import DOUBLE, NOTRUMP
from double_study.cards.deal import HAND_CARDS
from double_study.checking.claims import ID, any_one_bid
from double_study.columns import COLUMNS, Row, named
from double_study.combinatorics.hands import N_HANDS, opening_ways
from double_study.combinatorics.table import exact_table
from double_study.combinatorics.two_hands import chance_of_holding
from double_study.counting.record import RunRecord, versions
from double_study.datapackage import AUTHOR
from double_study.rules.response import PROMISED_CARDS
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import sequence_wording
from double_study.tables import Run
from double_study.tabulation import rows
from double_study.words import number

TITLE = "The negative double: how often it comes up, and what happens next"
SHORT = "Responder's Double Study"


@dataclass(frozen=True)
class Citation:
    """The parts of a reference to a run; ``created`` is the date of the commit, None without one."""

    version: str
    commit: str
    created: str | None
    deals: int
    seed: int
    agreement: str
    agreement_digest: str
    digest: str

    @classmethod
    def of(cls, record: RunRecord) -> Self:
        """Return the citation of a run just counted."""
        by = record.agreement
        agreement = {"name": by.name, "digest": by.digest}
        return cls.read(vars(record) | {"versions": versions(), "agreement": agreement})

    @classmethod
    def read(cls, about: Mapping[str, Any]) -> Self:
        """Return the citation of a run from its ``run.json``; raise :class:`KeyError` if that is not one."""
        by = about["agreement"]
        return cls(
            version=about["versions"]["study"],
            commit=about["commit"],
            created=about.get("created"),
            deals=about["deals"],
            seed=about["seed"],
            agreement=by["name"],
            agreement_digest=by["digest"],
            digest=about["digest"],
        )

    @property
    def year(self) -> str:
        return (self.created or "")[:4]

    @property
    def edition(self) -> str:
        """The version as sentences cite it, without its last part."""
        return self.version.rpartition(".")[0]

    @property
    def short(self) -> str:
        """Return the citation at the end of a sentence: ``(Responder's Double Study, 2.0, 2026)``."""
        return f"({', '.join(filter(None, (SHORT, self.edition, self.year)))})"

    def run(self, shown: Callable[[str], str] = str) -> str:
        """Return the run in words; ``shown`` escapes the agreement's name, which anyone may choose."""
        return (
            f"Run of {self.deals:,} deals, seed {self.seed}, agreement {shown(self.agreement)} "
            f"({self.agreement_digest[:12]}), digest of the counts {self.digest[:12]}"
        )

    @property
    def text(self) -> str:
        """The entry of a reference list, in Markdown."""
        year = f" ({self.year})" if self.year else ""
        return (
            f"{AUTHOR}{year}. *{TITLE}.* Version {self.version}, commit {self.commit}. "
            f"{self.run(escape.markdown)}."
        )

    @property
    def bibtex(self) -> str:
        fields = {
            "title": f"{{{TITLE}}}",
            "author": f"{{{AUTHOR}}}",
            "year": self.year,
            "version": self.version,
            "note": f"Version {self.version}, commit {self.commit}. {self.run(escape.bibtex)}",
        }
        lines = [f"  {name} = {{{value}}}," for name, value in fields.items() if value]
        return "\n".join([f"@misc{{respondersdouble{self.year},", *lines, "}"])

    @property
    def csl(self) -> str:
        """The entry in CSL-JSON."""
        issued = [int(part) for part in (self.created or "")[:10].split("-") if part]
        entry = {
            "id": f"respondersdouble{self.year}",
            "type": "software",
            "title": TITLE,
            "author": [{"literal": AUTHOR}],
            **({"issued": {"date-parts": [issued]}} if issued else {}),
            "version": self.version,
            "note": f"Commit {self.commit}. {self.run()}",
        }
        return json.dumps([entry], indent=2, ensure_ascii=False)

    @property
    def cff(self) -> str:
        """The entry in the Citation File Format 1.2.0; a text of JSON is one of YAML."""
        fields: dict[str, Any] = {
            "cff-version": "1.2.0",
            "message": "To cite the study, use these fields.",
            "type": "software",
            "title": TITLE,
            "authors": [{"name": AUTHOR}],
            "version": self.version,
            "commit": self.commit,
            **({"date-released": self.created[:10]} if self.created else {}),
            "abstract": f"{self.run()}.",
        }
        return "\n".join(
            f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in fields.items()
        )

    @property
    def files(self) -> dict[str, str]:
        """Each format by the name of its file in a report."""
        formats = {"CITATION.cff": self.cff, "citation.bib": self.bibtex, "citation.json": self.csl}
        return {name: f"{text}\n" for name, text in formats.items()}


# --- sentences to copy ---


@dataclass(frozen=True)
class Quote:
    """A sentence that may be copied, and what it does not say."""

    sentence: str
    beware: str


def figure(share: float, low: float | None = None, high: float | None = None) -> str:
    """Return a share with three figures, and its sampling error if that reaches the last of them."""
    places = max(0, 2 - floor(log10(100 * share))) if 0 < share < 1 else 0
    half = 50 * (high - low) if low is not None and high is not None else 0.0
    if half < 0.5 * 10**-places:
        return f"{share:.{places}%}"
    places = max(0, -floor(log10(half)))
    return f"{share:.{places}%} (±{half:.{places}f}, sampling error only)"


def _counted(row: Row, share: str, part: float = 1) -> str:
    return figure(*(part * float(row[name]) for name in named(share).columns))


_DEALER = "When the dealer is the opener"
_EXACT = ", an exact figure under the study's rules"
_ANY = "whichever side opens, in any seat"


def quotes(run: Run) -> Iterator[Quote]:
    """Yield ten sentences to copy; fewer if a run has no exact calls, or no deals of a case."""
    if not run.doubled:
        return
    by, short = run.agreement, Citation.of(run.record).short
    under = "" if by == REFERENCE else f"Under the agreement “{escape.markdown(by.name)}” "
    for said, beware in _said(run, f"of up to {by.response.double_through.symbol}"):
        said = f"{under}{said[0].lower()}{said[1:]}" if under else said
        yield Quote(f"{said} {short}.", beware)


def _said(run: Run, reach: str) -> Iterator[tuple[str, str]]:
    (last,) = rows(run.table("funnel"), step="doubled")
    double = f"a negative double of a suit overcall {reach}"
    yield (
        f"Responder makes {double} on {_counted(last, 'estimate')} of all deals, counting both sides "
        f"and all seats; one partnership makes it on {_counted(last, 'estimate', 0.5)}",
        "The larger share counts both sides, so it is not one partnership's. A deal counts only if partner "
        "opens one of a suit and the next hand overcalls.",
    )
    exact = exact_table(run.agreement, run.exact_calls)
    doubled: pd.Series = exact.loc[exact["call"] == DOUBLE, "probability"]
    if doubled.sum():
        yield (
            f"{_DEALER}, responder makes {double} on {figure(doubled.sum())} of all deals{_EXACT}",
            "This is a share of all deals, not of the dealer's openings, and it leaves out the openings of "
            "the other three seats.",
        )
    yield (
        f"Of the suit overcalls {reach} made by the hand after the opener, {_ANY}, responder doubles "
        f"{_counted(last, 'given')}",
        "This is not a share of all interference: takeout doubles, overcalls of 1NT and two-suited calls "
        "do not count as suit overcalls.",
    )
    for row in run.table("doubles_by_auction").nlargest(1, "deals").to_dict("records"):
        yield (
            f"After {sequence_wording(row)}, {_ANY}, responder doubles {_counted(row, 'estimate')} of "
            "the overcalls",
            "This is not a share of all hands, but of those that responder holds after this opening and "
            "this overcall.",
        )
    yield from _exactly(run)
    for row in run.table("four_against_five").nlargest(1, "of").to_dict("records"):
        known = not pd.isna(row["exact"])
        dealt = [
            float(chance_of_holding(n, HAND_CARDS, HAND_CARDS, 3 * HAND_CARDS))
            for n in range(HAND_CARDS + 1)
        ]
        share = figure(row["exact"]) if known else _counted(row, "estimate")
        yield (
            f"{_DEALER}, a responder who shows spades after {COLUMNS['opening'].of(row)} (1♥), by doubling "
            f"on four or by bidding 1♠ on five or more, holds exactly four on {share} of such hands"
            f"{_EXACT if known else ''}",
            "The figure is not that of hands as dealt: before any bidding, "
            f"{dealt[4] / sum(dealt[4:]):.1%} of the hands with four spades or more have exactly four. "
            "Opener and overcaller have bid other suits, which leaves more spades for responder, and a "
            "fifth spade counts as a point.",
        )
    yield from _penalties(run)
    yield _one_bids(run)
    for row in rows(run.table("doubles_by_level"), level=3):
        yield (
            f"Of the suit overcalls {reach} made at level 3, {_ANY}, responder doubles "
            f"{_counted(row, 'estimate')}",
            f"Such doubles are rare, because these overcalls come up on {row['of'] / run.tally.deals:.2%} "
            "of all deals. The share is high for so high a level because the rules overcall there only on "
            "weak hands, which leaves responder the points, while bidding a suit would cost a level.",
        )


def _exactly(run: Run) -> Iterator[tuple[str, str]]:
    """Yield the exact sentences about the most frequent auction in which one major is promised."""
    table = run.table("exact_by_auction").query("message == 'other_major' and doubled > 0")
    for row in table.nlargest(1, "doubled").to_dict("records"):
        [suit] = {"H": "hearts", "S": "spades"}.keys() - {row["opening"][1], row["overcall"][1]}
        major, after = {"H": "hearts", "S": "spades"}[suit], f"after {sequence_wording(row)}"
        yield (
            f"{_DEALER}, a responder with exactly {number(PROMISED_CARDS)} {major} {after} makes a negative "
            f"double on {figure(row['double_given_four'])} of such hands{_EXACT}",
            "The other hands are not all too weak: some raise, bid a suit or notrump, or wait for a penalty.",
        )
        yield (
            f"{_DEALER}, opener and responder have {number(FIT_TRUMPS)} {major} or more together {after} "
            f"and a negative double on {figure(row['fit_given_double'])} of such deals{_EXACT}",
            "The pair may not play in that fit or make its contract: the study follows the bidding and "
            "plays no cards.",
        )


def _penalties(run: Run) -> Iterator[tuple[str, str]]:
    table = run.table("penalties_at_all_levels")
    for row in rows(table, cards_in_theirs="five_or_more", penalty="had"):
        yield (
            "Of the hands with five good cards or more in the overcaller's suit and "
            f"{run.agreement.response.penalty_pass} HCP or more that pass to wait for a penalty, {_ANY}, "
            f"{_counted(row, 'estimate')} defend the overcall doubled, because opener reopens with a "
            "double",
            "This does not say what the penalty is worth: the study counts no tricks, and opener reopens by "
            "rule.",
        )


def _one_bids(run: Run) -> tuple[str, str]:
    share = any_one_bid(run.agreement)
    suits = float(opening_ways(run.agreement)[1 : NOTRUMP + 1].sum() / N_HANDS)
    (published,) = run.table("claims").set_index(ID).loc[["claim.open.any one-bid"], "published"]
    light = run.agreement.opening
    return (
        f"The dealer opens one of a suit or 1NT on {figure(share)} of all deals, one of a suit on "
        f"{figure(suits)}, both exact figures under the study's rules",
        "Other partnerships may open less: a published table of one-bids gives "
        f"{float(published[:-1]):.1f}%. "
        f"The study opens more because it opens on {light.suit} HCP, and on {light.light} HCP if HCP plus "
        f"the cards in the two longest suits come to {light.light_sum}.",
    )
