"""The public functions beside a plain reading of the same deals, pandas' own queries and each other."""

import double_study as ds
import numpy as np
import pandas as pd
import plain.bidding as plain
import pytest
from double_study import how_often
from double_study.cards.bids import Bid
from double_study.cards.deal import BLOCK_DEALS, deal_block
from double_study.checking.families import deal_by_deal
from double_study.columns import PLAYERS
from plain.words import SUITS, balanced, high_card_points, length, read_bid, total_points
from shared.plain_reading import plain_hands

PLAIN_DEALS, SEED = 6_000, 2026
SUIT_NAMES = ("clubs", "diamonds", "hearts", "spades")
OF_THE_TEXT = ("seat", "opening", "overcall", "call", "reason", "advancer", "answer")
NAMES = {"X": "X", "pass": "P"}


@pytest.fixture(scope="module")
def read_plainly() -> pd.DataFrame:
    """Return each deal with an overcall, from the plain reading alone, one row per deal."""
    cards = deal_block(SEED, 0)[:, :PLAIN_DEALS]
    rows = {}
    for deal, hands in enumerate(zip(*map(plain_hands, cards), strict=True)):
        auction = plain.whole_auction(hands)
        if auction.overcall is None:
            continue
        row = {name: getattr(auction, name) for name in OF_THE_TEXT}
        level, suit = read_bid(auction.overcall)
        opened = read_bid(auction.opening)[1]
        row |= {"level": level, "message": plain.message(opened, suit, level)}
        row["auction"] = " ".join(NAMES.get(call, call) for _, call in auction.calls)
        for turn, player in enumerate(PLAYERS):
            hand = hands[(auction.seat - 1 + turn) % 4]
            row[f"{player}_hcp"] = high_card_points(hand)
            row |= {f"{player}_{SUIT_NAMES[s]}": length(hand, s) for s in SUITS}
            row[f"{player}_in_overcalled"] = length(hand, suit)
            row[f"{player}_balanced"] = balanced(hand)
            if player == "responder":
                row["responder_points"] = total_points(hand, suit)
        rows[deal] = row
    return pd.DataFrame.from_dict(rows, orient="index")


@pytest.fixture(scope="module")
def deals() -> pd.DataFrame:
    return ds.deals(PLAIN_DEALS, hands=True)


def values(column: pd.Series) -> list[object]:
    """Return the values of a column, None for what is missing."""
    return column.astype(object).where(column.notna(), None).tolist()


def test_columns_beside_the_plain_reading(read_plainly: pd.DataFrame, deals: pd.DataFrame) -> None:
    assert deals.index.tolist() == read_plainly.index.tolist()
    for name in read_plainly:
        assert values(deals[name]) == values(read_plainly[name]), name


def test_columns_that_the_reading_has_not_follow_from_others(deals: pd.DataFrame) -> None:
    assert {*how_often.FIELDS} == {*deals} - {"auction", *(f"hand_{seat}" for seat in range(1, 5))}
    # The bid is the responder's call in the auction, where it is neither a pass nor a double.
    calls = zip(deals["auction"].str.split(), deals["seat"], strict=True)
    called = [[*auction, None][seat + 1] for auction, seat in calls]
    bids = [call if call not in (None, "P", "X") else None for call in called]
    assert values(deals["bid"]) == bids
    over = deals[deals["side"].notna()]
    last = over["auction"].str.replace("X", "P").str.replace(" P", "").str.split().str[-1]
    # A pair that settles the contract does so without a bid of its own, above the last one.
    contract = over["contract"].astype(str)
    settled = contract != last
    assert (contract.map(Bid.parse) > last.map(Bid.parse))[settled].all()
    assert settled.any()
    assert not settled.all()
    theirs = over["final_contract"].isin(["defended", "their_contract"])
    assert theirs.tolist() == (over["side"] == "theirs").tolist()
    assert len(over) > 100


