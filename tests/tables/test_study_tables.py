"""The tables of the study against plain counting, deal by deal.

The auctions themselves are compared with a plain reading of the rules elsewhere; here each table is
counted again from them, one deal at a time, with the words of the table's own description. About
five seconds.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from operator import attrgetter
from statistics import mean, stdev

import numpy as np
import pandas as pd
import pytest
from double_study import tables
from double_study.columns import typed
from double_study.combinatorics.table import ANY
from double_study.counting.counts import PENALTIES
from double_study.rules.response import double_needs
from double_study.stats import wilson
from double_study.tables import Run
from scipy import stats
from shared.small_runs import AGREEMENTS, DEALS, Hand, as_mapping, hands, run_of
from shared.table_rows import cases, each_row

C, D, H, S = range(4)


def trumps(hand: Hand) -> int:
    """Return both hands' cards in the suit last bid."""
    suit = hand.contract.denomination
    return int(hand.responder[suit] + hand.opener[suit])


SUIT_RESTS = {"game", "part_score_fit", "part_score_no_fit"}


def outcome(hand: Hand) -> str:
    """Return whether a fit was there and found, of a hand that doubled."""
    there = max(a + b for a, b in zip(hand.opener, hand.responder, strict=True)) >= 8
    if hand.final_contract in SUIT_RESTS:
        if trumps(hand) >= 8:
            return "fit_found"
        return "fit_missed" if there else "no_fit_in_suit"
    if hand.final_contract in ("three_notrump", "notrump_part_score"):
        return "fit_but_notrump" if there else "no_fit_in_notrump"
    if hand.final_contract == "their_contract":
        return "fit_but_theirs" if there else "no_fit_theirs"
    return str(hand.final_contract)


KEYS: dict[str, Callable[[Hand], object]] = {
    "level": lambda h: h.overcall.level,
    "topic": lambda h: f"{h.message}_{h.overcall.level}",
    "pattern": lambda h: "-".join(map(str, sorted(h.responder, reverse=True))),
    "opener_cards": lambda h: h.opener[longest_promised(h)],
    "last_level": lambda h: h.contract.level,
    "outcome": outcome,
    "trumps": trumps,
}
"""Keys of tables that are no attributes of a hand."""

# Tables of doubles by the keys that they are counted by, and of which.
COUNTED = """
doubles_by_level    | level
doubles_by_message  | message
doubles_by_seat     | seat
cases               | message level reason
topics              | topic
topic_parts         | topic reason
points              | message level total_points
patterns            | message pattern
opener_lengths      | message opener_cards
promised_fits       | message level                           | eight promised
answers             | message answer
advancer_calls      | level advancer
answers_by_advancer | level advancer answer
ways_to_contract    | advancer answer final_contract
contracts           | level advancer final_contract last_level
final_contracts     | level final_contract
fits                | level outcome
fits_by_advancer    | advancer outcome
trumps_by_level     | last_level trumps                       | in a suit
without_fit         | level last_level                        | without a fit
doubles_passed      | level                                   | passed
"""
WHICH: dict[str, Callable[[Hand], bool]] = {
    "eight promised": lambda h: (
        h.opener[longest_promised(h)] + h.responder[longest_promised(h)] >= 8
    ),
    "in a suit": lambda h: h.final_contract in SUIT_RESTS,
    "without a fit": lambda h: h.final_contract in SUIT_RESTS and trumps(h) < 8,
    "passed": lambda h: h.answer == "penalty_pass",
}
SUMMED = ("contracts", "fits_by_advancer")
"""Tables that have other keys besides."""

every_agreement = pytest.mark.parametrize("name", AGREEMENTS)


def doubled(name: str = "reference") -> list[Hand]:
    return [hand for hand in hands(name) if hand.call == "double"]


def within_reach(name: str) -> list[Hand]:
    return [hand for hand in hands(name) if hand.call != "above_ceiling"]


def promised(hand: Hand) -> list[int]:
    suits = {C, D, H, S} - {hand.opening, hand.overcall.denomination}
    return sorted(suits & {H, S} or suits)


