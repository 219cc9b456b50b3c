"""Compare every counted quantity that has an exact value with that value, in families of cells.

Each family has one joint test: a chi-square over all its cells, small ones pooled by the rule of
:func:`double_study.stats.goodness_of_fit`. The z of a single cell is for orientation only: it is
families that pass or fail.

The families of the deal compare cards, hands, partnerships and splits with exact values, and look for
repeated deals. The families of the bidding compare openings in every seat, and everything that follows
an opening in first seat. Two families test that deals are independent, which every interval assumes;
they have no exact values, but the spread of their counts about the mean is known.

The last family compares calls one by one. There are no exact frequencies for openers in other seats,
but the exact side still says what each class of hands calls. The first deals of a run are dealt again
and bid by the sampler, and every opening, overcall and response must be that of the hand's class, so
a correct program never fails this test.

False alarms
------------
Each family is tested at the level :data:`FALSE_ALARM` divided by the number of families (a Bonferroni
correction, valid however the families depend on each other), so that a correct program fails about
once in 1 / :data:`FALSE_ALARM` checks. The rate is approximate because chi-square is not exact if a cell
expects few deals: by simulation, a family whose smallest cell expects five deals falls below its level
0.9 to 2 times as often as it should. The test for repeated deals and the comparison of calls deal by
deal fail less often.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np
import pandas as pd
import scipy
from numpy.typing import NDArray
from scipy.special import comb

from double_study import stats
from double_study.agreements.reader import Agreement
from double_study.cards.bids import MAJORS, NO_BID, SUIT_NAMES, SUITS
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import N_HCP, SHAPES, Hands, class_of
from double_study.columns import COLUMNS, PLAYERS
from double_study.combinatorics import table as exact_side
from double_study.combinatorics import two_hands
from double_study.combinatorics.hands import N_HANDS, hand_classes, opening_bids, opening_ways
from double_study.counting.counts import FIRST_SEAT_FITS, STAGES
from double_study.counting.record import Counted
from double_study.counting.run import batches, blocks_of
from double_study.counting.tally import BITS, KEPT_SHARE, Counts, Fingerprints, Tally
from double_study.rules.batch import Batch
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import SEQUENCE, SEQUENCES, messages_by_sequence, sequence_wording
from double_study.stats import Floats, GoodnessOfFit

FALSE_ALARM = 1e-3
"""The share of checks of a correct program that fail."""

# The rounding of a sum of float64 probabilities stays far below this.
_ALL = 1 - 1e-12


@dataclass(frozen=True, eq=False)
class Family:
    """A set of mutually exclusive cells, such as the 39 patterns of the dealer's hand.

    ``labels``, ``counts`` (deals seen) and ``probabilities`` (exact; their sum is less than 1 if some
    deals belong to no cell) have an entry per cell. ``deals`` is the number of deals examined.
    ``cases`` is the whole of each cell's share, such as "5 outstanding" for the label "3-2"; without
    cases, shares are of all deals examined. ``own_test`` is the joint test, if it is not the
    chi-square over all cells.
    """

    name: str
    labels: Sequence[str]
    counts: NDArray[np.integer]
    probabilities: Floats
    deals: int
    cases: Sequence[str] = ()
    own_test: GoodnessOfFit | None = None

    @property
    def joint(self) -> GoodnessOfFit:
        if self.own_test is not None:
            return self.own_test
        counts, probabilities = self.counts, self.probabilities
        if (covered := probabilities.sum()) < _ALL:
            counts = np.append(counts, self.deals - counts.sum())
            probabilities = np.append(probabilities, 1 - covered)
        return stats.goodness_of_fit(counts, probabilities)

    def rows(self) -> pd.DataFrame:
        counts, exact = self.counts, self.probabilities
        of = np.full(len(counts), self.deals)
        labels = self.labels
        if self.cases:
            labels = [f"{case}: {label}" for case, label in zip(self.cases, labels, strict=True)]
            _, case = np.unique(self.cases, return_inverse=True)
            of = _totals(case, counts)[case]
            with np.errstate(invalid="ignore"):
                exact = exact / np.bincount(case, exact)[case]
        table = pd.DataFrame(
            {"family": self.name, "case": labels, "deals": counts, "of": of, "exact": exact}
        )
        table = stats.with_intervals(table, "deals", "of")
        table = table.assign(**stats.compared(counts, of, exact))
        return table[(counts > 0) | (self.probabilities > 0)]

    def grouped(self, name: str, labels: Sequence[str], cases: Sequence[str] = ()) -> Family:
        """Return the family with cells of one label and, if given, of one case added up."""
        found, group = _groups(tuple(labels), tuple(cases))
        probabilities = np.bincount(group, self.probabilities).astype(np.float64)
        kept = [label for _, label in found], _totals(group, self.counts), probabilities
        return Family(name, *kept, self.deals, [case for case, _ in found] if cases else ())


@lru_cache
def _groups(
    labels: tuple[str, ...], cases: tuple[str, ...]
) -> tuple[list[tuple[str, str]], NDArray[np.intp]]:
    """Return the cases and labels that there are, in order, and the place of each cell among them."""
    cells = [*zip(cases or [""] * len(labels), labels, strict=True)]
    found = sorted({*cells})
    place = {cell: at for at, cell in enumerate(found)}
    return found, np.array([place[cell] for cell in cells], dtype=np.intp)


def _totals(group: NDArray[np.intp], counts: NDArray[np.integer]) -> NDArray[np.int64]:
    # float64, in which the sums are made, holds whole numbers up to 2**53 exactly.
    return np.bincount(group, counts).astype(np.int64)


FINGERPRINTS = (1 << BITS) // KEPT_SHARE


def dealt_families(tally: Tally) -> Iterator[Family]:
    """Yield the families that check the dealer, which are the same for every agreement."""
    yield _cards(tally["cards_by_seat"])
    for seat, counts in zip(COLUMNS["each_seat"].names, tally["hand_classes"], strict=True):
        yield from _hands(seat, counts)
    yield from _partnership_lengths(tally["partnership_lengths"])
    counts = tally["partnership_hcp"]
    labels = [f"{points} HCP" for points in range(len(counts))]
    exact = two_hands.partnership_hcp_ways() / two_hands.N_PARTNERSHIPS
    yield Family("HCP of seats 1 and 3", labels, counts, exact, int(counts.sum()))
    yield from _splits(tally["major_splits"])
    yield _repeats(tally.fingerprints)


def _cards(counts: Counts) -> Family:
    """Compare how often each seat holds each card with a quarter.

    A deal gives thirteen cards to each seat, so the 52 by 4 counts are dependent: their covariance
    is that of independent cards, times 52/51, without the part that all cards share. Hence
    51/52 times the sum over cells is chi-square with 51 * 3 degrees of freedom.
    """
    cards, seats = counts.shape
    deals = int(counts[0].sum())
    expected = deals / seats
    statistic = (cards - 1) / cards * float(((counts - expected) ** 2).sum()) / max(expected, 1)
    df = (cards - 1) * (seats - 1)
    test = GoodnessOfFit(statistic, df, float(scipy.stats.chi2.sf(statistic, df)), 0)
    each = product(COLUMNS["card"].names, COLUMNS["each_seat"].names)
    labels = [f"{card} in seat {seat}" for card, seat in each]
    shares = np.full(counts.size, 1 / seats)
    return Family("cards by seat", labels, counts.ravel(), shares, deals, own_test=test)


@lru_cache
def _hand_labels() -> dict[str, list[str]]:
    """Return labels of each class of hands: by points and shape, and by coarser properties."""
    rows = np.repeat(SHAPES, N_HCP, axis=0)
    ordered = -np.sort(-rows, axis=1)
    return {
        "HCP": [f"{n:2} HCP" for n in [*range(N_HCP)] * len(SHAPES)],
        "shapes": [*map(_dashed, rows.tolist())],
        "patterns": [*map(_dashed, ordered.tolist())],
        "longest suit": [f"{n:2} cards" for n in ordered[:, 0]],
        **{SUIT_NAMES[suit]: [f"{n:2} cards" for n in rows[:, suit]] for suit in SUITS},
    }


def _hands(seat: int, counts: Counts) -> Iterator[Family]:
    labels = _hand_labels()
    name, exact = f"HCP within a shape, seat {seat}", hand_classes().ravel() / N_HANDS
    deals = int(counts.sum())
    classes = Family(name, labels["HCP"], counts.ravel(), exact, deals, labels["shapes"])
    yield classes
    for name, each in labels.items():
        yield classes.grouped(f"{name}, seat {seat}", each)


def _dashed(lengths: Iterable[int]) -> str:
    return "-".join(map(str, lengths))


def _partnership_lengths(counts: Counts) -> Iterator[Family]:
    """Yield the family of combined lengths of seats 1 and 3; the other side has the rest."""
    lengths, ways = two_hands.partnership_lengths()
    name, labels = "combined lengths of seats 1 and 3", [*map(_dashed, lengths.tolist())]
    both = Family(name, labels, counts, ways / two_hands.N_PARTNERSHIPS, int(counts.sum()))
    yield both
    for suit in SUITS:
        labels = [f"{n:2} cards" for n in lengths[:, suit]]
        yield both.grouped(f"{SUIT_NAMES[suit]} of seats 1 and 3", labels)
    longest = zip(lengths.max(axis=1), HAND_CARDS - lengths.min(axis=1), strict=True)
    labels = [f"we {ours:2}, they {theirs:2}" for ours, theirs in longest]
    yield both.grouped("longest fit", labels)
    majors = lengths[:, list(MAJORS)]
    fits = zip(_fits(majors), _fits(HAND_CARDS - majors), strict=True)
    labels = [f"we {ours}, they {theirs}" for ours, theirs in fits]
    yield both.grouped("fits in a major", labels)


def _fits(majors: NDArray[np.integer]) -> list[str]:
    sets = ("none", "hearts", "spades", "both")
    return [sets[code] for code in ((majors >= FIT_TRUMPS) @ np.array([1, 2])).tolist()]


def _splits(counts: Counts) -> Iterator[Family]:
    """Yield how the cards of a major that seats 1 and 3 lack split between seats 2 and 4.

    There is a family for each major, and one for spades given the split of hearts, which determines
    the vacant places of seat 2.
    """
    hearts, in_2, spades, spades_in_2 = np.indices(counts.shape).reshape(4, -1)
    # Seats 1 and 3 take their 26 cards, then seat 2 takes its 13 of the other 26.
    unseen = 2 * HAND_CARDS
    ways = comb(HAND_CARDS, hearts) * comb(HAND_CARDS, spades)
    ways *= comb(unseen, unseen - hearts - spades)
    out, spades_out = HAND_CARDS - hearts, HAND_CARDS - spades
    ways *= comb(out, in_2) * comb(spades_out, spades_in_2)
    ways *= comb(unseen - out - spades_out, HAND_CARDS - in_2 - spades_in_2)
    chances = np.asarray(
        ways / (two_hands.N_PARTNERSHIPS * comb(unseen, HAND_CARDS)), dtype=np.float64
    )
    table = np.stack([out, in_2, spades_out, spades_in_2], axis=1)[ways > 0].tolist()
    both = Family(
        "spades, given how hearts lie",
        [f"{s} in seat 2" for _, _, _, s in table],
        counts.ravel()[ways > 0],
        chances[ways > 0],
        int(counts.sum()),
        [f"hearts {h}-{o - h}, {t} spades" for o, h, t, _ in table],
    )
    yield both
    for suit, column in zip(MAJORS, (0, 2), strict=True):
        sides = [(row[column], row[column + 1]) for row in table]
        labels = [f"{max(h, o - h)}-{min(h, o - h)}" for o, h in sides]
        cases = [f"{o:2} outstanding" for o, _ in sides]
        yield both.grouped(f"split of {SUIT_NAMES[suit]}", labels, cases)


def _repeats(fingerprints: Fingerprints) -> Family:
    """Test that no deal is dealt twice.

    The fingerprints of a tally differ in all bits except those by which their deals were picked. Two
    different deals have the same fingerprint with probability 2**-51, so the number of pairs is Poisson.
    """
    held = len(fingerprints)
    seen, mean = held - len(np.unique(fingerprints)), comb(held, 2) / FINGERPRINTS
    test = GoodnessOfFit(float(seen), 0, float(scipy.stats.poisson.sf(seen - 1, mean)), 0)
    chance = np.array([mean / max(held, 1)])
    return Family("deals that came twice", ["alike"], np.array([seen]), chance, held, own_test=test)


_FIRST_SEAT = COLUMNS["seat"].code(1)


def bid_families(run: Counted) -> Iterator[Family]:
    tally, agreement = run.tally, run.agreement
    opened = tally["openings"][COLUMNS["any_seat"].code(1)]
    labels = [COLUMNS["any_opening"].wording(name) for name in COLUMNS["any_opening"].names[1:]]
    exact = opening_ways(agreement)[1:] / N_HANDS
    yield Family("openings", labels, opened[1:], exact, tally.deals)

    labels = [*COLUMNS["any_opening"].wordings.values()]
    for seat, counts in enumerate(tally["openings_by_seat"][1:], 2):
        exact = opening_ways(agreement, seat) / N_HANDS
        name = f"openings if nobody has opened, seat {seat}"
        yield Family(name, labels, counts, exact, int(counts.sum()))

    next_hands = tally["next_hands"][_FIRST_SEAT].ravel()
    table = exact_side.next_hands_table(agreement)
    labels = [
        f"{COLUMNS['opening'].of(row)}, {COLUMNS['action'].of(row)}"
        for row in table.to_dict("records")
    ]
    exact = table["probability"].to_numpy()
    yield Family("the next hand's calls", labels, next_hands, exact, tally.deals)

    overcalls = tally["calls"][_FIRST_SEAT].sum(axis=1)
    labels = [sequence_wording(row) for row in SEQUENCE.frame().to_dict("records")]
    table = exact_side.exact_table(agreement, run.exact_calls)
    exact = table.loc[table["call"] == exact_side.ANY, "probability"].to_numpy()
    yield Family("overcalls", labels, overcalls, exact, tally.deals)

    table = table[table["call"] != exact_side.ANY]
    if len(table):
        seen = tally["calls"][_FIRST_SEAT]
        rows = table.to_dict("records")
        labels = [f"{sequence_wording(row)}, {COLUMNS['call'].of(row)}" for row in rows]
        seen = seen[SEQUENCE.codes(table), [COLUMNS["call"].code(row["call"]) for row in rows]]
        exact = table["probability"].to_numpy()
        yield Family("the responder's calls", labels, seen, exact, tally.deals)

    table = exact_side.opener_majors(agreement)
    counts = tally["opener_majors"]
    for position, suit in enumerate(MAJORS):
        name = SUIT_NAMES[suit]
        rows = table[table["major"] == name].to_dict("records")
        held = COLUMNS["responder_cards"].of
        cases = [f"{sequence_wording(row)}, responder {held(row)}" for row in rows]
        labels = [f"opener {COLUMNS['opener_holds'].of(row)}" for row in rows]
        exact, seen = np.array([row["probability"] for row in rows]), counts[:, position].ravel()
        yield Family(f"opener's {name}", labels, seen, exact, tally.deals, cases)
    if run.exact_calls:
        yield from _doubled(tally, agreement, exact_side.doubles_table(agreement))


def _doubled(tally: Tally, agreement: Agreement, exact: pd.DataFrame) -> Iterator[Family]:
    """Yield the families of the double: opener's cards in the promised suit, reasons, messages."""
    keys = [*SEQUENCE.columns, "reason", "opener_cards"]
    counted = tally.frame(FIRST_SEAT_FITS)
    table = counted.merge(exact, on=keys, how="outer")
    table = table.fillna({"deals": 0, "probability": 0.0})
    messages = messages_by_sequence(agreement)
    rows = table.to_dict("records")
    auctions, reasons = [sequence_wording(row) for row in rows], [*map(COLUMNS["reason"].of, rows)]
    given = Family(
        "opener's cards given the double",
        [f"opener {COLUMNS['opener_cards'].of(row)}" for row in rows],
        table["deals"].to_numpy(dtype=np.int64),
        table["probability"].to_numpy(),
        tally.deals,
        [f"{auction}, {reason}" for auction, reason in zip(auctions, reasons, strict=True)],
    )
    yield given
    yield given.grouped("reasons for the double", reasons, auctions)
    promised = [COLUMNS["message"].wording(messages[code]) for code in SEQUENCE.codes(table)]
    yield given.grouped("messages of the double", promised)