CONDITIONS = [
    "call == 'double'",
    "level == 1 and call != 'double'",
    "responder_hcp + opener_hcp >= 25 or opener_spades - responder_spades > 2",
    "not (level == 2 or responder_balanced)",
    "call in ['double', 'pass'] and seat not in (1, 3)",
    "6 <= responder_points < 10 and overcall <= '2C'",
    "opener_balanced and not responder_in_overcalled == 0",
]


@pytest.mark.parametrize("condition", CONDITIONS)
def test_a_condition_chooses_what_pandas_chooses(condition: str, deals: pd.DataFrame) -> None:
    chosen = deals.query(condition)
    assert 0 < len(chosen) < len(deals)
    assert ds.deals(PLAIN_DEALS, where=condition).index.tolist() == chosen.index.tolist()
    assert ds.count(PLAIN_DEALS, where=condition)["deals"].tolist() == [len(chosen)]
    assert ds.share(deals, condition)["deals"].tolist() == [len(chosen)]


@pytest.mark.parametrize(
    "denied", ["answer != 'pass'", "not answer == 'pass'", "not answer in ['pass']"]
)
def test_what_is_missing_meets_no_condition_or_denial(denied: str, deals: pd.DataFrame) -> None:
    doubled = deals[deals["call"] == "double"]
    expected = int((doubled["answer"] != "pass").sum())
    assert 0 < expected < len(doubled)
    assert ds.count(PLAIN_DEALS, where=denied)["deals"].item() == expected
    assert ds.share(deals, denied)["deals"].item() == expected


def test_counts_add_up_over_workers_and_over_parts() -> None:
    n, by = 5 * BLOCK_DEALS + 777, ["opening", "call", "answer"]
    one, two = (ds.count(n, by=by, where="level <= 2", workers=workers) for workers in (1, 2))
    pd.testing.assert_frame_equal(one, two)
    table = ds.deals(n, where="level <= 2")
    assert one["deals"].sum() == len(table)
    beside = table.groupby(by, observed=True, dropna=False).size()
    assert one["deals"].tolist() == beside.tolist()
    assert one.attrs == table.attrs
    assert one.attrs["deals"] == n
    assert one["answer"].isna().any()


def test_every_deal_is_there_if_asked_for() -> None:
    every, usual = ds.deals(20_000, every=True), ds.deals(20_000)
    assert every.index.tolist() == list(range(20_000))
    pd.testing.assert_frame_equal(
        every.dropna(subset="overcall").astype(usual.dtypes), usual, check_dtype=False
    )
    by_seat = ds.count(20_000, by="seat", every=True)
    assert by_seat["deals"].sum() == 20_000
    opened = every["seat"].value_counts(dropna=False).sort_index()
    assert by_seat.dropna()["deals"].tolist() == opened.tolist()[:4]


def test_shares_have_wilsons_interval() -> None:
    # Ten of forty: 0.1419 to 0.4019, by the closed form (Wilson 1927) in plain arithmetic.
    table = pd.DataFrame({"level": [1, 2], "deals": [10, 30]})
    row = ds.share(table, "level == 1").iloc[0]
    z, k, n = 1.959963984540054, 10, 40
    middle, half = k + z * z / 2, z * np.sqrt(k * (n - k) / n + z * z / 4)
    low, high = (middle - half) / (n + z * z), (middle + half) / (n + z * z)
    assert row.tolist() == pytest.approx([10, 40, 0.25, low, high], abs=1e-12)


def test_agreements_on_the_same_deals_are_what_each_counts() -> None:
    n = 60_000
    mine = ds.agreement().changed("response.double_one", 8, name="mine")
    table = ds.compare("reference", mine, "light_overcalls", n=n, by=["level", "call"])
    for name, agreement in (("reference", "reference"), ("mine", mine), ("light_overcalls",) * 2):
        part = table[(table["agreement"] == name) & (table["deals"] > 0)]
        alone = ds.count(n, by=["level", "call"], agreement=agreement)
        assert part["deals"].tolist() == alone["deals"].tolist()
    first = table[table["agreement"] == "reference"]
    for name in ("mine", "light_overcalls"):
        part = table[table["agreement"] == name]
        difference = part["share"].to_numpy() - first["share"].to_numpy()
        assert part["difference"].to_numpy() == pytest.approx(difference, abs=1e-12)
        assert (part["difference_low"] <= part["difference"]).all()
        assert (part["difference"] <= part["difference_high"]).all()
    over = ds.compare("reference", mine, n=4 * BLOCK_DEALS, workers=2)
    pd.testing.assert_frame_equal(over, ds.compare("reference", mine, n=4 * BLOCK_DEALS, workers=1))


