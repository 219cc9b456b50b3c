"""The functions of :mod:`double_study`, its public interface.

For an unknown name they raise :class:`~double_study.errors.InputError`, which lists similar names.
"""

import json
import os
from collections.abc import Sequence
from contextlib import nullcontext
from functools import partial, reduce
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from double_study import how_often as on
from double_study.agreements import reader
from double_study.asking.answer import Answer, as_json
from double_study.cards.bids import SUITS, Bid
from double_study.cards.deal import BLOCK_DEALS
from double_study.cards.notation import holding_text
from double_study.columns import COLUMNS, every_cell, named
from double_study.combinatorics import table as exact_side
from double_study.comparing import check_several
from double_study.conditions import check_known, check_names, of_frame, parse
from double_study.counting import run as study
from double_study.counting.cluster import cluster as cluster_at
from double_study.counting.record import HANDED_OVER
from double_study.counting.run import DEFAULT_SEED, batches
from double_study.counting.tally import Blocks, Counts, Tally
from double_study.datapackage import RUN_FILE, TABLES_FOLDER
from double_study.errors import InputError
from double_study.escape import quoted
from double_study.own_agreement import plain
from double_study.rules.auction import DOUBLE_CODE, NO_CALL, call_codes, rebid
from double_study.rules.batch import DEALS, Array, Batch
from double_study.rules.terms import SEQUENCE
from double_study.sources import CHECKOUT, version
from double_study.stats import paired_difference, wilson
from double_study.tables import READING_DEALS, TABLE_FILES, Run, handed_over
from double_study.tabulation import with_facts

_SMALL = 2_000_000
"""Deals up to which starting processes takes longer than counting."""

AnyAgreement = str | Path | reader.Agreement


def deals(
    n: float,
    seed: int = DEFAULT_SEED,
    agreement: AnyAgreement = "reference",
    where: str | None = None,
    hands: bool = False,
    every: bool = False,
) -> pd.DataFrame:
    """Deal ``n`` deals and return those with an overcall, one row per deal.

    Parameters
    ----------
    n
        Number of deals to deal. The table has those on which one side opens one of a suit and the
        next hand overcalls in a suit, about one in six.
    seed
        Seed of the deals, by default that of the commands. The same seed gives the same deals,
        whatever ``n``.
    agreement
        Agreement to bid by: a name, a file, or what :func:`agreement` returns.
    where
        Return only the deals that meet this condition, as for :func:`count`.
    hands
        Add the four hands (``hand_1`` is the dealer's) and the auction, as text.
    every
        Return all ``n`` deals, including those without an opening or an overcall.

    Returns
    -------
    DataFrame
        Index ``deal``, the number of the deal. The columns are those of ``help(double_study)``:
        ordered categoricals, small whole numbers and booleans, missing if the auction did not come
        that far. ``attrs`` has the number of deals, the seed, the agreement with its digest, and the
        version of the study.

    Raises :class:`InputError` for an argument that cannot be used, with what is allowed.

    Examples
    --------
    >>> import double_study as ds
    >>> table = ds.deals(10_000)
    >>> table.query("call == 'double'")["opener_hcp"].mean().round(1)
    np.float64(13.3)
    """
    n, seed = _numbers("n", n, seed)
    bid_by = plain(agreement)
    where, stage = on.checked(where, "where"), DEALS if every else on.BASE
    fields = {name: on.Field(column, stage) for name, column in on.FIELDS.items()}
    parts = []
    for batch, blocks in batches(seed, study.blocks_of(n), bid_by):
        part = on.chosen(batch.at(stage), where, stage)
        columns = {name: field.series(field.codes(part)) for name, field in fields.items()}
        table = pd.DataFrame(columns)
        if hands:
            table = table.join(_texts(batch, part["deal"]))
        number = pd.Index(part["deal"] + blocks[0][0] * BLOCK_DEALS, name="deal")
        parts.append(table.set_index(number))
    return _with_attrs(pd.concat(parts), bid_by, deals=n, seed=seed)