def independence_families(tally: Tally) -> Iterator[Family]:
    """Yield how far auctions went, by stretch of the run and by how far the previous deal went."""
    by_stretch = tally["outcomes_by_stretch"]
    passed_out, opened = by_stretch[:, 0], by_stretch[:, 1:]
    by_stage = opened.reshape(len(opened), -1, len(STAGES)).sum(axis=1)
    yield _family("stages by stretch", np.column_stack([passed_out, by_stage]))
    yield _family("seats and stages by stretch", by_stretch)
    yield _family("stages of neighbours", tally["neighbours"])


def _family(name: str, table: Counts) -> Family:
    """Return a family that has only a joint test."""
    none = np.empty(0)
    test = stats.independence(table)
    return Family(name, [], none.astype(np.int64), none, int(table.sum()), own_test=test)


SAMPLE_BLOCKS = 20
"""The number of blocks, the first of a run, whose deals are compared one by one: a million deals."""

STEPS = ("opening", "next hand's call", "responder's call")

Differ = tuple[NDArray[np.integer], NDArray[np.bool_]]
"""The opener's seat, 0 if nobody opened, and whether the call differs; shape (deals,) each."""


def deal_by_deal(run: Counted) -> Family:
    """Count the deals with a call that differs from that of the hand's class, by step and opener's seat.

    There should be none. A fault that shows in one deal of n is missed with probability
    (1 - 1/n)^deals.
    """
    blocks = blocks_of(run.tally.deals)[:SAMPLE_BLOCKS]
    classes, seats = _class_calls(run.agreement), (0, *COLUMNS["seat"].names)
    counts = np.zeros((len(STEPS), len(seats)), dtype=np.int64)
    for batch, _ in batches(run.record.seed, blocks, run.agreement):
        for step, (seat, differs) in enumerate(classes.differing(batch)):
            counts[step] += np.bincount(seat[differs], minlength=len(seats))
    return Family(
        "calls deal by deal",
        [f"{step}, opener in seat {seat}" for step in STEPS for seat in seats],
        counts.ravel(),
        np.zeros(counts.size),
        sum(deals for _, deals in blocks),
    )


