"""The tables of a run: one list of specifications, and the functions for what none can specify.

To add a table, add a :class:`~double_study.tabulation.Table` to :data:`TABLES` and any new column to
``columns.toml``. A run builds each table once: ``run.table("doubles_by_level")``.
"""

from __future__ import annotations

from functools import cached_property, lru_cache, partial
from pathlib import Path

import numpy as np
import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE, SUITS
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import SHAPE
from double_study.checking.claims import claims
from double_study.checking.families import Family, counterparts, families, joint_tests
from double_study.columns import COLUMNS, typed
from double_study.combinatorics.table import (
    ANY,
    doubles_table,
    exact_table,
    fours_table,
    next_hands_table,
    opener_majors,
)
from double_study.combinatorics.two_hands import PARTNERSHIP_CARDS, chance_of_holding
from double_study.conditions import check_known
from double_study.counting import counts
from double_study.counting.record import Counted
from double_study.counting.sessions import with_sessions
from double_study.counting.tally import Count
from double_study.errors import DoesNotApply
from double_study.escape import markdown
from double_study.lessons.pitfalls import PITFALLS
from double_study.rules.explain import RULE_TABLES
from double_study.rules.opening import OPENING, opening_rules
from double_study.rules.overcall import OVERCALL
from double_study.rules.response import DOUBLE_CALL, PROMISED_CARDS
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import FOUR_OR_MORE, MANY, SEQUENCE, every_sequence, opener_holds
from double_study.stats import GoodnessOfFit, compared, goodness_of_fit, ratio, with_intervals
from double_study.tabulation import (
    AUCTION,
    IN_SUIT,
    LEFT,
    Table,
    auction_facts,
    averages,
    cells,
    share,
    shares,
    summed,
    with_exact,
)

WITHIN_REACH = "call != 'above_ceiling'"
DOUBLED = f"call == '{DOUBLE}'"
_PART_SCORES = f"final_contract in {IN_SUIT[1:]}"


READING_DEALS = 2_000_000
"""Deals that a notebook counts for itself when it is opened by hand: a matter of seconds."""


class Run(Counted):
    """A counted run with its tables."""

    @cached_property
    def _built(self) -> dict[str, pd.DataFrame]:
        return {}

    @cached_property
    def families(self) -> list[Family]:
        """Every count that has an exact counterpart, and the tests of independence."""
        return families(self)

    @property
    def doubled(self) -> bool:
        return bool(self.tally[counts.CALL_COUNTS.name][..., DOUBLE_CALL].any())

    def needs_doubles(self) -> None:
        """Raise :class:`DoesNotApply`, which ends a notebook's page, if the run has no doubles."""
        if not self.agreement.response.double:
            raise DoesNotApply(
                f"*This page does not apply: under the agreement “{markdown(self.agreement.name)}” the "
                "negative double is not played.*"
            )
        if not self.doubled:
            raise DoesNotApply(
                f"*This page does not apply: in {self.tally.deals:,} deals the responder never doubled.*"
            )

    def table(self, name: str) -> pd.DataFrame:
        """Return one of :data:`TABLES`; raise :class:`InputError` for any other name."""
        known = {table.name: table for table in TABLES if not table.left}
        check_known("name", name, known, "table")
        if name not in self._built:
            self._built[name] = known[name].build(self)
        return self._built[name].copy()


@lru_cache
def handed_over(path: str) -> Run:
    """Return the run of a report, which a kernel reads once for all its notebooks."""
    return Run.handed_over(Path(path))


# --- the tables that no specification covers ---


def _steps(run: Run, opened: int, calls: pd.DataFrame) -> pd.DataFrame:
    """Return how far auctions went, each step as a share of the one before and of all deals."""
    deals = [opened, *(calls.query(q)["deals"].sum() for q in ("deals > 0", WITHIN_REACH, DOUBLED))]
    table = COLUMNS["step"].frame().assign(deals=deals)
    table = with_intervals(table.assign(of=run.tally.deals))
    table = with_intervals(table, total=[run.tally.deals, *deals[:-1]], name="given")
    return with_sessions(table, run.tally.deals)