def count(
    n: float,
    by: str | Sequence[str] | None = None,
    where: str | None = None,
    seed: int = DEFAULT_SEED,
    agreement: AnyAgreement = "reference",
    every: bool = False,
    workers: int | None = None,
    cluster: str | None = None,
    progress: bool = False,
) -> pd.DataFrame:
    """Count deals by any columns.

    Parameters
    ----------
    n, seed, agreement, every
        As for :func:`deals`.
    by
        Columns to count by; without them the result is one number.
    where
        A condition as text, such as ``"responder_in_overcalled == 0 and level <= 2"``: columns,
        numbers, quoted names of categories, ``+``, ``-``, comparisons, ``in`` a list, ``and``,
        ``or``, ``not`` and parentheses, written as in pandas' queries. A comparison with a missing
        value is false, and so are its ``!=`` and ``not``.
    workers
        Number of processes; by default one per processor, or only this process for a few deals. The
        counts do not depend on the number.
    cluster
        Address of a Dask scheduler to count on instead.
    progress
        Show a progress bar on standard error.

    Returns
    -------
    DataFrame
        Columns ``by`` and ``deals``, one row per combination that came up, in order. ``attrs`` are
        as for :func:`deals`.

    Raises
    ------
    Failure
        If a worker process dies or a worker of the cluster has another version of the study.

    Examples
    --------
    >>> import double_study as ds
    >>> ds.count(100_000, by="level")
       level  deals
    0      1  10223
    1      2   6145
    2      3   1109
    3      4    174
    """
    n, seed = _numbers("n", n, seed)
    bid_by = plain(agreement)
    asked = on.field_count(on.checked_by(by), on.checked(where, "where"), every=every)
    counts = counted(asked, n, seed, bid_by, workers, cluster, progress)[asked.name][0]
    seen = np.flatnonzero(counts) if asked.by else np.arange(1)
    table = asked.frame(seen).assign(deals=counts.ravel()[seen])
    return _with_attrs(table, bid_by, deals=n, seed=seed)


def counted(
    asked: on.FieldCount,
    n: int,
    seed: int,
    agreement: reader.Agreement,
    workers: int | None,
    cluster: str | None,
    progress: bool,
    **more: Any,
) -> Tally:
    """Count a question and return a tally with one table; ``more`` are arguments of ``study.count``."""
    where: dict[str, Any] = {"workers": _workers(workers, n)}
    with cluster_at(cluster) if cluster else nullcontext() as at:
        if at is not None:
            where = at._asdict()
        return study.count(n, seed, agreement, progress=progress, counts=(asked,), **where, **more)


def share(table: pd.DataFrame, of: str, by: str | Sequence[str] | None = None) -> pd.DataFrame:
    """Return the share of deals that meet a condition, with its 95% interval.

    Parameters
    ----------
    table
        Counts with a column ``deals``, as :func:`count` and :func:`table` return them, or one row
        per deal, as :func:`deals` does.
    of
        Condition over the table's columns, written as for :func:`count`.
    by
        Columns within each combination of which the share is taken.

    Returns
    -------
    DataFrame
        One row per combination, which is the index, or one row without ``by``. Columns: ``deals``
        that meet the condition, ``of``, all deals of the row, the ``share``, and the limits ``low``
        and ``high`` of Wilson's interval.

    Raises :class:`InputError` for an argument that cannot be used, with what is allowed.

    Examples
    --------
    >>> import double_study as ds
    >>> calls = ds.count(1e6, by=["level", "call"])
    >>> ds.share(calls, "call == 'double'", by="level").round(3)
           deals      of  share    low   high
    level
    1      23483  104287  0.225  0.223  0.228
    2       9908   60447  0.164  0.161  0.167
    3       1887   11201  0.168  0.162  0.176
    4          0    1920  0.000  0.000  0.002
    """
    keys = [by] if isinstance(by, str) else list(by or ())
    for name in keys:
        check_known("by", name, table.columns, "column")
    expression = parse(of, "of")
    check_names(expression, table.columns)
    each = table["deals"] if "deals" in table else pd.Series(1, index=table.index)
    met = each.where(expression.mask(of_frame(table)), 0)
    counts = pd.DataFrame({"deals": met, "of": each})
    if keys:
        counts = counts.groupby([table[key] for key in keys], observed=True, dropna=False).sum()
    else:
        counts = counts.sum().to_frame().T
    low, high = wilson(counts["deals"], counts["of"])
    result = counts.assign(share=counts["deals"] / counts["of"], low=low, high=high)
    result.attrs = dict(table.attrs)
    return result


