"""The table of what the check can see: it is of the families there are, and true as far as was tried."""

import power as script
from double_study.checking.families import families
from double_study.checking.power import DEALS, SHARES, power
from scipy.stats import binom
from shared.small_runs import run_of

TABLE = power()


def test_each_fault_has_its_row_and_is_seen_by_a_family() -> None:
    assert TABLE["fault"].to_list() == [script.told(plant) for plant, *_ in script.FAULTS]
    assert set(TABLE["seen_by"]) <= {family.name for family in families(run_of("reference"))}
    assert (TABLE[list(SHARES)] > 0).all().all()
    assert (TABLE[list(SHARES)] <= 1).all().all()


def test_a_longer_run_finds_no_less() -> None:
    assert sorted(DEALS) == list(DEALS)
    assert (TABLE[SHARES[1]] <= TABLE[SHARES[0]]).all()


def test_faults_of_the_stated_size_were_found_nine_times_in_ten() -> None:
    # All runs together: a power of 0.9 gives so few or so many with chance 0.002; of one fault alone
    # fewer than 13 of 20 with chance 0.0004, a dozen faults a false alarm of 0.005.
    found, runs = int(TABLE["found"].sum()), int(TABLE["of_runs"].sum())
    assert binom.ppf(0.001, runs, script.POWER) <= found <= binom.ppf(0.999, runs, script.POWER)
    assert (TABLE["found"] >= 13).all()
    assert (TABLE["of_runs"] == script.PLANTED).all()