class ClassCalls:
    """The call of every class of hands at each step, according to the exact side."""

    def __init__(self, agreement: Agreement) -> None:
        self._openings = [opening_bids(agreement, seat) for seat in COLUMNS["seat"].names]
        calls, bids = zip(
            *(two_hands.next_hand_calls(agreement, suit) for suit in SUITS), strict=True
        )
        self._next_calls, self._overcalls = np.stack(calls), np.stack(bids)
        self._responses = np.stack(
            [exact_side.responder_calls(agreement, *auction) for auction in SEQUENCES]
        )

    def differing(self, deals: Batch) -> tuple[Differ, Differ, Differ]:
        """Return, for each of :data:`STEPS`, the deals that reach the step and where the sampler differs."""
        opened, overcalled = deals.at("opened"), deals.at("overcalled")
        return self._at_opening(deals), self._at_next_hand(opened), self._at_response(overcalled)

    def _at_opening(self, b: Batch) -> Differ:
        seat, bid = np.zeros(len(b), np.int8), np.full(len(b), NO_BID)
        for number in reversed(COLUMNS["seat"].names):
            hands = Hands(b["words"][number - 1])
            good = _flag(hands.good_in(hands.longest(*SUITS)))
            bids = self._openings[number - 1][*_class(hands), good]
            seat = np.where(bids != NO_BID, number, seat)
            bid = np.where(bids != NO_BID, bids, bid)
        return b["any_seat"], (seat != b["any_seat"]) | (bid != b["opening_bid"])

    def _at_next_hand(self, b: Batch) -> Differ:
        hands, opened = _deal_by_deal_hands(b, "overcaller"), b["opening"]
        suit = hands.longest_but(opened)
        quality = _flag(hands.honour_in(suit)) + _flag(hands.good_in(suit))
        place = opened, *_class(hands), quality, _flag(hands.stopper_in(opened))
        action, overcall = self._next_calls[place], self._overcalls[place]
        return b["seat"], (action != b["action"]) | (overcall != b["overcall_bid"])

    def _at_response(self, b: Batch) -> Differ:
        hands = _deal_by_deal_hands(b, "responder")
        suit = np.array([bid.denomination for _, bid in SEQUENCES])[b["auction"]]
        flags = _flag(hands.good_in(suit)), _flag(hands.stopper_in(suit))
        call = self._responses[b["auction"], *_class(hands), *flags]
        return b["seat"], call != b["call"]