@every_agreement
def test_the_funnel_narrows_as_counted(name: str) -> None:
    table = run_of(name).table("funnel")
    narrower = hands(name), within_reach(name), doubled(name)
    assert table["deals"].to_list()[1:] == list(map(len, narrower))
    assert table["of"].eq(DEALS).all()
    given = table["deals"] / table["deals"].shift(fill_value=DEALS)
    np.testing.assert_allclose(table["given"], given)


def counted(hands: Iterable[Hand], keys: list[str]) -> dict[object, int]:
    """Return the hands by their keys; a single key stands alone."""
    of = [KEYS.get(key, attrgetter(key)) for key in keys]
    found = Counter(tuple(key(hand) for key in of) for hand in hands)
    return {key if len(keys) > 1 else key[0]: n for key, n in found.items()}


@every_agreement
def test_tables_of_doubles(name: str) -> None:
    for table, by, *which in cases(COUNTED):
        keys, found = by.split(), run_of(name).table(table)
        if table in SUMMED:
            found = found.groupby(keys, observed=True, as_index=False)[["deals"]].sum()
        expected = counted(filter(WHICH[which[0]] if which else None, doubled(name)), keys)
        assert as_mapping(found, *keys) == expected, table


@every_agreement
def test_shares_of_the_doubles(name: str) -> None:
    run = run_of(name)
    for key in ("level", "message", "seat"):
        table = run.table(f"doubles_by_{key}")
        assert as_mapping(table, key, value="of") == counted(within_reach(name), [key])
        low, high = wilson(table["deals"], table["of"])
        np.testing.assert_array_equal(table[["low", "high"]].T, [low, high])
    calls = counted(doubled(name), ["level", "advancer"])
    for row in each_row(run.table("answers_by_advancer")):
        assert row.of == calls[row.level, row.advancer]
    assert run.table("ways_to_contract")["of"].eq(len(doubled(name))).all()
    contracts = run.table("contracts")
    theirs = contracts["declarer"].isin(["overcaller", "advancer"])
    assert (contracts["final_contract"].isin(["their_contract", "defended"]) == theirs).all()


def test_one_partnership_meets_half_of_the_doubles() -> None:
    table = run_of("reference").table("doubles_by_level")
    # 24 boards, of which one partnership opens half of those that are opened.
    np.testing.assert_allclose(table["per_session"], 24 * table["deals"] / DEALS / 2)
    for row in each_row(table):
        chance, boards = row.deals / DEALS / 2, round(row.boards)
        assert 1 - (1 - chance) ** boards >= 0.9 > 1 - (1 - chance) ** (boards - 1)
        assert row.boards_low <= row.boards <= row.boards_high
        assert row.per_session_low <= row.per_session <= row.per_session_high


@every_agreement
def test_meetings_count_every_double_once_in_each_grouping(name: str) -> None:
    table = run_of(name).table("meetings")
    for _, part in table.groupby("grouping"):
        assert part["deals"].sum() == len(doubled(name))


@every_agreement
def test_cases_and_topics_are_ranked_and_add_up(name: str) -> None:
    table, topics = run_of(name).table("cases"), run_of(name).table("topics")
    assert table["rank"].to_list() == list(range(1, len(table) + 1))
    np.testing.assert_allclose(table["cumulated"], table["estimate"].cumsum())
    assert table["deals"].is_monotonic_decreasing
    assert topics["deals"].is_monotonic_decreasing


def cheapest(hand: Hand) -> int:
    return 1 if hand.overcall.denomination > hand.opening else 2


def silenced(hand: Hand) -> bool:
    """Return a pass over a jump with the promise and the points that the simple overcall would ask."""
    low, suit = cheapest(hand), hand.overcall.denomination
    held = min(hand.responder[s] for s in promised(hand)) >= 4 >= hand.responder[suit]
    needs = double_needs(AGREEMENTS["reference"](), np.array(low), np.array(suit))
    enough = bool(hand.hcp >= 5 and hand.total_points >= needs)
    return hand.call == "pass" and hand.overcall.level > low and held and enough


def over_one_heart(hand: Hand) -> bool:
    return hand.opening < H and str(hand.overcall) == "1H"


def over_one_diamond(hand: Hand) -> bool:
    return hand.opening == C and str(hand.overcall) == "1D"