def _funnel_by_seat(run: Run) -> pd.DataFrame:
    """Return the funnel by the opener's seat, with the exact value for seat 1."""
    opened, calls = run.tally[counts.NEXT_HANDS.name].sum(axis=(1, 2)), run.table("calls")
    seats = COLUMNS["seat"].names
    parts = [
        _steps(run, deals, calls[calls["seat"] == seat]).assign(seat=seat)
        for seat, deals in zip(seats, opened, strict=True)
    ]
    table = pd.concat(parts, ignore_index=True)
    table.insert(0, "seat", table.pop("seat"))
    exact = exact_table(run.agreement, run.exact_calls)
    whole = exact[exact["call"] == ANY].merge(auction_facts(run.agreement), on=list(AUCTION))
    doubled = exact.query(DOUBLED)["probability"]
    known = {
        "opened": next_hands_table(run.agreement)["probability"].sum(),
        "overcalled": whole["probability"].sum(),
        "within_reach": whole[~whole["above"]]["probability"].sum(),
        "doubled": doubled.sum() if len(doubled) else np.nan,
    }
    table["exact"] = table["step"].map(known).astype(float).where(table["seat"] == 1)
    return with_exact(table)


def _first_seat_calls(run: Run) -> pd.DataFrame:
    """Return overcalls, and the responder's calls, in first seat beside their exact values."""
    keys = [*AUCTION, "call"]
    counted = run.table("calls").query("seat == 1")
    whole = summed(typed(counted.assign(call=ANY), "call_or_any"), keys)
    counted = pd.concat([typed(counted[[*keys, "deals"]], "call_or_any"), whole])
    exact = exact_table(run.agreement, run.exact_calls).rename(columns={"probability": "exact"})
    table = exact.merge(counted, on=keys, how="left")
    table["deals"] = table["deals"].fillna(0).astype(np.int64)
    table["of"] = run.tally.deals
    return with_exact(with_intervals(table[[*keys, "deals", "of", "exact"]]))


def first_seat_fit(table: pd.DataFrame) -> GoodnessOfFit:
    """Return the joint test of the table ``first_seat_calls`` over its finest cells and the rest."""
    fine = table["call"] != ANY
    found = table[fine] if fine.any() else table
    seen, chances = found["deals"].to_numpy(), found["exact"].to_numpy()
    rest = found["of"].iloc[0] - seen.sum(), 1 - chances.sum()
    return goodness_of_fit(np.append(seen, rest[0]), np.append(chances, rest[1]))