_class_calls = lru_cache(maxsize=1)(ClassCalls)


def _deal_by_deal_hands(b: Batch, player: str) -> Hands:
    """Return a player's hands by the opener's seat, derived without the sampler's own columns."""
    seat = (b["seat"] - 1 + PLAYERS.index(player)) % COLUMNS["seat"].size
    return Hands(b.root["words"][seat, b["deal"]])


def _class(hands: Hands) -> tuple[NDArray[np.integer], NDArray[np.integer]]:
    shape, hcp = np.divmod(class_of(hands.words), N_HCP)
    return shape, hcp


def _flag(yes: NDArray[np.bool_]) -> NDArray[np.integer]:
    return yes.astype(np.intp)


# --- all families, tested ---


def families(run: Counted) -> list[Family]:
    """Return every counted quantity of a run that has an exact value, and the tests of independence."""
    dealt, independent = dealt_families(run.tally), independence_families(run.tally)
    return [*dealt, *independent, *bid_families(run), deal_by_deal(run)]


def counterparts(of: Sequence[Family]) -> pd.DataFrame:
    """Return counts beside their exact counterparts, one row per cell.

    Columns ``family``, ``case``, ``deals`` (in the case), ``of`` (the deals it is a share of),
    ``exact``, ``estimate``, ``low``, ``high`` (Wilson's, pointwise), ``z`` (NaN if a cell expects
    too few deals for z to mean much) and ``p_value`` (of the binomial itself). Impossible cells that
    were not seen are left out.
    """
    return pd.concat([family.rows() for family in of], ignore_index=True)


def joint_tests(of: Sequence[Family]) -> pd.DataFrame:
    """Return the joint test of each family, one row per family, and whether it passes.

    Columns ``family``, ``deals`` (examined), ``cells`` (compared: one more than ``df``), ``pooled``
    (small cells put together), ``statistic``, ``df``, ``p_value``, ``fails_below`` (a smaller p-value
    fails) and ``passes``. The test for repeated deals is not a chi-square: its statistic is the
    number of repeats, its df 0. The independence families have no exact values; they are tested for
    independence.
    """
    rows = [
        (family.name, family.deals, test.cells, test.pooled, test.statistic, test.df, test.p_value)
        for family, test in ((family, family.joint) for family in of)
    ]
    columns = ["family", "deals", "cells", "pooled", "statistic", "df", "p_value"]
    table, level = pd.DataFrame(rows, columns=columns), FALSE_ALARM / len(of)
    return table.assign(fails_below=level, passes=table["p_value"] >= level)
