"""The opener asked, what comes next, how often: against the plain reading and dealing."""

import json
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache, partial

import double_study as ds
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.asking import odds
from double_study.asking.answer import Answer, full, short
from double_study.asking.odds import SEED, WHAT, how_often
from double_study.asking.question import Question, reply
from double_study.columns import COLUMNS
from double_study.counting import run as study
from double_study.counting.counts import CALL_COUNTS
from double_study.errors import InputError
from double_study.rules.terms import SEQUENCE
from plain.auction import whole_auction
from plain.words import Hand, read_hand
from scipy.stats import binomtest
from shared.commands import ran, said
from shared.plain_reading import dealt_around
from shared.table_rows import cases, each_row

RESPONDER, OPENER = "K752.AJ64.83.T92", "K5.AJ43.KQJ64.92"
# Random tests have fixed seeds. A correct program fails one of them with this chance or less.
FALSE_ALARM = 1e-4
DEALS = 25_000


@pytest.fixture(autouse=True, scope="module")
def _answered_once() -> Iterator[None]:
    """Answer a question once, however many tests ask it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Answer, "to", lru_cache(Answer.to))
        yield


def second_turns(number: int, seed: int) -> Iterator[tuple[str, str, list[Hand]]]:
    """Yield deals in which the opener is to call again: its hand, the auction so far, all hands."""
    deals = ds.deals(20_000, seed=seed, hands=True)
    came_round = deals["call"].isin(["pass", "penalty_pass"]) & (deals["advancer"] == "pass")
    for row in each_row(deals[came_round | (deals["call"] == "double")].head(number)):
        hands = [getattr(row, f"hand_{seat}") for seat in (1, 2, 3, 4)]
        calls = row.auction.split()[: row.seat + 3]
        yield hands[row.seat - 1], " ".join(calls), list(map(read_hand, hands))


def test_the_opener_s_call_is_that_of_the_plain_reading() -> None:
    auctions = set()
    for hand, auction, hands in second_turns(250, seed=851):
        answer = reply(Question.read(hand, auction))
        read = whole_auction(hands)
        made = read.calls[len(auction.split())][1]
        assert str(answer.call) == {"X": "double"}.get(made, made), (hand, auction)
        # The opener's call is the same whether or not the advancer takes the double out.
        reopening = {"double_taken_out": "double"}.get(str(read.reopening), read.reopening)
        assert answer.rule in (read.answer, reopening)
        auctions.add(tuple(auction.split()[-2:]))
    assert {("X", "P"), ("P", "P")} < auctions


def test_partner_waits_as_often_as_in_plain_dealing() -> None:
    found = dealt_around(OPENER, "1D 1S P P", DEALS, seed=852)
    answer = Answer.to(OPENER, "1D 1S P P")
    assert len(found) > 100
    assert binomtest(len(found), DEALS, answer.chances.chance[0]).pvalue > FALSE_ALARM
    assert answer.waits is not None
    waits = sum(bid.call == "penalty_pass" for _, bid in found)
    assert binomtest(waits, len(found), answer.waits[0]).pvalue > FALSE_ALARM
    assert answer.waits[1] < answer.waits[0] < answer.waits[2]


def test_the_double_leads_where_it_does_in_plain_dealing() -> None:
    found = [bid for _, bid in dealt_around(RESPONDER, "1D 1S", DEALS, seed=853)]
    follows = Answer.to(RESPONDER, "1D 1S").follows
    assert follows is not None
    assert len(found) > 200
    ends = Counter((bid.last_bid, bid.contract) for bid in found)
    for table, seen in (
        (follows["advancer"], {"pass": sum(bid.advancer == "pass" for bid in found)}),
        (follows["contracts"], {"3NT": ends["3NT", "three_notrump"], "4♥": ends["4H", "game"]}),
    ):
        shares = table.set_index(WHAT)["estimate"]
        assert shares.sum() == pytest.approx(1)
        for what, number in seen.items():
            assert binomtest(number, len(found), shares[what]).pvalue > FALSE_ALARM, what


def test_how_often_is_what_the_study_counts() -> None:
    deals = 100_000
    tally = study.count(deals, SEED, REFERENCE, workers=1, progress=False)
    counts = tally[CALL_COUNTS.name]
    for auction, seat in (("1D 1S", 0), ("pass 1D 1S", 1)):
        question = Question.read(RESPONDER, auction)
        often = how_often(question, reply(question), deals)
        if often.counted is not None:  # the exact figure may have been computed before
            sequence = SEQUENCE.code("1D", "1S")
            assert often.counted == counts[seat, sequence, COLUMNS["call"].code("double")]
            assert often.low < often.share < often.high


LINES = """
K752.AJ64.83.T92 | 1D 1S | ♠K752 ♥AJ64 ♦83 ♣1092 after 1♦ 1♠: double.
K752.AJ64.83.T92 | 1D 1S | The rule “the double” asks for 4 hearts, 6 total points, 5 HCP and at most 4 \
spades; you hold 4 hearts, 8 total points, 8 HCP and 4 spades.
K752.AJ64.83.T92 | 1D 1S | The chance of eight cards or more together: hearts 28.6%.
8752.J64.K83.T92 | 1D 1S | ♠8752 ♥J64 ♦K83 ♣1092 after 1♦ 1♠: pass.
8752.J64.K83.T92 | 1D 1S | No other call fits. The nearest, “raise of opener's minor”, asks for 4 \
diamonds and 6 support points; you hold 3 diamonds and 4 support points.
K5.AJ43.KQJ64.92 | 1D 1S X 2S | ♠K5 ♥AJ43 ♦KQJ64 ♣92 after 1♦ 1♠ double 2♠: 3♥.
K5.AJ43.KQJ64.92 | 1D 1S X 2S | asks for 4 hearts and 13 support points; you hold 4 hearts and 16 support \
points.
K5.AJ43.KQJ64.92 | 1D 1S X 2S | hearts on every deal drawn.
K5.AJ43.KQJ64.92 | 1D 1S P P | : double.
K5.AJ43.KQJ64.92 | 1D 1S P P | asks for 2 cards in each unbid suit
K5.AJ43.KQJ64.92 | 1D 1S P P | partner has a penalty pass
A.AKQ32.KQ32.432 | 1H 4S X P | no deal has this auction and this hand
K752.AJ64.83.T92 | 1D 1H     | asks for exactly 4 spades, 6 total points, 5 HCP and at most
"""


@pytest.mark.parametrize(("hand", "auction", "line"), cases(LINES))
def test_three_lines(hand: str, auction: str, line: str) -> None:
    status, out, err = ran(["ask", hand, auction])
    told = out if status == 0 else err
    assert len(told.splitlines()) <= 4
    assert line in told.replace("\n", " ")


def test_a_rare_auction_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    assert odds.MAX_DEALS == 2_000_000
    monkeypatch.setattr(odds, "sampled", partial(odds.sampled, max_deals=60_000))
    with pytest.raises(InputError, match="none of 60,000 deals around this hand has it"):
        short(Answer.to(OPENER, "1D 1S X 7S"))


def test_every_line_fits_the_page_and_names_the_suits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(odds, "how_often", partial(odds.how_often, deals=50_000))
    for hand, auction, _ in second_turns(4, seed=854):
        answer = Answer.to(hand, auction)
        told = [*short(answer), *full(answer)]
        assert max(map(len, told)) <= 98
        for phrase in ("the suit opened", "overcaller's suit;", "a promised suit", "_"):
            assert not any(phrase in line for line in short(answer)), told


def test_json_of_the_opener_s_questions() -> None:
    answer = json.loads(said(f"ask {OPENER} 1D 1S P P --json"))
    assert answer["auction"] == "1D 1S pass pass"
    assert sum(answer["responder_length"]["spades"]) == pytest.approx(1)
    low, middle, high = (answer[f"penalty_pass_chance{end}"] for end in ("_low", "", "_high"))
    assert low < middle < high
    assert answer["share_of_deals_low"] < answer["share_of_deals"]
    assert answer["next"] is None
    answer = json.loads(said(f"ask {RESPONDER} 1D 1S --json"))
    assert sum(row["estimate"] for row in answer["next"]["opener"]) == pytest.approx(1)
    assert answer["penalty_pass_chance"] is None
