"""Every figure of the study: the table it is drawn from, and the marks that it must then show."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import pandas as pd
from double_study.agreements.reader import REFERENCE
from double_study.asking import odds as on
from double_study.columns import COLUMNS
from double_study.comparing import DOUBLE_MEASURE
from double_study.tables import Run, opener_in_major
from double_study.telling.figures import (
    agreements,
    checked,
    contested,
    given_up,
    how_often,
    odds,
    partner,
    responder,
    teaching,
)
from double_study.telling.sentences.responder import by_level
from matplotlib.figure import Figure
from readers import figure_marks as read
from readers.figure_marks import Marks
from shared.figure_asked import (
    AUCTIONS,
    OUTCOMES,
    ROLES,
    asked,
    block_marks,
    both_panels,
    call_marks,
    calls_drawn,
    cell_marks,
    difference_marks,
    funnel_marks,
    length_marks,
    panels,
    penalty_marks,
    quoted_marks,
    rows_of,
    shapes_drawn,
    sweep_marks,
    trump_marks,
    value_marks,
    z_marks,
)
from shared.figure_tables import (
    agreements_compared,
    calls_of,
    chances,
    hands,
    settings_moved,
    spades,
    z_scores,
)
from shared.small_runs import DEALS as ALL_DEALS
from shared.small_runs import run_of


@dataclass(frozen=True)
class Drawn:
    """A figure: its table from a run, the drawing, its words, and its marks twice over.

    ``marks`` are those that the table asks for, ``read`` those that the figure shows. ``columns``
    are what is drawn: another value in one of them is another figure.
    """

    table: Callable[[Run], pd.DataFrame]
    draw: Callable[[pd.DataFrame], Figure]
    alt: Callable[[pd.DataFrame], str]
    marks: Callable[[pd.DataFrame], Marks]
    read: Callable[[Figure], Marks] = read.dots
    columns: Sequence[str] = COLUMNS["estimate"].columns


def both(*readers: Callable[[Figure], Marks]) -> Callable[[Figure], Marks]:
    return lambda figure: {key: mark for each in readers for key, mark in each(figure).items()}


def of_module(module: Any, name: str, *more: Any) -> dict[str, Any]:
    """The drawing and the words of one name."""
    draw, alt = getattr(module, name), getattr(module, f"{name}_alt")
    alt_more = more if name in ("by_case", "sweep", "quoted_and_true") else ()
    return {
        "draw": lambda table: draw(table, *more),
        "alt": lambda table: alt(table, *alt_more),
    }


CARDS, ROLE = "cards", "role"


CUMULATED, RIGHT = "cumulated", "right"


def of_run(name: str) -> Callable[[Run], pd.DataFrame]:
    return lambda run: run.table(name)


FIGURES: dict[str, Drawn] = {
    "funnel": Drawn(
        of_run("funnel"),
        **of_module(how_often, "funnel"),
        marks=funnel_marks,
        read=read.bars,
        columns=["estimate"],
    ),
    "heat map": Drawn(
        of_run("doubles_by_auction"),
        **of_module(how_often, "heat_map", ALL_DEALS),
        marks=cell_marks,
        read=read.cells,
    ),
    "levels": Drawn(
        of_run("doubles_by_level"),
        **of_module(how_often, "by_case", "level"),
        marks=both_panels("level", "estimate", "per_session"),
        columns=[*COLUMNS["estimate"].columns, *COLUMNS["per_session"].columns],
    ),
    "seats": Drawn(
        of_run("doubles_by_seat"),
        **of_module(how_often, "by_case", "seat"),
        marks=both_panels("seat", "estimate", "per_session"),
        columns=[*COLUMNS["estimate"].columns, *COLUMNS["per_session"].columns],
    ),
    "until met": Drawn(
        of_run("meetings"),
        **of_module(how_often, "until_met"),
        marks=lambda table: asked(
            table[table["deals"] > 0], how_often.meeting_words, estimate="boards"
        ),
        columns=COLUMNS["boards"].columns,
    ),
    "ranking": Drawn(
        of_run("topics"),
        **of_module(teaching, "ranking"),
        marks=both_panels("topic", "estimate", "cumulated"),
        columns=[*COLUMNS["estimate"].columns, *COLUMNS["cumulated"].columns],
    ),
    "pitfalls": Drawn(
        of_run("pitfalls"),
        **of_module(teaching, "pitfalls"),
        marks=both_panels("pitfall", "estimate", "right"),
        columns=[*COLUMNS["estimate"].columns, *COLUMNS["right"].columns],
    ),
    "points": Drawn(
        lambda run: by_level(run.table("points")),
        **of_module(responder, "points"),
        marks=rows_of("total_points", "level"),
    ),
    "values": Drawn(
        of_run("values"),
        **of_module(responder, "values"),
        marks=value_marks,
        read=both(read.dots, read.steps),
        columns=[*COLUMNS["mean"].columns, "asked"],
    ),
    "patterns": Drawn(
        of_run("patterns"),
        **of_module(responder, "patterns"),
        marks=lambda table: rows_of("pattern", "message")(shapes_drawn(table)),
    ),
    "lengths": Drawn(
        lambda run: by_level(run.table("lengths")),
        **of_module(responder, "lengths"),
        marks=panels("role", ROLES, "cards", "level"),
    ),
    "opener lengths": Drawn(
        of_run("opener_lengths"),
        **of_module(partner, "opener_lengths"),
        marks=rows_of("opener_cards", "message"),
    ),
    "answers": Drawn(
        of_run("answers"),
        **of_module(partner, "answers"),
        marks=rows_of("answer", "message"),
    ),
    "fits": Drawn(
        of_run("fits"),
        **of_module(partner, "fits"),
        marks=rows_of("outcome", "level"),
    ),
    "final contracts": Drawn(
        of_run("final_contracts"),
        **of_module(partner, "final_contracts"),
        marks=rows_of("final_contract", "level"),
    ),
    "spade lengths": Drawn(
        spades,
        **of_module(partner, "spade_lengths"),
        marks=rows_of("opener_spades", "opening"),
    ),
    "over trumps": Drawn(
        of_run("over_trumps"),
        **of_module(partner, "over_trumps"),
        marks=trump_marks,
        columns=[*COLUMNS["estimate"].columns, *COLUMNS["mean"].columns],
    ),
    "calls": Drawn(of_run("calls_by_level"), **of_module(given_up, "calls"), marks=calls_drawn),
    "penalties": Drawn(
        of_run("penalty_passes"),
        **of_module(given_up, "penalties"),
        marks=penalty_marks,
        columns=[*COLUMNS["estimate"].columns, *COLUMNS["ratio"].columns, "doubles"],
    ),
    "ways": Drawn(
        of_run("ways_to_contract"),
        **of_module(contested, "ways"),
        marks=block_marks,
        read=read.blocks,
        columns=["deals"],
    ),
    "advancer": Drawn(
        of_run("advancer_calls"),
        **of_module(contested, "advancer"),
        marks=rows_of("advancer", "level"),
    ),
    "trumps": Drawn(
        of_run("trumps_by_level"),
        **of_module(contested, "trumps"),
        marks=lambda table: rows_of("trumps", "last_level")(
            table[table["last_level"].isin([2, 3, 4])]
        ),
    ),
    "ends of penalties": Drawn(
        of_run("penalties"),
        **of_module(contested, "penalties"),
        marks=panels("cards_in_theirs", COLUMNS["cards_in_theirs"].names[::-1], OUTCOMES, "level"),
    ),
    "z": Drawn(
        z_scores,
        **of_module(checked, "z_against_normal"),
        marks=z_marks,
        read=read.ordered,
        columns=["z"],
    ),
    "quoted": Drawn(
        lambda run: opener_in_major(run, 4),
        **of_module(checked, "quoted_and_true", AUCTIONS),
        marks=quoted_marks,
        read=both(read.dots, read.lines),
        columns=[*COLUMNS["estimate"].columns, "naive", "after_opening", "exact"],
    ),
    "agreements": Drawn(
        lambda run: agreements_compared(),
        **of_module(agreements, "differences"),
        marks=difference_marks,
        columns=COLUMNS["difference"].columns,
    ),
    "settings": Drawn(
        lambda run: settings_moved(),
        **of_module(agreements, "sweep", DOUBLE_MEASURE),
        marks=sweep_marks,
        columns=COLUMNS["difference"].columns,
    ),
    "odds": Drawn(
        lambda run: on.lengths(chances()),
        draw=lambda table: odds.opener_lengths(chances()),
        alt=lambda table: odds.opener_lengths_alt(chances()),
        marks=length_marks,
        read=both(read.bars, read.lines),
        columns=[*COLUMNS["estimate"].columns, "ignoring_bidding"],
    ),
    "explorer": Drawn(
        lambda run: calls_of(REFERENCE.changed("response.double_one", 8)).assign(
            standing=calls_of(REFERENCE)["share"]
        ),
        draw=lambda table: odds.call_shares(table, calls_of(REFERENCE), hands()),
        alt=lambda table: odds.call_shares_alt(table, calls_of(REFERENCE)),
        marks=call_marks,
        read=both(read.bars, read.lines),
        columns=[*COLUMNS["share"].columns, "standing"],
    ),
}


@cache
def drawn(name: str, agreement: str = "reference") -> tuple[pd.DataFrame, Figure]:
    """A figure of a run by one of AGREEMENTS, with its table; put back what you change in either."""
    table = FIGURES[name].table(run_of(agreement))
    return table, FIGURES[name].draw(table)