def _with_of_all(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    return with_intervals(table, total=run.tally.deals, name="of_all")


def _meetings(run: Run) -> pd.DataFrame:
    """Return how often one partnership meets a double, and each kind of double."""
    found = cells(run, counts.DOUBLE_COUNTS, ["level", "message"]).assign(call=DOUBLE)
    parts = [
        summed(found, [grouping]).rename(columns={grouping: "case"}).astype({"case": str})
        for grouping in COLUMNS["grouping"].names
    ]
    table = pd.concat(parts, keys=COLUMNS["grouping"].names, names=["grouping"])
    table = typed(table.reset_index("grouping").reset_index(drop=True), "grouping")
    return with_sessions(with_intervals(table.assign(of=run.tally.deals)), run.tally.deals)


def _ranked(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    """Return a table of shares, most frequent first, with their cumulative share."""
    table = table.sort_values("deals", ascending=False, kind="stable", ignore_index=True)
    table.insert(0, "rank", np.arange(1, len(table) + 1))
    table = with_intervals(table, table["deals"].cumsum(), name="cumulated")
    return with_sessions(table, run.tally.deals)


def _by_size(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    return table.sort_values(["of", "deals"], ascending=False, kind="stable", ignore_index=True)


def _pitfalls(run: Run) -> pd.DataFrame:
    """Return the common mistakes whose case came up, ordered by how often their look-alikes did."""

    def deals(count: Count, query: str) -> int:
        return int(cells(run, count, ["message", "jump"]).query(query)["deals"].sum())

    counted = [
        (case.name, deals(counts.DOUBLE_COUNTS, case.doubles), deals(case.source, case.alike))
        for case in PITFALLS
    ]
    table = pd.DataFrame(
        [row for row in counted if row[1] > 0], columns=["pitfall", "deals", "alike"]
    ).astype({"pitfall": COLUMNS["pitfall"].dtype, "deals": np.int64, "alike": np.int64})
    table = table.sort_values("alike", ascending=False, kind="stable", ignore_index=True)
    table.insert(2, "of", run.table("doubles")["deals"].sum())
    table = with_intervals(table)
    table = with_intervals(table, total=table["deals"] + table["alike"], name="right")
    return with_sessions(table, run.tally.deals)


def _values(run: Run, key: str) -> pd.DataFrame:
    """Return mean and quantiles of the doubler's points, and the fewest with which the agreement
    doubles.
    """
    parts = []
    for count in (counts.DOUBLE_POINTS, counts.DOUBLE_HCP, counts.COMBINED_HCP):
        measure = count.axes[-1].key
        found = cells(run, count, [key, "asked"])
        part = averages(found, [key], measure)
        asked = found.groupby(key, observed=True)["asked"].min()
        part.insert(1, "asked", asked.loc[part[key]].to_numpy())
        part.insert(0, "measure", measure)
        parts.append(part)
    return typed(pd.concat(parts, ignore_index=True), "measure")


def _lengths(run: Run) -> pd.DataFrame:
    """Return the responder's cards in each suit by the suit's part in the auction."""
    found = cells(run, counts.DOUBLE_SHAPES, ["message", "level"])
    held = found[list(SHAPE.columns)].to_numpy()
    situation, sequence = every_sequence(run.agreement), SEQUENCE.codes(found)
    opening, overcall, _ = (part[sequence] for part in situation.auction)
    promised, suit = situation.promised.T[sequence], np.array(SUITS)
    other = ~promised & (suit != opening[:, None]) & (suit != overcall[:, None])
    rows = np.arange(len(found))
    everywhere = np.ones(len(found), dtype=np.bool_)
    by_role = {
        "promised": (np.where(promised, held, -1).max(axis=1), everywhere),
        "promised_shorter": (np.where(promised, held, 99).min(axis=1), promised.sum(axis=1) > 1),
        "opened": (held[rows, opening], everywhere),
        "overcalled": (held[rows, overcall], everywhere),
        "other": (np.where(other, held, 0).sum(axis=1), other.any(axis=1)),
    }
    parts = [
        found.assign(role=role, cards=cards)[there] for role, (cards, there) in by_role.items()
    ]
    keys = ["message", "level", "role"]
    return shares(typed(pd.concat(parts), "role"), [*keys, "cards"], keys)


def _spade_raises(run: Run) -> pd.DataFrame:
    found = run.tally.frame(counts.SPADE_RAISES)
    held = COLUMNS["opener_spades_held"].filled(opener_holds(found["opener_spades"]))
    return shares(found.assign(**held), ["opening", "opener_spades", "answer"], ["opening"])


def _without_fit(run: Run) -> pd.DataFrame:
    """Return how often a suit without eight trumps is played, as a share of the doubles at a level."""
    found = run.tally.frame(counts.CONTRACTS)
    found["bad"] = found["final_contract"].isin(IN_SUIT) & (found["trumps"] < FIT_TRUMPS)
    table = shares(found, ["level", "bad", "last_level"], ["level"])
    return table[table["bad"]].drop(columns="bad").reset_index(drop=True)


def _with_points(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    """Add both hands' HCP in the part-scores in a suit."""
    keys = [key for key in ("level", "over_trumps") if key in table]
    points = averages(
        run.tally.frame(counts.LANDING_POINTS).query(_PART_SCORES), keys, "combined_hcp"
    )
    return table.merge(points.drop(columns="deals"), on=keys, validate="one_to_one")


def _doubles_beside(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    """Add the doubles at each level, and how many there are for each penalty pass."""
    doubled = share(
        cells(run, counts.CALL_COUNTS, ["level"]).query(WITHIN_REACH), DOUBLED, ["level"]
    )
    table["doubles"] = doubled["deals"]
    table[[*COLUMNS["ratio"].columns]] = np.transpose(ratio(table["doubles"], table["deals"]))
    return with_sessions(table, run.tally.deals)


_CHANCES = [
    *("overcalled", "of_openings", "of_overcalls", "doubled", "naive", "after_overcall"),
    *("given_double", "fit_given_double", "double_given_four"),
]


def _exact_by_auction(run: Run) -> pd.DataFrame:
    """Return the double by opening and overcall without dealing, in first seat.

    ``of_openings`` is the chance of the overcall once the opening is made, ``fit_given_double`` that
    of eight cards together in opener's longest promised suit once the double is, and
    ``double_given_four`` that of the double on exactly four cards in each suit that it promises.
    Three chances that opener has four or more in its longest promised suit stand side by side:
    ``naive``, given only that responder holds four cards in each promised suit; ``after_overcall``,
    given the two bids as well (missing if two suits are promised); and ``given_double``, given the
    double. There are no rows if the run has no exact calls of the responder.
    """
    facts = auction_facts(run.agreement)
    if not run.exact_calls:
        return facts[:0].reindex(columns=[*AUCTION, "message", *_CHANCES])
    table = facts.assign(naive=_naive(run.agreement))[~facts["above"]].set_index(list(AUCTION))
    exact, doubles = exact_table(run.agreement, calls=True), doubles_table(run.agreement)
    table["overcalled"] = _by_auction(exact[exact["call"] == ANY])
    table["doubled"] = _by_auction(exact.query(DOUBLED))
    many = _by_auction(doubles[doubles["opener_cards"] >= MANY])
    fours = fours_table(run.agreement).set_index(list(AUCTION))
    opened = next_hands_table(run.agreement).groupby("opening", observed=True)["probability"].sum()
    table = table[table["overcalled"] > 0].fillna({"doubled": 0.0})
    of_opening = table.index.get_level_values("opening").map(opened.to_dict()).astype(float)
    table["of_openings"] = table["overcalled"] / of_opening
    table["of_overcalls"] = table["doubled"] / table["overcalled"]
    table["fit_given_double"] = fours["fit"] / table["doubled"]
    table["double_given_four"] = fours["doubled_on_four"] / fours["four"]
    table["given_double"] = many.reindex(table.index) / table["doubled"]
    table["after_overcall"] = _after_overcall(run.agreement)
    return table.reset_index()[[*AUCTION, "message", *_CHANCES]]


def _naive(agreement: Agreement) -> list[float]:
    """Return for every auction the chance from the responder's cards alone."""
    unseen, elsewhere = HAND_CARDS - PROMISED_CARDS, PARTNERSHIP_CARDS
    few = range(MANY)
    one = sum(
        chance_of_holding(cards, unseen, HAND_CARDS, elsewhere)
        for cards in range(MANY, HAND_CARDS + 1)
    )
    two = 1 - sum(
        chance_of_holding(first, unseen, HAND_CARDS, elsewhere)
        * chance_of_holding(second, unseen, HAND_CARDS - first, elsewhere - unseen + first)
        for first in few
        for second in few
    )
    singles = every_sequence(agreement).one_suit_promised
    return [float(one if single else two) for single in singles]


def _after_overcall(agreement: Agreement) -> pd.Series[float]:
    """Return the chance with both bids known, by auction, if one suit, a major, is promised."""
    table = opener_majors(agreement)
    table = table[(table["responder_cards"] == PROMISED_CARDS) & table["after_overcall"].notna()]
    table = table[table["opener_holds"] == FOUR_OR_MORE]
    # If both majors are unbid, the double promises two suits.
    table = table[~table.duplicated(list(AUCTION), keep=False)]
    return table.set_index(list(AUCTION))["after_overcall"]


def _by_auction(table: pd.DataFrame) -> pd.Series[float]:
    return table.groupby(list(AUCTION), observed=True)["probability"].sum()


def opener_in_major(run: Counted, responder_cards: int) -> pd.DataFrame:
    """Return first-seat opener's holding in each unbid major, opposite a length of responder's.

    One row per auction, unbid major and holding (0 to 2, 3, 4 or more): ``opening``, ``overcall``,
    ``major``, ``opener_holds``, ``probability`` (of the auction, per deal, whatever anyone holds),
    ``naive``, ``after_opening``, ``exact`` (after the overcall as well), and the run's ``deals``,
    ``of``, ``estimate``, ``low``, ``high``, ``z``, ``p_value``. The most frequent auctions stand
    first; impossible cases are left out.
    """
    table = opener_majors(run.agreement).assign(deals=run.tally[counts.OPENER_MAJORS.name].ravel())
    of_auction = [*AUCTION, "major"]
    table["probability"] = table.groupby(of_auction, observed=True)["probability"].transform("sum")
    table = table[table["responder_cards"] == responder_cards].drop(columns="responder_cards")
    table = table[table["after_overcall"].notna()].rename(columns={"after_overcall": "exact"})
    table = table.sort_values("probability", ascending=False, kind="stable")
    table["of"] = table.groupby(of_auction, observed=True)["deals"].transform("sum")
    table = with_intervals(table.reset_index(drop=True))
    table = table.assign(**compared(table["deals"], table["of"], table["exact"]))
    first = [*of_auction, "opener_holds", "probability", "naive", "after_opening", "exact"]
    return table[[*first, "deals", "of", *COLUMNS["estimate"].columns, "z", "p_value"]]


def _four_against_five(run: Run) -> pd.DataFrame:
    """Return exactly four spades, which double, against five, which bid 1♠, after a minor and 1♥."""
    both = "overcall == '1H' and call in ('double', 'one_level_major')"
    exact = exact_table(run.agreement, run.exact_calls).query(both)
    chances = exact.pivot_table(
        "probability", "opening", "call", aggfunc="sum", observed=True
    ).reindex(columns=["double", "one_level_major"])
    table = share(run.table("calls").query(f"seat == 1 and {both}"), DOUBLED, ["opening"])
    known = chances["double"] / chances.sum(axis=1).where(lambda total: total > 0)
    table["exact"] = table["opening"].map(known).astype(float)
    return with_exact(table)


def _rules(run: Run) -> pd.DataFrame:
    """Return every rule in order: part, number, name, sentence, and how often it decides."""
    parts = []
    for table in RULE_TABLES:
        known = table.under(run.agreement).rules
        found = [
            (n, table.wordings[r.name] or r.name.replace("_", " "), r.sentence(run.agreement))
            for n, r in enumerate(known, 1)
        ]
        part = pd.DataFrame(found, columns=["rule", "rule_name", "sentence"])
        if table is OPENING:
            by_bid = run.tally[counts.EVERY_OPENING.name].sum(axis=0)
            makers = opening_rules(run.agreement)
            deals = np.bincount(makers, by_bid[: len(makers)], len(known)).astype(np.int64)
        elif table is OVERCALL:
            deals = run.tally.along(counts.NEXT_HANDS, "action")[table.name_codes]
        else:
            uses = [run.tally[count.name] for of, count in counts.RULE_COUNTS if of is table]
            deals = np.sum(uses, axis=0)[1 : len(known) + 1]
        part.insert(0, "part", table.title)
        parts.append(with_intervals(part.assign(deals=deals, of=deals.sum())))
    return pd.concat(parts, ignore_index=True)


_FEW = 60
"""Cells of a family that a reader may look at one by one."""

# --- the specifications ---

# fmt: off
TABLES: tuple[Table, ...] = (
    Table("rules", "Every rule of the agreement in order, and how often it decides",
          _rules, "part rule", whole="hands",
          within="the hands that come to the part; of the opening, all deals"),
    Table("auctions", "What the double promises and needs after each opening and overcall, and its topic",
          lambda run: auction_facts(run.agreement), "opening overcall"),
    Table("calls", "The responder's calls by seat of the opener, opening and overcall",
          counts.CALL_COUNTS, "seat opening overcall call"),
    Table("doubles",
          "The doubles by seat, auction, message, reason, fourth hand's call, opener's answer, "
          "overcaller's second call and final contract", counts.DOUBLE_COUNTS,
          "seat opening overcall message reason advancer answer overcaller_again final_contract"),
    Table("passes",
          "The responder's passes by seat, auction, kind, fourth hand's call and opener's reopening",
          counts.PASS_COUNTS, "seat opening overcall call advancer reopening"),
    Table("funnel", "Openings of one of a suit, overcalls, overcalls within reach of the double, doubles",
          lambda run: _steps(run, run.tally[counts.NEXT_HANDS.name].sum(), run.table("calls")),
          "step", whole="deals"),
    Table("funnel_by_seat",
          "The steps to a double by seat of the opener, beside exact values for the first seat",
          _funnel_by_seat, "seat step", whole="deals"),
    Table("first_seat_calls",
          "Overcalls and the responder's calls after an opening in first seat, beside exact values",
          _first_seat_calls, "opening overcall call", whole="deals"),
    Table("doubles_by_auction", "How often the responder doubles, by opening and overcall",
          counts.CALL_COUNTS, "opening overcall level message", where=WITHIN_REACH, hits=DOUBLED,
          sessions=True, then=_with_of_all, key="opening overcall",
          within="the overcalls in the row"),
    Table("doubles_by_level", "How often the responder doubles, by level of the overcall",
          counts.CALL_COUNTS, "level", where=WITHIN_REACH, hits=DOUBLED, sessions=True,
          within="the overcalls within the double's reach with the same level"),
    Table("doubles_by_message", "How often the responder doubles, by what the double promises",
          counts.CALL_COUNTS, "message", where=WITHIN_REACH, hits=DOUBLED, sessions=True,
          within="the overcalls within the double's reach with the same message"),
    Table("doubles_by_seat", "How often the responder doubles, by seat of the opener",
          counts.CALL_COUNTS, "seat", where=WITHIN_REACH, hits=DOUBLED, sessions=True,
          within="the overcalls within the double's reach with the same seat"),
    Table("doubles_by_reason", "The doubles by reason",
          counts.DOUBLE_COUNTS, "reason", of="", sessions=True),
    Table("meetings", "How often one partnership meets each kind of double, and after how many sessions",
          _meetings, "grouping case", whole="deals"),
    Table("topics", "The doubles by topic of a lesson, the most frequent first",
          counts.DOUBLE_COUNTS, "topic", of="", then=_ranked, key="rank"),
    Table("topic_parts", "The reasons for the double within each topic",
          counts.DOUBLE_COUNTS, "topic reason", of="topic", then=_by_size),
    Table("cases", "The doubles by message, level and reason, the most frequent first",
          counts.DOUBLE_COUNTS, "message level reason", of="", then=_ranked, key="rank"),
    Table("pitfalls", "Cases that are easy to get wrong, and those that look like them",
          _pitfalls, "pitfall", whole="doubles"),
    Table("points", "The doubler's total points by message and level of the overcall",
          counts.DOUBLE_POINTS, "message level total_points", of="message level"),
    Table("values", "Means and quantiles of the doubler's and both hands' points, by level of the overcall",
          partial(_values, key="level"), "measure level"),
    Table("values_by_message",
          "Means and quantiles of the doubler's and both hands' points, by what the double promises",
          partial(_values, key="message"), "measure message"),
    Table("patterns", "The doubler's shapes, suits aside, by message",
          counts.DOUBLE_SHAPES, "message pattern", of="message"),
    Table("lengths", "The doubler's cards in each suit by its part in the auction, message and level",
          _lengths, "message level role cards", whole="doubles",
          within="the doubles with the same message, level and suit (role)"),
    Table("opener_lengths", "The opener's cards in its longest promised suit, by message",
          counts.PROMISED, "message opener_cards", of="message"),
    Table("promised_fits",
          "How often both hands have eight cards in opener's promised suit, by message and level",
          counts.PROMISED, "message level", hits=f"responder_cards + opener_cards >= {FIT_TRUMPS}"),
    Table("answers_by_auction",
          "The opener's answers to a double that the fourth hand passes, by opening and overcall",
          counts.DOUBLE_COUNTS, "opening overcall answer", of="opening overcall",
          where="advancer == 'pass'",
          within="the doubles after the same opening and overcall that the fourth hand passes"),
    Table("combined_hcp",
          "The points of opener and responder together opposite the double, by level of the overcall",
          counts.COMBINED_HCP, "level combined_hcp", of="level"),
    Table("answers", "The opener's answers to the double, by message",
          counts.DOUBLE_COUNTS, "message answer", of="message"),
    Table("final_contracts", "The final contract, by level of the overcall",
          counts.DOUBLE_COUNTS, "level final_contract", of="level"),
    Table("fits", "Whether a fit was there and whether it was found, by level of the overcall",
          counts.BEST_FITS, "level outcome", of="level"),
    Table("spade_raises", "The opener's spades and answer after a minor, (1♥) and 1♠, which shows five",
          _spade_raises, "opening opener_spades answer", whole="bids",
          within="the bids of 1♠ after the same opening"),
    Table("without_fit", "Final contracts in a suit without eight trumps, by level",
          _without_fit, "level last_level", whole="doubles",
          within="the doubles at the same level"),
    Table("over_trumps",
          "Part-scores in a suit by tricks bid above the combined trumps, with both hands' points",
          counts.LANDING_POINTS, "level over_trumps", of="level", where=_PART_SCORES, then=_with_points,
          within="the part-scores in a suit after overcalls at the same level"),
    Table("above_trumps",
          "Part-scores in a suit above the level of the trumps, with both hands' points, by level",
          counts.LANDING_POINTS, "level", where=_PART_SCORES, hits="over_trumps > 0", then=_with_points,
          within="the part-scores in a suit after overcalls at the same level"),
    Table("calls_by_level", "The responder's calls by level of the overcall",
          counts.CALL_COUNTS, "level call", of="level"),
    Table("penalty_passes",
          "The responder's penalty passes compared with the doubles, by level of the overcall",
          counts.CALL_COUNTS, "level", where=WITHIN_REACH, hits="call == 'penalty_pass'",
          then=_doubles_beside, within="the overcalls within the double's reach at the same level"),
    Table("doubles_passed", "Doubles that the opener passes for penalties, by level of the overcall",
          counts.DOUBLE_COUNTS, "level", hits="answer == 'penalty_pass'"),
    Table("advancer_calls", "The fourth hand's calls over the double, by level of the overcall",
          counts.DOUBLE_COUNTS, "level advancer", of="level"),
    Table("answers_by_advancer", "The opener's answers to the double, by level and the fourth hand's call",
          counts.DOUBLE_COUNTS, "level advancer answer", of="level advancer"),
    Table("ways_to_contract", "All doubles by the fourth hand's call, opener's answer and final contract",
          counts.DOUBLE_COUNTS, "advancer answer final_contract", of=""),
    Table("contracts",
          "Final contracts with declarer and level of the last bid, by level and the fourth hand's call",
          counts.CONTRACTS, "level advancer declarer final_contract last_level", of="level advancer"),
    Table("fits_by_advancer",
          "Whether a fit was there, whether it was found and how high, by the fourth hand's call",
          counts.BEST_FITS, "advancer outcome last_level", of="advancer"),
    Table("trumps_by_level", "Our side's contracts in a suit by level of the last bid and trumps",
          counts.CONTRACTS, "last_level trumps", of="last_level", where=f"final_contract in {IN_SUIT}",
          whole="contracts", within="the contracts of our side in a suit at the same level"),
    Table("penalties",
          "What becomes of the penalty when a hand would double for it, by level and cards in their suit",
          counts.PENALTIES, "level cards_in_theirs penalty", of="level cards_in_theirs", sessions=True,
          within="the hands that would double for penalties, at the same level and with as many cards"),
    Table("exact",
          "Exact probabilities of overcalls and the responder's calls after an opening in first seat",
          lambda run: exact_table(run.agreement, run.exact_calls), "opening overcall call"),
    Table("exact_by_auction",
          "The double by opening and overcall, exactly, and opener's cards opposite it, in first seat",
          _exact_by_auction, "opening overcall"),
    Table("checks", "The joint tests of the counts against exact values, one row per family of cells",
          lambda run: joint_tests(run.families), "family"),
    Table("checked_cells",
          "Counts and their exact values in families of few cells, such as splits, openings and overcalls",
          lambda run: counterparts([f for f in run.families if 0 < len(f.counts) <= _FEW]),
          "family case", whole="deals", within="the deals that the row's case is about"),
    Table("four_opposite_four",
          "What the opener holds in an unbid major when the responder has four cards in it, in first "
          "seat, exactly and counted", lambda run: opener_in_major(run, PROMISED_CARDS),
          "opening overcall major opener_holds", whole="deals",
          within="the deals with the row's auction on which the responder has four cards in the major"),
    Table("claims", "Published figures, beside what this study finds", claims, "id"),
    Table("agreements",
          "The agreements that come with the study on the same deals, each compared with the run's",
          LEFT, "agreement", whole="deals"),
    Table("fits_unmentioned",
          "Deals with a fit in an unbid major that the responder's call neither bids nor promises, with "
          "the double and without it", LEFT, "double_played", whole="deals",
          within="the deals within both agreements' reach"),
    Table("without_double", "What becomes of the doubles under the agreement that does not play the double",
          LEFT, "came_to same_hand", whole="doubles"),
    Table("no_longer_reached",
          "Deals that come to a responder under the run's agreement and to none under another",
          LEFT, "agreement came_to"),
    Table("penalties_lost", "Hands that would double for penalties and lose the penalty, by agreement",
          LEFT, "agreement", whole="hands",
          within="the hands that would double for penalties under the agreement"),
    Table("settings_moved",
          "Every setting moved by one: the gain or the loss in the measure that it can change",
          LEFT, "moves setting by",
          within="the deals, doubles or penalty passes that the step can move"),
    Table("settings_moved_exactly",
          "Deals opened in first seat that change if a responder setting moves by one, counted and exact",
          LEFT, "setting moved", whole="deals"),
    Table("overcalls_above", "Deals with an overcall above each ceiling, in first seat, counted and exact",
          LEFT, "ceiling", whole="deals"),
    Table("four_against_five",
          "Exactly four spades, which double, against five, which bid 1♠: after a minor and 1♥, first seat",
          _four_against_five, "opening", whole="bids",
          within="the calls that show spades after the same opening", file=False),
    Table("declarers", "Who plays the hand and in what, out of all doubles",
          counts.CONTRACTS, "declarer final_contract", of="", file=False),
    Table("found_by_advancer", "Fits found by the fourth hand's call, out of all doubles with that call",
          counts.BEST_FITS, "advancer", hits="outcome == 'fit_found'", file=False),
    Table("two_kinds",
          "Final contracts of the doubles that the fourth hand passes and of the others, separately",
          counts.DOUBLE_COUNTS, "advancer final_contract", of="advancer", file=False),
    Table("penalties_at_all_levels",
          "Penalties gained and lost at all levels together, by cards in their suit",
          counts.PENALTIES, "cards_in_theirs penalty", of="cards_in_theirs", sessions=True, file=False),
)
# fmt: on
"""Every table, in the order in which the data package lists those that a run leaves on disk."""

SPECIFIED = {table.name: table for table in TABLES}
TABLE_FILES = tuple(table for table in TABLES if table.file)
"""The tables that a whole report has on disk."""