def test_a_rule_of_ones_own_does_what_it_says_here_and_in_other_processes() -> None:
    n, weak = 4 * BLOCK_DEALS, "in_overcalled == 0 and points <= 9"
    mine = ds.agreement().with_rule("response", "pass", weak, before="double", name="voids pass")
    before, after = ds.deals(n), ds.deals(n, agreement=mine)
    holds = (before["responder_in_overcalled"] == 0) & (before["responder_points"] <= 9)
    # Rules before the double come first, and above the ceiling there is no call.
    names = before["call"].cat.categories
    first = before["call"].isin([*names[: list(names).index("double")], "above_ceiling"])
    moved = holds & ~first
    assert 50 < (moved & (before["call"] == "double")).sum()
    assert (after.loc[moved, "call"] == "pass").all()
    assert (after.loc[~moved, "call"] == before.loc[~moved, "call"]).all()
    calls = after["call"].value_counts(sort=False)
    for workers in (1, 2):
        counts = ds.count(n, by="call", agreement=mine, workers=workers)
        assert counts["deals"].tolist() == calls[calls > 0].tolist()
    other = ds.agreement().with_rule("response", "pass", weak, after="double")
    assert len({mine.digest, other.digest, ds.agreement().digest}) == 3
    # In the rules in words, and in the answer to a hand.
    asked = ds.ask("AJ75.QT52.-.JT952", "1C 1D", mine)
    assert (asked["call"], asked["sentence"]) == ("pass", weak)


def test_exact_values_follow_a_rule_of_ones_own() -> None:
    """The exact side sorts the hands of each deal as the dealer's bidding does, under added rules."""
    weak, strong = "in_overcalled == 0 and hcp <= 9", "hcp >= 13 and in_overcalled >= 3"
    mine = ds.agreement().with_rule("response", "pass", weak, before="double", name="voids pass")
    mine = mine.with_rule("response", "double", strong, before="pass", name="both")
    run = ds.run(20 * BLOCK_DEALS, agreement=mine, workers=1)
    moved = ds.compare("reference", mine, n=BLOCK_DEALS, workers=1)
    assert (moved["difference"].abs() * BLOCK_DEALS).max() > 20
    assert not deal_by_deal(run).counts.any()


def test_a_rule_with_a_bid_holds_only_where_the_bid_is_high_enough() -> None:
    rule = "response", "new_major", "hearts >= 5"
    bold = ds.agreement().with_rule(*rule, before="strong_raise", bid="2H", name="bold")
    table = ds.deals(100_000, agreement=bold)
    free = (table["overcall"] < "2H") & (table["responder_hearts"] >= 5)
    assert free.sum() > 1000
    assert (table.loc[free, "bid"] == "2H").all()
    high = (table["overcall"] >= "2H") & (table["call"] != "above_ceiling")
    assert high.sum() > 1000
    assert not (table.loc[high, "bid"] == "2H").any()


def test_a_table_of_the_reports_has_types_order_and_source() -> None:
    table = ds.table("calls")
    assert table["call"].cat.ordered
    assert table["opening"].cat.categories.tolist() == ["1C", "1D", "1H", "1S"]
    assert {"deals", "seed", "agreement", "agreement_digest", "version"} == {*table.attrs}
    assert table["deals"].sum() < table.attrs["deals"]


def test_a_run_has_the_tables_of_the_same_deals() -> None:
    calls = ds.run(deals=BLOCK_DEALS, workers=1).table("calls")
    beside = ds.count(BLOCK_DEALS, by=["seat", "opening", "overcall", "call"])
    assert calls["deals"].tolist() == beside["deals"].tolist()
