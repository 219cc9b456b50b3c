"""The plain reading by another agreement than the reference.

It gives every setting the name that a user gives it, and was written apart from the package.
"""

from contextlib import AbstractContextManager
from typing import Any

import plain.bidding as plain
from double_study.agreements.reader import REFERENCE, Agreement


def plain_values(agreement: Agreement) -> dict[str, Any]:
    """Return every setting of an agreement by its key, as a file and the plain reading have it."""
    found = agreement.settings()
    return {one.key: one.field.metadata["kind"].written(one.value) for one in found}


def plainly(agreement: Agreement) -> AbstractContextManager[None]:
    """Have the plain reading play by ``agreement`` inside the block."""
    standing = plain_values(REFERENCE)
    moved = {key: to for key, to in plain_values(agreement).items() if to != standing[key]}
    return plain.played(moved)