# A pitfall of a double, and what looks like it and is something else.
PITFALLS: dict[str, tuple[Callable[[Hand], bool], Callable[[Hand], bool]]] = {
    "five_hearts_too_light": (
        lambda h: promised(h) == [H] and h.responder[H] >= 5,
        lambda h: h.call == "new_major" and promised(h) == [H],
    ),
    "four_and_strong": (
        lambda h: h.reason == "four_and_strong",
        lambda h: h.call == "new_major" and len(promised(h)) == 1 and not over_one_heart(h),
    ),
    "exactly_four_spades": (
        over_one_heart,
        lambda h: h.call == "one_level_major" and over_one_heart(h),
    ),
    "both_majors_over_diamonds": (
        over_one_diamond,
        lambda h: h.call == "one_level_major" and over_one_diamond(h),
    ),
    "both_minors": (
        lambda h: promised(h) == [C, D],
        lambda h: h.call == "new_minor" and promised(h) == [C, D],
    ),
    "jump_overcall": (lambda h: h.overcall.level > cheapest(h), silenced),
}


def test_pitfalls_and_what_looks_like_them() -> None:
    table = run_of("reference").table("pitfalls")
    found, alike = as_mapping(table, "pitfall"), as_mapping(table, "pitfall", value="alike")
    assert found == {name: sum(map(holds, doubled())) for name, (holds, _) in PITFALLS.items()}
    assert alike == {name: sum(map(holds, hands())) for name, (_, holds) in PITFALLS.items()}


