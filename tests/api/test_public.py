"""The public interface: its documentation, its examples, and what it says to mistakes."""

import doctest
import pydoc
from collections.abc import Callable

import double_study as ds
import pytest
from double_study import api, own_agreement
from double_study.errors import InputError
from double_study.how_often import FIELDS
from shared.commands import python


@pytest.mark.parametrize("module", [ds, api, own_agreement], ids=lambda module: module.__name__)
def test_the_examples_of_the_documentation(module: object) -> None:
    results = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE)  # type: ignore[arg-type]
    assert results.attempted
    assert not results.failed


def test_help_lists_every_function_and_explains_every_column() -> None:
    text = pydoc.plain(pydoc.render_doc(ds))
    for name in ds.__all__:
        assert f"\n    {name}(" in text
        assert "Examples" in (getattr(ds, name).__doc__ or "")
        assert "Raises" in (getattr(ds, name).__doc__ or "")
    for name in FIELDS:
        ending = name.partition("_")[2]
        assert f"``{name}``" in text or f"``opener_{ending}``" in text


def test_the_import_is_quick_because_nothing_is_loaded_before_it_is_used() -> None:
    program = "import sys, double_study as ds; print('numpy' in sys.modules, len(dir(ds)) > 9)"
    assert python("-c", program).split() == ["False", "True"]
    with pytest.raises(AttributeError, match="no attribute 'cuont'"):
        _ = ds.cuont


PASS = ("response", "pass")
MISTAKES: list[tuple[Callable[[], object], str]] = [
    (lambda: ds.deals(0), "^n '0' cannot be used; allowed: a whole number from 1"),
    (lambda: ds.deals("many"), "^n 'many' cannot be used; allowed"),  # type: ignore[arg-type]
    (lambda: ds.deals(10, seed=-1), "^seed '-1' cannot be used; allowed: a whole number from 0"),
    (lambda: ds.deals(10, agreement="nobody"), "^agreement nobody: .*; allowed: .*reference"),
    (lambda: ds.deals(10, where="lvel == 1"),
     "^where 'lvel == 1': there is no column 'lvel'; allowed: level"),
    (lambda: ds.count(10, by="calls"), "^by: there is no column 'calls'; allowed: call, "),
    (lambda: ds.count(10, by=["level", "level"]), "^by: level is given twice; allowed"),
    (lambda: ds.count(10, by=[f"{one}_hcp" for one in ("opener", "responder", "advancer", "overcaller")]),
     "^by: these columns make 2,085,136 cells; allowed: .*1,000,000"),
    (lambda: ds.count(10, where="call == 'doubel'"), "no category 'doubel' there; allowed: double$"),
    (lambda: ds.count(10, where="level == 'one'"), "compares a number with the name 'one'"),
    (lambda: ds.count(10, workers=0), "^workers '0' cannot be used; allowed"),
    (lambda: ds.count(10, cluster="here"), "^--cluster here"),
    (lambda: ds.share(ds.count(10, by="level"), "call == 'double'"), "^of .*no column 'call'; allowed"),
    (lambda: ds.share(ds.count(10, by="level"), "level == 1", by="seat"), "^by: there is no column 'seat'"),
    (lambda: ds.run(0.5), "^deals '0.5' cannot be used; allowed"),
    (lambda: ds.run(1000).table("cals"), "^name: there is no table 'cals'; allowed"),
    (lambda: ds.table("cals"), "^name: there is no table 'cals'; allowed: calls"),
    (lambda: ds.table("calls", "/nowhere"), "^folder '/nowhere' holds .*; allowed: a folder that"),
    (lambda: ds.compare("reference"), "^agreements reference cannot be compared; allowed: two or more"),
    (lambda: ds.compare("reference", ds.agreement()), "allowed: two or more with different names"),
    (lambda: ds.exact("everything"), "^name: there is no exact table .*; allowed: overcalls"),
    (lambda: ds.ask("AKQ", "1D 1S"), "^hand 'AKQ'"),
    (lambda: ds.agreement("nobody"), "^agreement nobody"),
    (lambda: ds.agreement().changed("response.double_on", 7), "allowed: response.double_one"),
    (lambda: ds.agreement().changed("response.double_one", 99),
     "response.double_one = 99 cannot be used; allowed"),
    (lambda: ds.agreement().changed("response.double_one", 7, name="through_2s"), "another name"),
    (lambda: ds.agreement().changed("response.double_one", 7, name=" "),
     "^name ' ' cannot be printed; allowed"),
    (lambda: ds.agreement().with_rule("overcall", "pass", "hcp > 3", before="pass"), "^table 'overcall'"),
    (lambda: ds.agreement().with_rule("response", "pas", "hcp > 3", before="pass"), "^says: there is no "),
    (lambda: ds.agreement().with_rule(*PASS, "hcp > 3"), "^give either before or after; allowed"),
    (lambda: ds.agreement().with_rule(*PASS, "hcp > 3", before="nothing"), "^before: there is no rule of"),
    (lambda: ds.agreement().with_rule(*PASS, "hcp > 3", after="pass"), "^after pass: .*; allowed"),
    (lambda: ds.agreement().with_rule(*PASS, "hpc > 3", before="double"), "no column 'hpc'; allowed: hcp"),
    (lambda: ds.agreement().with_rule(*PASS, "hcp", before="double"), "^when 'hcp': it is not a condition"),
    (lambda: ds.agreement().with_rule(*PASS, "hcp > 3", before="double", bid="2H"),
     "^bid '2H' does not go with pass; allowed"),
    (lambda: ds.agreement().with_rule("response", "new_major", "hcp > 3", before="double"), "^bid ''"),
]  # fmt: skip


@pytest.mark.parametrize(("mistake", "said"), MISTAKES, ids=[said[:30] for _, said in MISTAKES])
def test_a_mistake_is_answered_in_one_line(mistake: Callable[[], object], said: str) -> None:
    with pytest.raises(InputError, match=said) as refused:
        mistake()
    assert "\n" not in str(refused.value)