def run(
    deals: float = READING_DEALS,
    seed: int = DEFAULT_SEED,
    agreement: AnyAgreement = "reference",
    workers: int | None = None,
    progress: bool = False,
) -> Run:
    """Count a run of the study and return it; its method ``table(name)`` returns the study's tables.

    In a notebook that ``double-study report`` runs, return the run that the command counted instead,
    whatever the arguments.

    Parameters
    ----------
    deals, seed, agreement, workers, progress
        As for :func:`count`.

    Raises :class:`InputError` for an argument that cannot be used, with what is allowed.

    Examples
    --------
    >>> import double_study as ds
    >>> run = ds.run(deals=50_000)
    >>> int(run.table("calls")["deals"].sum())
    8755
    """
    if path := os.environ.get(HANDED_OVER):
        return handed_over(path)
    n, seed = _numbers("deals", deals, seed)
    bid_by = plain(agreement)
    tally = study.count(n, seed, bid_by, _workers(workers, n), progress=progress)
    return Run.of(tally, seed, bid_by)


def table(name: str, folder: str | Path | None = None) -> pd.DataFrame:
    """Read a table of a finished run from its file, with types and order.

    Parameters
    ----------
    name
        The name of the table, such as ``"calls"``.
    folder
        Folder that ``double-study report`` or ``count`` wrote (``--out``); by default the reports
        that come with the study.

    Returns
    -------
    DataFrame
        Categories are ordered categoricals. A share is named by its whole, such as
        ``share_of_doubles``. ``attrs`` are as for :func:`deals`.

    Raises :class:`InputError` for an argument that cannot be used, with what is allowed.

    Examples
    --------
    >>> import double_study as ds
    >>> ds.table("calls")["call"].dtype.ordered
    True
    """
    files = {file.name: file.path for file in TABLE_FILES}
    check_known("name", name, files, "table")
    place = Path(folder) if folder is not None else CHECKOUT / "reports"
    if not (place / RUN_FILE).is_file():
        place /= TABLES_FOLDER
    try:
        about = json.loads((place / RUN_FILE).read_bytes())
        found = pd.read_csv(place / files[name])
        attrs = {
            "deals": about["deals"],
            "seed": about["seed"],
            "agreement": about["agreement"]["name"],
            "agreement_digest": about["agreement"]["digest"],
            "version": about["versions"]["study"],
        }
    except (OSError, ValueError, KeyError, TypeError):
        raise InputError(
            f"folder {quoted(folder or place)} holds no table {name} of a finished run; allowed: a folder "
            "that double-study report or count wrote"
        ) from None
    described = [named(str(column)) for column in found]
    found = found.astype({column.name: column.dtype for column in described if column.wordings})
    found.attrs.update(attrs)
    return found


def compare(
    *agreements: AnyAgreement,
    n: float = 2_000_000,
    by: str | Sequence[str] = "call",
    where: str | None = None,
    seed: int = DEFAULT_SEED,
    workers: int | None = None,
    progress: bool = False,
) -> pd.DataFrame:
    """Bid the same deals under several agreements and return how often each case comes up.

    Because the deals are the same, most of the sampling error cancels in the difference.

    Parameters
    ----------
    agreements
        Two or more, of different names; each is compared with the first.
    n, by, where, seed, workers, progress
        As for :func:`count`. Whether a deal meets ``where`` may differ between the agreements.

    Returns
    -------
    DataFrame
        One row per agreement and case: ``agreement``, the columns ``by``, ``deals``, their ``share``
        of all ``n`` with its 95% interval ``low`` to ``high``, and the ``difference`` from the share
        of the first agreement with the paired interval ``difference_low`` to ``difference_high``.

    Raises :class:`InputError` for an argument that cannot be used, with what is allowed.

    Examples
    --------
    >>> import double_study as ds
    >>> strong = ds.agreement("reference").changed("response.double_one", 8)
    >>> table = ds.compare("reference", strong, n=100_000, where="level == 1")
    >>> table.query("call == 'double'")["difference"].round(4).tolist()
    [0.0, -0.0066]
    """
    several = tuple(map(plain, agreements))
    check_several(several)
    n, seed = _numbers("n", n, seed)
    asked = on.field_count(on.checked_by(by), on.checked(where, "where"))
    work = partial(_bid_by_each, asked, seed, several)
    counts = reduce(np.add, study.over_blocks(work, n, _workers(workers, n), progress=progress))
    seen = np.flatnonzero(counts[:, 0].sum(axis=0)) if asked.by else np.arange(1)
    own, both = counts[:, 0, seen], counts[:, 1, seen]
    neither = n - own - own[0] + both
    paired = paired_difference(both, own - both, own[0] - both, neither)
    for limit in paired[1:]:
        limit[0] = paired[0][0]  # the same count, so the difference is exactly 0
    found = (own, own / n, *wilson(own, n), *paired)
    names = ("deals", "share", "low", "high", "difference", "difference_low", "difference_high")
    result = pd.concat([asked.frame(seen)] * len(several), ignore_index=True)
    result = result.assign(**dict(zip(names, map(np.ravel, found), strict=True)))
    digests = {one.name: one.digest for one in several}
    under = pd.Categorical(np.repeat([*digests], len(seen)), [*digests], ordered=True)
    result.insert(0, "agreement", pd.Series(under))
    result.attrs.update(deals=n, seed=seed, version=version(), agreement_digest=digests)
    return result


