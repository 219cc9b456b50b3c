"""The main command runs every notebook on the run it counted, all or nothing."""

import json
import sys
from pathlib import Path
from typing import Any

import nbformat
import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.counting import run as study
from double_study.counting.tally import Tally
from double_study.errors import Failure, InputError
from double_study.report import publish as publishing
from double_study.report.pages import INDEX
from double_study.report.publish import execute, notebooks_in, publish
from double_study.tables import Run
from readers.pages import read_page
from shared.commands import ran

SHOWS_RUN = """from IPython.display import Markdown, display
from double_study import plots
import double_study as ds
run = ds.run()
figure, axes = plots.figure(2)
plots.show(figure, 'Empty axes: "nothing" <b>below</b> 1♥.')
display(Markdown(f"{run.tally.deals} deals, {run.record.seed}, {run.agreement.name}, over 1♥"))"""


def notebook_file(folder: Path, name: str, *code: str) -> Path:
    """Return a notebook of our own with these code cells, after two of text."""
    cells = [
        nbformat.v4.new_markdown_cell("# A title\n\nHow often\nindeed?\n\nMore."),
        nbformat.v4.new_markdown_cell("## The answer\nSee `calls.csv`."),
        *map(nbformat.v4.new_code_cell, code),
    ]
    path = folder / f"{name}.ipynb"
    nbformat.write(nbformat.v4.new_notebook(cells=cells), path)
    return path


def small_run(agreement: Agreement = REFERENCE) -> Run:
    return Run.of(study.count(2_000, 8, agreement, workers=1, progress=False), 8, agreement)


SLOW = pytest.mark.slow


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (["1 + 1", "1 / 0", "2"], "cell 4: ZeroDivisionError: division by zero"),
        (["raise ValueError('two\\nlines')"], "cell 3: ValueError: two lines"),
        pytest.param(["import os", "os._exit(3)"], "cell 4: its kernel died", marks=SLOW),
        (
            ["from IPython.display import SVG, display", "display(SVG('<svg/>'))"],
            "cell 4: a picture has no alternative text; show it with plots.show",
        ),
    ],
    ids=["error", "long error", "dead kernel", "picture without words"],
)
def test_a_notebook_that_fails_stops_the_command_and_leaves_reports_as_they_were(
    code: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fine = notebook_file(tmp_path, "1_fine", "1")
    fails = notebook_file(tmp_path, "2_fails", *code)
    monkeypatch.setattr(publishing, "notebooks_in", lambda: [fine, fails])
    out = tmp_path / "out"
    out.mkdir()
    (out / INDEX).write_text("as it was")
    status, _, err = ran(f"report --no-exact --deals 1e4 --workers 1 --out {out}")
    assert status == 1
    assert err.endswith(f"double-study: notebook 2_fails, {said}\n")
    assert [path.name for path in out.iterdir()] == [INDEX]
    assert (out / INDEX).read_text() == "as it was"


def test_notebooks_run_in_this_interpreter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spec = {"argv": ["false"], "display_name": "Another", "language": "python"}
    foreign = tmp_path / "jupyter" / "kernels" / "python3"
    foreign.mkdir(parents=True)
    (foreign / "kernel.json").write_text(json.dumps(spec))
    (tmp_path / "startup.py").write_text("print('the user was here')")
    monkeypatch.setenv("JUPYTER_PATH", str(tmp_path / "jupyter"))
    monkeypatch.setenv("PYTHONSTARTUP", str(tmp_path / "startup.py"))
    monkeypatch.setenv("MPLBACKEND", "nowhere")
    where = "import sys, matplotlib.pyplot; print(sys.executable)"
    path = notebook_file(tmp_path, "1_where", where)
    (executed,) = execute(small_run(), [path], tmp_path, progress=False)
    (output,) = executed.cells[-1].outputs
    assert output.text.strip() == sys.executable
    assert not [found for found in tmp_path.iterdir() if found.name.startswith("kernels-")]


def test_notebooks_of_one_kernel_know_nothing_of_each_other(tmp_path: Path) -> None:
    names = "print(sorted(name for name in globals() if name in ('known', 'numpy')))"
    code = ["import os, numpy; known = os.getpid(); print(known)", names]
    paths = [notebook_file(tmp_path, f"{number}_names", names, *code) for number in range(1, 4)]
    executed = execute(small_run(), paths, tmp_path, workers=1, progress=False)
    printed = [[cell.outputs[0].text.strip() for cell in one.cells[2:]] for one in executed]
    [kernel] = {process for _, process, _ in printed}
    assert int(kernel)
    assert printed == [["[]", kernel, "['known', 'numpy']"]] * 3


@pytest.mark.slow
@pytest.mark.parametrize("executable", ["/nowhere/python", "false"])
def test_a_kernel_that_cannot_start_is_one_line(
    executable: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", executable)
    path = notebook_file(tmp_path, "1_fails", "1")
    with pytest.raises(Failure, match=r"^the notebooks' kernel could not start"):
        execute(small_run(), [path], tmp_path, progress=False)


def test_a_failed_check_stops_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    honest = study.count

    def loaded(*arguments: Any, **more: Any) -> Tally:
        tally = honest(*arguments, **more)
        openings = tally["openings"].copy()
        # All deals passed out become openings of 1S by the dealer: no correct program does that.
        openings[1, 4] += openings[0, 0]
        openings[0, 0] = 0
        return type(tally)(tally.deals, {**tally.tables, "openings": openings})

    # Where the command finds it: modules that imported the function earlier still have it.
    monkeypatch.setattr("double_study.cli.options.count", loaded)
    monkeypatch.setattr(publishing, "publish", lambda *_: pytest.fail("notebooks were run"))
    status, _, err = ran(f"report --no-exact --deals 1e5 --out {tmp_path / 'out'}")
    assert status == 1
    assert "the check failed, so nothing was written: openings" in err
    assert not (tmp_path / "out").exists()


def test_a_checkout_without_notebooks_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no notebooks in"):
        notebooks_in(tmp_path)


def test_a_notebook_reads_the_run_counted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(publishing, "write_lessons", lambda *_: None)
    agreement = REFERENCE.changed("response.double_one", 7).changed("response.double_through", "2S")
    code = (SHOWS_RUN, "(run.agreement.digest, run.tally.digest)")
    path = notebook_file(tmp_path, "1_reads", *code)
    before = path.read_bytes()
    run = small_run(agreement)
    (tmp_path / "out").mkdir()
    publish(run, [path, path], tmp_path / "out", workers=1, progress=False)
    front, listed, page = (
        (tmp_path / "out" / name).read_text(encoding="utf-8")
        for name in ("README.md", "author.md", "1_reads.html")
    )
    assert "\n\n2000 deals, 8, reference, over 1♥\n\n" in front
    assert "[A title](1_reads.html)" in front
    assert "- [A title](1_reads.html): How often indeed?" in listed
    assert "2000 deals, 8, reference, over 1" in page
    assert run.agreement.digest in page
    assert run.tally.digest in page
    assert path.read_bytes() == before
    names = {path.name for path in (tmp_path / "out" / "figures").iterdir()}
    assert names == {"1_reads_1.png", "1_reads_1.svg"}
    # The words for the picture reach the page as they were written, marks and all.
    assert read_page(page).alt == ['Empty axes: "nothing" <b>below</b> 1♥.']
