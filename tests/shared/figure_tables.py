"""Tables of figures that no run alone gives: agreements, settings, odds, hands, z, made up or dealt here."""

from dataclasses import replace
from functools import cache

import numpy as np
import pandas as pd
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.asking import odds as on
from double_study.asking.question import Question
from double_study.cards.bids import Bid
from double_study.columns import COLUMNS
from double_study.counting import responder_hands as held
from double_study.rules.terms import SEQUENCE_CODE
from double_study.stats import paired_difference, wilson
from double_study.tables import Run, shares


@cache
def agreements_compared() -> pd.DataFrame:
    """Four agreements, made up, the second of which never doubles."""
    both, first, second, neither = np.array(
        [[400, 0, 350, 390], [0, 400, 50, 10], [0, 0, 20, 30], [9600, 9600, 9580, 9570]]
    )
    differences = np.stack(paired_difference(both, second, first, neither))
    differences[:, 0] = 0
    table = pd.DataFrame({"agreement": ["mine", "never", "sound", "light_calls"]})
    deals = both + second
    low, high = wilson(deals, 10_000)
    table = table.assign(deals=deals, of=10_000, estimate=deals / 10_000, low=low, high=high)
    table[[*COLUMNS["difference"].columns]] = differences.T
    return table


@cache
def settings_moved() -> pd.DataFrame:
    """Sixteen settings, made up: the first moves one way only, the last three change nothing."""
    steps = [(s, by) for s in range(16) for by in (1, -1) if (s, by) != (0, -1)]
    gained = np.array([0 if s > 12 else 90 - 5 * s if by == 1 else 3 for s, by in steps])
    lost = np.array([0 if s > 12 else 2 if by == 1 else 60 - 3 * s for s, by in steps])
    both = np.full(len(steps), 300)
    difference = np.stack(paired_difference(both, gained, lost, 9_000 - both - gained - lost))
    table = pd.DataFrame(
        {
            "setting": [f"response.made_up_{s}" for s, _ in steps],
            "meaning": [f"points of call {s}" for s, _ in steps],
            "standing": [str(s) for s, _ in steps],
            "by": [by for _, by in steps],
            "of": 9_000,
            "first_only": lost,
            "second_only": gained,
        }
    )
    table[[*COLUMNS["difference"].columns]] = difference.T
    return table


@cache
def chances() -> on.Odds:
    """Odds from 5,000 deals or so, in the proportions of the exact ones."""
    exact = on.odds(Question.read("K752.AJ64.83.T92", "1D 1S"))
    given = np.round(exact.given / exact.given.sum() * 5_000)
    return replace(exact, given=given, kept=int(given.sum()), dealt=9_000)


@cache
def hands() -> held.ResponderHands:
    return held.responder_hands(REFERENCE, 20_000, 5)


def calls_of(agreement: Agreement) -> pd.DataFrame:
    table = held.calls(hands(), agreement, SEQUENCE_CODE[0, Bid(1, 2).code])
    return table[table["deals"] > 0].reset_index(drop=True)


def z_scores(run: Run) -> pd.DataFrame:
    """Cells made up: forty well filled, and three that expect too few deals to be drawn."""
    random = np.random.Generator(np.random.PCG64(11))
    expected = np.array([0.5] * 40 + [0.0001] * 3)
    return pd.DataFrame({"of": 10_000, "exact": expected, "z": random.standard_normal(43)})


def spades(run: Run) -> pd.DataFrame:
    raises = run.table("spade_raises")
    return shares(raises, ["opening", "opener_spades"], within=["opening"])
