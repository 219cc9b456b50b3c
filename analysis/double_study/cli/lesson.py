"""Write an hour's lesson, or a course of four weeks: plan, boards, homework, handout, with the answers."""

import argparse
import sys
from pathlib import Path

import numpy as np

from double_study.cli.options import Options, add, refuse_to_overwrite, whole_number
from double_study.columns import COLUMNS
from double_study.counting.run import count
from double_study.errors import InputError
from double_study.escape import terminal
from double_study.files import staged
from double_study.lessons.case import Case
from double_study.lessons.hour import COURSE, WHOLE
from double_study.lessons.practice import played
from double_study.rules.terms import SEQUENCES
from double_study.tables import READING_DEALS, Run

EXAMPLE = "lesson --agreement four_card_majors --minutes 90 --out my_lesson"

_TOPICS = {name: Case(*name.rsplit("_", 1)) for name in COLUMNS["topic"].names}


# fmt: off
_OPTIONS: Options = {
    "minutes": ("N", whole_number(20, 180), "minutes to fill (default: %(default)s)"),
    "boards": ("N", whole_number(4, 36), "boards to play (default: %(default)s)"),
    "level": ("N", whole_number(1, 4), "teach only overcalls at this level (default: all)"),
    "course": (f"{len(COURSE)}", whole_number(len(COURSE), len(COURSE)),
               "write a course of four weeks, an hour each, instead of one lesson"),
}
# fmt: on


def add_options(parser: argparse.ArgumentParser) -> None:
    add(parser, "agreement out minutes boards", _OPTIONS, out="lesson", minutes=60, boards=12)
    what = parser.add_mutually_exclusive_group()
    add(what, "level", _OPTIONS)
    topics = f"teach only one topic (default: all); the topics are {', '.join(_TOPICS)}"
    what.add_argument("--topic", choices=_TOPICS, metavar="NAME", help=topics)
    add(what, "course", _OPTIONS)
    add(parser, "deals seed force", deals=READING_DEALS)


def run(options: argparse.Namespace) -> None:
    played(options.agreement)
    within = _within(options)
    # Imported here because it takes seconds, which --help should not wait for.
    from double_study.report.lesson_plan import lessons
    from double_study.report.pages import INDEX

    with staged(options.out) as stage:
        refuse_to_overwrite(options, [Path(INDEX)])
        tally = count(options.deals, options.seed, options.agreement, progress=sys.stderr.isatty())
        counted = Run.of(tally, options.seed, options.agreement)
        if not counted.doubled:
            raise InputError(f"--deals {options.deals}: no double came up; allowed: more deals")
        parts = [COURSE if options.course else [WHOLE]]
        seed, minutes, boards = options.seed, options.minutes, options.boards
        [made] = lessons(counted, seed, minutes, boards, within, parts)
        made.write(stage)
    print(f"Wrote the lesson to {terminal(str(options.out))}. Open {INDEX} there first.")


def _within(options: argparse.Namespace) -> np.ndarray | None:
    """Return a mask of the SEQUENCES that the lesson is about, None for all of them."""
    if options.topic:
        within = _TOPICS[options.topic].sequences(options.agreement)
    elif options.level:
        ceiling = options.agreement.response.double_through
        within = np.array([bid.level == options.level and bid <= ceiling for _, bid in SEQUENCES])
    else:
        return None
    if not within.any():
        option = f"--topic {options.topic}" if options.topic else f"--level {options.level}"
        raise InputError(
            f"{option}: the agreement {options.agreement.name} has no such double; allowed: overcalls "
            f"through {options.agreement.response.double_through}"
        )
    return within
