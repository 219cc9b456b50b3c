"""Published claims beside this study's figures: the file is faithful, and the figures are right."""

from fractions import Fraction

import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import PASS
from double_study.checking.claims import FILE, ID, STUDY, claims
from double_study.columns import COLUMNS
from double_study.counting import run as study
from double_study.rules.terms import SEQUENCE
from double_study.stats import wilson
from double_study.tables import Run, opener_in_major
from published.published_values import printed_numbers, rows
from scipy.stats import hypergeom

DEALS, SEED = 200_000, 12
TWENTY_OR_MORE = [rows("table")[f"hcp.one.{points}"] for points in range(20, 31)]


@pytest.fixture(scope="module", params=["reference", "no double"])
def run(request: pytest.FixtureRequest) -> Run:
    agreement = REFERENCE.changed("response.double", request.param == "reference")
    return Run.of(study.count(DEALS, SEED, agreement, workers=1, progress=False), SEED, agreement)


def test_every_published_claim_is_there_word_for_word() -> None:
    kept = pd.read_csv(FILE, dtype=str).set_index(ID)
    published = rows("claim")
    assert list(kept.index) == list(published)
    for name, row in published.items():
        [ours] = kept.loc[[name], ["claim", "published", "source"]].to_numpy().tolist()
        assert ours == [row.quantity, row.published_value, row.source]
    assert kept.notna().all().all()


def test_every_claim_has_a_figure(run: Run) -> None:
    table = claims(run)
    assert table[STUDY].notna().all()


def test_figures_agree_with_outside_ones(run: Run) -> None:
    figures = claims(run).set_index(ID)[STUDY]
    # boco_san 2012 (row ratio.bal of published_values.csv): 1.371 times as many.
    assert figures["claim.walker"].startswith("37.1% more")
    # The ACBL Encyclopedia's table of HCP, rows hcp.one.20 to hcp.one.30 (more points are
    # rarer than all the rounding): each printed figure is
    # right to half a unit of its last digit, and so is ours.
    printed = [printed_numbers(row.published_value)[0] for row in TWENTY_OR_MORE]
    slack = sum(number.half_unit for number in printed) + Fraction(1, 2_000_000)
    ours = Fraction(figures["claim.smith.20"].partition("%")[0]) / 100
    assert abs(ours - sum(number.value for number in printed)) <= slack
    overcalls = run.tally["calls"].sum()
    low, high = (100 * float(limit) for limit in wilson(overcalls, DEALS))
    said = f"{100 * overcalls / DEALS:.2f}% ({low:.2f} to {high:.2f}) of all deals"
    assert figures["claim.magee.overcall"].startswith(said)


def test_a_claim_about_an_auction_gets_that_auctions_own_figure(run: Run) -> None:
    auction = SEQUENCE.names.index(("1S", "2C"))
    came_round = run.tally["passes"].sum(axis=(0, 2))[:, COLUMNS["advancer"].code(PASS)]
    own, every = (
        100 * part[COLUMNS["reopening"].code(PASS)] / part.sum()
        for part in (came_round[auction], came_round.sum(axis=0))
    )
    said = claims(run).set_index(ID)[STUDY]["claim.reopen.notauto"]
    first, pooled = said.split("; after any opening and overcall ")
    assert float(first.partition("%")[0]) == pytest.approx(own, abs=0.05)
    assert float(pooled.partition("%")[0]) == pytest.approx(every, abs=0.05)


@pytest.mark.whole
def test_opener_in_major_states_the_quoted_figure_and_the_true_one(run: Run) -> None:
    table = opener_in_major(run, 4)
    four = table[table["opener_holds"] == "4 or more"]
    assert four["naive"].to_numpy() == pytest.approx(hypergeom(39, 9, 13).sf(3), rel=1e-10)
    sums = table.groupby(["opening", "overcall", "major"])[["naive", "exact", "estimate"]].sum()
    assert sums[["naive", "exact"]].to_numpy() == pytest.approx(1.0, rel=1e-12)
    # Counted, too, this auction comes up most: by some 120 deals, twice their standard error, in
    # this run; a run of another seed would put another first one time in fifty.
    auctions = run.tally["calls"][0].sum(axis=-1)
    opening, overcall = SEQUENCE.names[int(auctions.argmax())]
    assert table[["opening", "overcall"]].iloc[0].to_list() == [opening, overcall]
    assert (opening, overcall) == ("1D", "1S")
