"""The reference compared with every other agreement that is shipped, once for all tests."""

from functools import lru_cache

from double_study.agreements.reader import load, shipped
from double_study.comparing import Comparison, compare

SEED = 4_711
DEALS = 100_000


@lru_cache
def comparisons() -> dict[str, Comparison]:
    """By the name of the other agreement."""
    agreements = [load(name) for name in shipped()]
    found = compare(agreements, DEALS, SEED, workers=1, progress=False)
    return {comparison.second.name: comparison for comparison in found}