def _bid_by_each(
    asked: on.FieldCount, seed: int, agreements: Sequence[reader.Agreement], blocks: Blocks
) -> Counts:
    """Count the deals of some blocks by cell under each agreement, all and those unchanged.

    A deal is unchanged if it is in the same cell under the first agreement.

    Returns int64 of shape (agreements, 2, cells).
    """
    cells = int(np.prod(asked.shape))
    counts = np.zeros((len(agreements), 2, cells), dtype=np.int64)
    for base, _ in batches(seed, blocks, agreements[0]):
        under_first = None
        for of_agreement, agreement in zip(counts, agreements, strict=True):
            batch = rebid(base, agreement)
            part = on.chosen(batch.at(on.BASE), asked.where, on.BASE)
            cell = np.full(len(batch), -1, dtype=np.int32)
            cell[part["deal"]] = asked.cells(part)
            batch.release()
            under_first = cell if under_first is None else under_first
            of_agreement[0] += np.bincount(cell[cell >= 0], minlength=cells)
            unchanged = cell[(cell >= 0) & (cell == under_first)]
            of_agreement[1] += np.bincount(unchanged, minlength=cells)
    return counts


_EXACT = {
    "overcalls": lambda agreement: exact_side.exact_table(agreement, calls=False),
    "calls": lambda agreement: exact_side.exact_table(agreement, calls=True),
    "next_hands": exact_side.next_hands_table,
    "doubles": exact_side.doubles_table,
    "opener_majors": exact_side.opener_majors,
}


def exact(name: str = "calls", agreement: AnyAgreement = "reference") -> pd.DataFrame:
    """Return exact probabilities, computed without sampling.

    All of them are for an opening of one of a suit in first seat, and are shares of all deals.

    Parameters
    ----------
    name
        ``"next_hands"``: the calls over each opening. ``"overcalls"``: each opening and overcall.
        ``"calls"``: with the responder's call. ``"doubles"``: the double by message, reason and the
        opener's cards in the promised suit. ``"opener_majors"``: the opener's holding in each unbid
        major. For a new agreement ``"calls"`` and ``"doubles"`` take half a minute on two
        processors; after that they are cached.
    agreement
        As for :func:`deals`.

    Returns
    -------
    DataFrame
        Columns of the case and its ``probability``; for ``"opener_majors"`` also three conditional
        probabilities.

    Raises :class:`InputError` for an argument that cannot be used, with what is allowed.

    Examples
    --------
    >>> import double_study as ds
    >>> overcalls = ds.exact("overcalls")
    >>> overcalls.query("opening == '1D' and overcall == '1S'")["probability"].round(5).tolist()
    [0.00838]
    """
    check_known("name", name, _EXACT, "exact table")
    bid_by = plain(agreement)
    table = _EXACT[name](bid_by)
    if "call" in table:
        of_call = table["call"] != exact_side.ANY
        table = table[of_call if name == "calls" else ~of_call].reset_index(drop=True)
        table = table.drop(columns="call") if name == "overcalls" else table
    if "call" in table:
        table["call"] = table["call"].cat.set_categories(COLUMNS["call"].names)
    return _with_attrs(table, bid_by)


_KNOWN_EXACTLY = {"seat", "opening", "overcall", "level", "message", "call"}


def answered_by(of: str, by: Sequence[str], where: str | None) -> str:
    """Return the name of the exact table that answers a question, empty if none does.

    One does if the question names only columns of the auction up to the responder's call, and
    ``where`` admits only openings in first seat.
    """
    if (
        where is None
        or not (names := {*parse(of).names, *parse(where).names, *by}) <= _KNOWN_EXACTLY
    ):
        return ""
    every = with_facts(every_cell((SEQUENCE, "call")), reader.REFERENCE, "level", "message")
    condition, seats = parse(where), COLUMNS["seat"].names
    admits = [condition.mask(of_frame(every.assign(seat=seat))).any() for seat in seats]
    first_only = admits[0] and not any(admits[1:])
    return ("calls" if "call" in names else "overcalls") if first_only else ""


