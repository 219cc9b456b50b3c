"""The figures of the study: nothing cut, nothing overlapping, n and interval said, words beside.

Fitting on a picture cannot be compared with an outside value; the sizes are those that matplotlib
draws with. About ten seconds.
"""

import re
from collections.abc import Callable
from functools import cache
from itertools import combinations

import matplotlib.text
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox
from shared.small_runs import DEALS, run_of

from analysis.bidding.after_overcall import LEVEL
from analysis.cards.bids import SEAT
from analysis.counting.run import Run
from analysis.telling.figures import contested, given_up, how_often, partner, responder, teaching
from analysis.telling.figures.style import COLOURS, MARKERS
from analysis.telling.sentences.responder import by_level
from analysis.telling.tables import contested as contested_tables
from analysis.telling.tables import doubles, funnel
from analysis.telling.tables import given_up as given_up_tables
from analysis.telling.tables import partner as partner_tables
from analysis.telling.tables import responder as responder_tables
from analysis.telling.tables import teaching as teaching_tables
from analysis.telling.tables.shares import shares


def drawn(
    module: object, name: str, table: Callable[[Run], object], *more: object
) -> Callable[[Run], tuple[Figure, str]]:
    def figure(run: Run) -> tuple[Figure, str]:
        made = table(run)
        alt_more = more if name == "by_case" else ()
        drawing = getattr(module, name)(made, *more)
        return drawing, getattr(module, f"{name}_alt")(made, *alt_more)

    return figure


def spades(run: Run) -> object:
    raises = partner_tables.spade_raises(run)
    return shares(raises, ["opening", "opener_spades"], within=["opening"])


FIGURES = {
    "funnel": drawn(how_often, "funnel", funnel.funnel),
    "heat map": drawn(how_often, "heat_map", doubles.doubles_by_auction, DEALS),
    "levels": drawn(how_often, "by_case", doubles.doubles_by_level, LEVEL),
    "seats": drawn(how_often, "by_case", doubles.doubles_by_seat, SEAT),
    "until met": drawn(how_often, "until_met", doubles.meetings),
    "ranking": drawn(teaching, "ranking", teaching_tables.topics),
    "pitfalls": drawn(teaching, "pitfalls", teaching_tables.pitfalls),
    "points": drawn(responder, "points", lambda run: by_level(responder_tables.points(run))),
    "values": drawn(responder, "values", responder_tables.values),
    "patterns": drawn(responder, "patterns", responder_tables.patterns),
    "lengths": drawn(responder, "lengths", lambda run: by_level(responder_tables.lengths(run))),
    "opener lengths": drawn(partner, "opener_lengths", partner_tables.opener_lengths),
    "answers": drawn(partner, "answers", partner_tables.answers),
    "fits": drawn(partner, "fits", partner_tables.fits),
    "final contracts": drawn(partner, "final_contracts", partner_tables.final_contracts),
    "spade lengths": drawn(partner, "spade_lengths", spades),
    "over trumps": drawn(partner, "over_trumps", partner_tables.over_trumps),
    "calls": drawn(given_up, "calls", given_up_tables.calls_by_level),
    "penalties": drawn(given_up, "penalties", given_up_tables.penalty_passes),
    "ways": drawn(contested, "ways", contested_tables.ways_to_contract),
    "advancer": drawn(contested, "advancer", contested_tables.advancer_calls),
    "trumps": drawn(contested, "trumps", contested_tables.trumps_by_level),
    "ends of penalties": drawn(contested, "penalties", contested_tables.penalties),
}
WITHOUT_DOUBLES = ("funnel", "heat map", "levels", "seats", "spade lengths", "calls", "penalties")
"""The figures that a run without doubles can still show."""

BY_MESSAGE = ("until met", "ranking", "pitfalls", "patterns", "opener lengths", "answers")
"""The figures that change with what the double may promise."""

every_figure = pytest.mark.parametrize("name", FIGURES)
TOUCHING = 1.0  # pixels by which boxes of glyphs may meet before a reader sees it


def boxes(figure: Figure) -> list[tuple[str, Bbox]]:
    """Every text that shows, with the box it is drawn in."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    figure.draw(renderer)
    # Ticks beyond the ends of an axis have labels too, which are not drawn.
    beyond = {
        id(label)
        for axes in figure.axes
        for axis in (axes.xaxis, axes.yaxis)
        for tick in (*axis.get_major_ticks(), *axis.get_minor_ticks())
        for label in (tick.label1, tick.label2)
        if not min(axis.get_view_interval()) <= tick.get_loc() <= max(axis.get_view_interval())
    }
    return [
        (text.get_text(), text.get_window_extent(renderer))
        for text in figure.findobj(matplotlib.text.Text)
        if text.get_visible() and text.get_text().strip() and id(text) not in beyond
    ]


@cache
def finished(name: str, agreement: str) -> tuple[Figure, str, list[tuple[str, Bbox]]]:
    """A figure, its alternative text, and its texts with their boxes."""
    figure, alt = FIGURES[name](run_of(agreement))
    return figure, alt, boxes(figure)


@pytest.mark.parametrize(
    ("name", "agreement"),
    [
        *((name, "reference") for name in FIGURES),
        *((name, "one major will do") for name in BY_MESSAGE),
        *((name, "not played") for name in WITHOUT_DOUBLES),
    ],
)
def test_no_text_is_cut_or_overlaps_another(name: str, agreement: str) -> None:
    figure, alt, texts = finished(name, agreement)
    assert "nan" not in alt
    page = figure.bbox.padded(TOUCHING)
    for text, box in texts:
        assert page.containsx(box.x0), f"{text!r} is cut on the left"
        assert page.containsx(box.x1), f"{text!r} is cut on the right"
        assert page.containsy(box.y0), f"{text!r} is cut below"
        assert page.containsy(box.y1), f"{text!r} is cut above"
    for (one, box), (other, another) in combinations(texts, 2):
        apart = not box.padded(-TOUCHING).overlaps(another.padded(-TOUCHING))
        assert apart, f"{one!r} and {other!r} overlap"


@every_figure
def test_a_figure_says_n_its_interval_and_its_axes(name: str) -> None:
    figure, alt, texts = finished(name, "reference")
    said = " ".join(text for text, _ in texts)
    assert re.search(r"n = [\d,]+ \w+", said)
    assert "95% interval" in said.replace("\n", " ")
    assert re.search(r"\d", alt)
    assert all(
        axes.get_xlabel() or axes.get_ylabel() or axes.get_title("left") for axes in figure.axes
    )


@every_figure
def test_series_are_told_apart_by_more_than_colour(name: str) -> None:
    figure, *_ = finished(name, "reference")
    for axes in figure.axes:
        marks = {
            (line.get_color(), line.get_marker())
            for container in axes.containers
            for line in container.get_children()
            if getattr(line, "get_marker", lambda: "None")() in MARKERS
        }
        assert len({colour for colour, _ in marks}) == len({marker for _, marker in marks})
        assert all(COLOURS.index(colour) == MARKERS.index(marker) for colour, marker in marks)