@every_agreement
def test_points_and_their_means(name: str) -> None:
    run = run_of(name)
    by_message = run.table("values_by_message")
    total = by_message[by_message["measure"] == "total_points"]
    points: dict[str, list[int]] = {}
    for hand in doubled(name):
        points.setdefault(hand.message, []).append(hand.total_points)
    means = {message: mean(seen) for message, seen in points.items()}
    assert total.set_index("message")["mean"].to_dict() == pytest.approx(means)
    values = run.table("values")
    measures: dict[str, Callable[[Hand], int]] = {
        "total_points": lambda h: h.total_points,
        "hcp": lambda h: h.hcp,
        "combined_hcp": lambda h: h.hcp + h.opener_hcp,
    }
    for measure, of in measures.items():
        for row in each_row(values[values["measure"] == measure]):
            seen = sorted(of(h) for h in doubled(name) if h.overcall.level == row.level)
            assert row.deals == len(seen)
            assert row.mean == pytest.approx(mean(seen))
            if len(set(seen)) > 1:
                law = stats.t(len(seen) - 1, row.mean, stdev(seen) / len(seen) ** 0.5)
                assert (row.mean_low, row.mean_high) == pytest.approx(law.interval(0.95), rel=1e-9)
            else:
                assert np.isnan([row.mean_low, row.mean_high]).all()
            assert row.median == seen[(len(seen) - 1) // 2]


@every_agreement
def test_lengths(name: str) -> None:
    seen: Counter[object] = Counter()
    for hand in doubled(name):
        key, held = (hand.message, hand.overcall.level), hand.responder
        shown = sorted((held[suit] for suit in promised(hand)), reverse=True)
        others = {C, D, H, S} - {hand.opening, hand.overcall.denomination} - set(promised(hand))
        seen[*key, "promised", shown[0]] += 1
        seen[*key, "opened", held[hand.opening]] += 1
        seen[*key, "overcalled", held[hand.overcall.denomination]] += 1
        if len(shown) == 2:
            seen[*key, "promised_shorter", shown[1]] += 1
        if others:
            (rest,) = others
            seen[*key, "other", held[rest]] += 1
    lengths = run_of(name).table("lengths")
    assert as_mapping(lengths, "message", "level", "role", "cards") == seen


def longest_promised(hand: Hand) -> int:
    """Return opener's longest promised suit; between equals, the higher-ranking."""
    return max(promised(hand), key=lambda suit: (hand.opener[suit], suit))


@every_agreement
def test_tricks_over_trumps(name: str) -> None:
    run = run_of(name)
    over: Counter[tuple[int, int]] = Counter()
    points: dict[int, list[int]] = {}
    for hand in doubled(name):
        if hand.final_contract in SUIT_RESTS - {"game"}:
            tricks = hand.contract.level + 6
            over[hand.overcall.level, max(-4, min(4, tricks - trumps(hand)))] += 1
            points.setdefault(hand.overcall.level, []).append(hand.hcp + hand.opener_hcp)
    assert as_mapping(run.table("over_trumps"), "level", "over_trumps") == over
    above = run.table("above_trumps")
    beyond: Counter[int] = Counter()
    for (level, excess), deals in over.items():
        beyond[level] += deals * (excess > 0)
    assert as_mapping(above, "level") == +beyond
    means = {level: mean(seen) for level, seen in points.items()}
    assert above.set_index("level")["mean"].to_dict() == pytest.approx(means)


def test_one_spade_over_one_heart_is_raised_on_three() -> None:
    table = run_of("reference").table("spade_raises")
    bid = [h for h in hands() if h.call == "one_level_major" and over_one_heart(h)]
    cards = ("0 to 2", "3", "4 or more")
    held = Counter(("1C 1D".split()[h.opening], cards[np.clip(h.opener[S], 2, 4) - 2]) for h in bid)
    summed = table.groupby(["opening", "opener_spades"], as_index=False)[["deals"]].sum()
    assert as_mapping(summed, "opening", "opener_spades") == held
    assert (table["answer"].eq("no_raise") == table["opener_spades"].eq("0 to 2")).all()


@every_agreement
def test_what_is_given_up(name: str) -> None:
    run = run_of(name)
    called = Counter((h.overcall.level, h.call) for h in hands(name))
    assert as_mapping(run.table("calls_by_level"), "level", "call") == called
    table = run.table("penalty_passes")
    for row in each_row(table):
        assert row.deals == called[row.level, "penalty_pass"]
        assert row.doubles == called[row.level, "double"]
        if row.deals:
            assert row.ratio == pytest.approx(row.doubles / row.deals)
            assert row.ratio_low <= row.ratio <= row.ratio_high


@every_agreement
def test_a_penalty_is_had_or_lost_in_one_way(name: str) -> None:
    run = run_of(name)
    table = run.table("penalties")
    assert table["deals"].sum() == run.tally[PENALTIES.name].sum() > 0
    shares = table.groupby(["level", "cards_in_theirs"], observed=True)["estimate"].sum()
    np.testing.assert_allclose(shares, 1)
    five = table[table["cards_in_theirs"] == "five_or_more"]
    defended = Counter(hand.overcall.level for hand in hands(name) if hand.call == "penalty_pass")
    assert five.groupby("level")["deals"].sum().to_dict() == defended


def test_first_seat_stands_beside_its_exact_values(monkeypatch: pytest.MonkeyPatch) -> None:
    of_reference = run_of("reference")
    run = Run(of_reference.tally, of_reference.record)
    # Chances made up for the test: the table must take them as they come.
    rows = ("1D", "1S", ANY, 0.01), ("1D", "1S", "double", 0.003), ("1H", "3S", "double", 0.0)
    exact = pd.DataFrame(rows, columns=["opening", "overcall", "call", "probability"])
    exact = typed(exact, "opening", "overcall", "call_or_any")
    monkeypatch.setattr(tables, "exact_table", lambda *_: exact)
    next_hands = pd.DataFrame({"probability": [0.2, 0.1]})
    monkeypatch.setattr(tables, "next_hands_table", lambda _: next_hands)
    table = run.table("first_seat_calls")
    first = [h for h in hands() if h.seat == 1]
    seen = [h for h in first if h.opening == D and str(h.overcall) == "1S"]
    assert table["deals"].to_list()[:2] == [len(seen), sum(h.call == "double" for h in seen)]
    expected = DEALS * 0.01
    z = (len(seen) - expected) / np.sqrt(expected * 0.99)
    assert table["z"].iloc[0] == pytest.approx(z)
    by_seat = run.table("funnel_by_seat").set_index(["seat", "step"])
    for step, chance in (("opened", 0.3), ("overcalled", 0.01), ("doubled", 0.003)):
        assert by_seat.loc[(1, step), "exact"] == pytest.approx(chance)
    assert by_seat.loc[2:, ["exact", "z"]].isna().all(axis=None)
    assert by_seat.loc[(1, "doubled"), "deals"] == sum(h.call == "double" for h in first)
