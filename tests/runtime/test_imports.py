"""The digest that cached tables carry covers every source that an exact value may depend on."""

import json
import subprocess
import sys
from pathlib import Path

from double_study.combinatorics.cache import EXACT_PARTS
from double_study.sources import PACKAGE

NO_PART_IN_A_VALUE = {"__init__", "errors", "escape", "files", "sources", "words", "workers"}
"""Messages, where a table is written and by which processes it is computed."""


def test_every_imported_module_is_in_the_digest_or_has_no_part_in_a_value() -> None:
    program = (
        "import json, sys, double_study.combinatorics.table\n"
        "print(json.dumps([m.__file__ for n, m in sys.modules.items() if n.startswith('double_study')]))"
    )
    loaded = subprocess.run(  # noqa: S603 -- this Python, on a program written here
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    ).stdout
    places = [Path(file).relative_to(PACKAGE) for file in json.loads(loaded)]
    outside = {place.stem for place in places if place.parts[0] not in EXACT_PARTS}
    assert outside == NO_PART_IN_A_VALUE
