"""Stopping where a share is precise: which share, when, and what looking does to its interval."""

import numpy as np
import pytest
from scipy import stats

from analysis.agreements.agreement import REFERENCE
from analysis.cards.dealing import BLOCK_DEALS
from analysis.counting import sampling as study
from analysis.counting.auction_counts import CALL_COUNTS, LANDINGS
from analysis.counting.stopping import DOUBLE_PER_OVERCALL, Precision, Share, looks
from analysis.counting.tally import DEALS
from analysis.errors import InputError
from analysis.statistics.intervals import wilson

TALLY = study.count(2 * BLOCK_DEALS, 3, REFERENCE, workers=1, progress=False)


def test_shares_against_the_tidy_tables() -> None:
    calls = TALLY.frame(CALL_COUNTS)
    doubled = calls[calls["call"] == "double"]
    counts = Share.parse(DOUBLE_PER_OVERCALL).counts(TALLY)
    assert counts == (doubled[DEALS].sum(), calls[DEALS].sum())
    here = calls[(calls["opening"] == "1D") & (calls["overcall"] == "1S") & (calls["seat"] == 2)]
    counts = Share.parse("calls:seat=2,opening=1D,overcall=1S,call=double").counts(TALLY)
    assert counts == (here.loc[here["call"] == "double", DEALS].sum(), here[DEALS].sum())
    landings = TALLY.frame(LANDINGS)
    counts = Share.parse("landings:rest=game").counts(TALLY)
    assert counts == (landings.loc[landings["rest"] == "game", DEALS].sum(), landings[DEALS].sum())


@pytest.mark.parametrize(
    ("text", "allowed"),
    [
        ("", "openings, next_hands"),
        ("calls", "seat, opening, overcall, call"),
        ("cals:call=double", "openings, next_hands"),
        ("calls:cell=double", "seat, opening, overcall, call"),
        ("calls:opening=1N", "1C, 1D, 1H, 1S"),
        ("calls:opening=1C,", "seat, opening, overcall, call"),
    ],
)
def test_cells_that_are_not_there(text: str, allowed: str) -> None:
    with pytest.raises(InputError, match=rf"^cell {text}: .*; allowed: {allowed}"):
        Share.parse(text)


def test_relative_and_absolute_figures() -> None:
    share = Share.parse(DOUBLE_PER_OVERCALL)
    met, of = share.counts(TALLY)
    low, high = wilson(met, of)
    half = float(high - low) / 2
    for absolute, width in ((True, half), (False, half / (met / of))):
        assert Precision(share, width * 1.001, absolute).reached(TALLY)
        assert not Precision(share, width * 0.999, absolute).reached(TALLY)
    # Of nothing, nothing is known, and of a share of 0 no relative precision.
    never = Share.parse("calls:opening=1C,overcall=4D,call=double")
    assert never.counts(TALLY)[0] == 0
    assert not Precision(never, 0.9).reached(TALLY)
    assert "not reached" in Precision(never, 0.9).line(TALLY)


def test_looks_are_a_quarter_apart_and_end_where_they_must() -> None:
    assert list(looks(0, 60)) == [20, 25, 31, 38, 47, 58, 60]
    assert list(looks(32, 60)) == [38, 47, 58, 60]
    assert list(looks(60, 60)) == list(looks(0, 60))[-1:]
    assert list(looks(0, 7)) == [7]


def test_looking_leaves_the_interval_its_coverage() -> None:
    """20,000 runs of a share of 3% to a relative half-width of 5%, three or more looks apart.

    The coverage of a right 95% interval on so many runs lies within 0.5 points with chance 0.999
    (3.29 standard deviations of 0.154 points); the stated overestimate, (0.05 / 1.96)^2 = 0.065%,
    is allowed four times over, and its standard error is 0.018%.
    """
    rng = np.random.default_rng(1965)
    share, runs, trials = 0.03, 20_000, 500  # trials a block: it takes some 100 blocks
    met, of = np.zeros(runs), np.zeros(runs)
    going, before = np.ones(runs, dtype=bool), 0
    for look in looks(0, 100_000):
        more = rng.binomial((look - before) * trials, share, runs)
        met, of = np.where(going, met + more, met), np.where(going, look * trials, of)
        before = look
        low, high = wilson(met, of)
        going &= (high - low) / 2 > 0.05 * met / of
        if not going.any():
            break
    assert len(np.unique(of)) >= 2
    low, high = wilson(met, of)
    covered = ((low <= share) & (share <= high)).mean()
    assert abs(covered - 0.95) < stats.norm.isf(0.0005) * np.sqrt(0.95 * 0.05 / runs)
    assert 0 < (met / of).mean() / share - 1 < 4 * (0.05 / 1.96) ** 2