def exact_shares(
    name: str, of: str, by: Sequence[str], where: str, agreement: reader.Agreement
) -> pd.DataFrame:
    """Return the shares of a question that the exact table ``name`` answers; columns ``by``, ``exact``."""
    cases = with_facts(exact(name, agreement), agreement, "level", "message").assign(seat=1)
    cases = cases[parse(where).mask(of_frame(cases))]
    found = share(cases.assign(deals=cases["probability"]), of, by).query("of > 0")
    return found.reset_index()[[*by]].assign(exact=found["share"].to_numpy())


def ask(
    hand: str, auction: str | None = None, agreement: AnyAgreement = "reference"
) -> dict[str, Any]:
    """Return the call on a hand after an auction, the rule behind it, and the odds on partner's hand.

    Parameters
    ----------
    hand
        Thirteen cards, such as ``"K752.AJ64.83.T92"``, from spades to clubs.
    auction
        The calls so far, such as ``"1D 1S"``; without them the answer has the odds before any bidding.
    agreement
        As for :func:`deals`.

    Returns
    -------
    dict
        The object that ``double-study ask --json`` prints; probabilities are from 0 to 1.

    Raises :class:`InputError` for an argument that cannot be used, with what is allowed.

    Examples
    --------
    >>> import double_study as ds
    >>> ds.ask("K752.AJ64.83.T92", "1C 1D")["call"]
    'double'
    """
    return as_json(Answer.to(hand, auction, plain(agreement)))


def _whole(argument: str, value: Any, least: int, most: int) -> int:
    """Return a whole number, which may be given as 1e6; raise :class:`InputError` for anything else."""
    try:
        number = int(value)
        if number == value and least <= number <= most and not isinstance(value, bool):
            return number
    except (TypeError, ValueError, OverflowError):
        pass
    raise InputError(
        f"{argument} {quoted(value)} cannot be used; allowed: a whole number from {least} to {most:,}"
    )


def _numbers(argument: str, deals: float, seed: int) -> tuple[int, int]:
    return _whole(argument, deals, 1, study.MAX_DEALS), _whole("seed", seed, 0, study.MAX_SEED)


def _workers(workers: int | None, n: int) -> int | None:
    if workers is None:
        return 1 if n <= _SMALL else None
    return _whole("workers", workers, 1, 1024)


def _with_attrs(table: pd.DataFrame, agreement: reader.Agreement, **counted: int) -> pd.DataFrame:
    """Add ``attrs`` to a table: everything needed to cite it and to count it again."""
    table.attrs = {}
    table.attrs.update(counted, agreement=agreement.name, agreement_digest=agreement.digest)
    table.attrs.update(version=version())
    return table


def _texts(batch: Batch, rows: Array) -> pd.DataFrame:
    """Return the four hands and the auction of some deals as text, the dealer's hand first."""
    found: dict[str, Any] = {}
    for seat, cards in enumerate(batch.cards[:, rows], 1):
        suits = [(cards >> np.uint64(13 * suit)) & np.uint64(8191) for suit in SUITS]
        holdings = [suit.astype(np.intp) for suit in suits]  # NumPy 1 takes no uint64 as index
        clubs, diamonds, hearts, spades = map(_HOLDINGS.take, holdings)
        found[f"hand_{seat}"] = spades + "." + hearts + "." + diamonds + "." + clubs
    calls = call_codes(batch)[rows]
    auctions, which = np.unique(calls, axis=0, return_inverse=True)
    words = [" ".join(_call(int(code)) for code in one if code != NO_CALL) for one in auctions]
    # NumPy 2.0 returns the inverse with one axis more.
    found["auction"] = np.array(words, dtype=object).take(which.ravel())
    return pd.DataFrame(found)


_HOLDINGS = np.array([holding_text(holding, 0) for holding in range(1 << 13)], dtype=object)


def _call(code: int) -> str:
    """Return a call as ``ask`` reads it: 1D, X or P."""
    return "X" if code == DOUBLE_CODE else str(Bid.from_code(code)) if code >= 0 else "P"
