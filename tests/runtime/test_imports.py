"""The sources that kept tables depend on, found from the imports, and their digest."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import double_study
from double_study import sources as imports
from double_study.combinatorics import cache

PACKAGE = Path(double_study.__file__).parent
FILES = imports.sources(PACKAGE, cache._MODULES)


def test_the_sources_are_what_python_really_imports() -> None:
    program = (
        "import importlib, json, sys\n"
        f"for name in {cache._MODULES!r}: importlib.import_module(name)\n"
        "print(json.dumps([m.__file__ for n, m in sys.modules.items() if n.startswith('double_study')]))"
    )
    loaded = subprocess.run(  # noqa: S603 -- this Python, on a program written here
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    ).stdout
    assert {Path(file) for file in json.loads(loaded)} == FILES


def test_a_change_of_any_source_changes_the_key_and_of_no_other(tmp_path: Path) -> None:
    package = shutil.copytree(PACKAGE, tmp_path / PACKAGE.name)
    copies = [package / file.relative_to(PACKAGE) for file in sorted(FILES)]
    assert imports.sources(package, cache._MODULES) == set(copies)
    before = imports.digest(package, copies)
    assert before == cache.source_digest()
    for file in copies:
        content = file.read_bytes()
        file.write_bytes(content + b"#")
        assert imports.digest(package, copies) != before, file
        file.write_bytes(content)
    (package / "telling" / "tables" / "files.py").write_text("")
    assert imports.digest(package, imports.sources(package, cache._MODULES)) == before


def test_a_source_that_moves_changes_the_key(tmp_path: Path) -> None:
    package = tmp_path / "p"
    package.mkdir()
    for name, text in {"__init__": "", "a": "from p import b", "b": "", "c": ""}.items():
        (package / f"{name}.py").write_text(text)
    files = imports.sources(package, ["p.a"])
    assert {file.stem for file in files} == {"__init__", "a", "b"}
    before = imports.digest(package, files)
    (package / "b.py").rename(package / "d.py")
    (package / "a.py").write_text("from p import d")
    assert imports.digest(package, imports.sources(package, ["p.a"])) != before
