"""What becomes of deals, by stretch and by the deal before, counted again one deal at a time."""

import itertools
from collections import Counter

import numpy as np
from double_study.agreements.reader import REFERENCE
from double_study.counting import counts
from double_study.counting.run import cards_of, count_blocks
from double_study.rules.batch import Batch
from double_study.rules.response import DOUBLE_CALL

SEED = 5
# The stretches of the last block are those of the others again, and it ends inside one.
BLOCKS = ((3, 50_000), (2, 50_000), (402, 3_000))


def outcomes(block: tuple[int, int]) -> list[tuple[int, str]]:
    """Return the opener's seat and how far the auction went, for the deals looked at of a block."""
    deals = Batch(cards_of(SEED, [block]), REFERENCE)
    found = []
    overcalled = deals.at("overcalled")
    calls = dict(zip(overcalled["deal"].tolist(), overcalled["call"].tolist(), strict=True))
    for deal in range(min(block[1], counts.LOOKED_AT)):
        seat, bid = int(deals["any_seat"][deal]), int(deals["opening_bid"][deal])
        if not seat:
            stage = "passed_out"
        elif deal in calls:
            stage = "doubled" if calls[deal] == DOUBLE_CALL else "overcalled"
        else:
            # One of a suit are the codes 0 to 3.
            stage = "one_of_a_suit" if bid < 4 else "another_opening"
        found.append((seat, stage))
    return found


def test_stretches_and_neighbours_are_counted_deal_by_deal() -> None:
    tally = count_blocks(SEED, BLOCKS, REFERENCE)
    stretches: Counter[tuple[object, ...]] = Counter()
    neighbours: Counter[tuple[object, ...]] = Counter()
    for block in BLOCKS:
        found = outcomes(block)
        for place, outcome in enumerate(found):
            stretch = (block[0] // 2 * counts.LOOKED_AT + place) // counts.STRETCH
            stretches[stretch % counts.STRETCHES, *outcome] += 1
        neighbours.update((*one, *other) for one, other in itertools.pairwise(found))
    for count, expected in (
        (counts.OUTCOMES_BY_STRETCH, stretches),
        (counts.NEIGHBOURS, neighbours),
    ):
        rows = tally.frame(count).itertuples(index=False, name=None)
        assert {row[:-1]: row[-1] for row in rows} == dict(expected)


def test_fits_in_first_seat_are_the_doubles_there() -> None:
    tally = count_blocks(SEED, BLOCKS[:1], REFERENCE)
    by_reason = tally[counts.FIRST_SEAT_FITS.name].sum(axis=2)
    doubles = tally[counts.DOUBLE_COUNTS.name][0]
    expected = doubles.sum(axis=tuple(range(2, doubles.ndim)))
    np.testing.assert_array_equal(by_reason, expected)
    assert by_reason.sum() > 0
