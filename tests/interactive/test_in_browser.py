"""The page as a reader has it, in Chromium, at two sizes and with keys alone. Half a minute.

Chromium is taken from the system: the extra ``browser`` brings Playwright's Python package and none
of its browsers.
"""

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from double_study.agreements.reader import load
from double_study.asking.question import Question, reply

pytestmark = pytest.mark.browser

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PATIENCE = 60_000  # milliseconds until a thing that does not appear is missed
DESK, PHONE = {"width": 1200, "height": 800}, {"width": 390, "height": 844}
TABS = ("call", "ask", "explore", "often", "own")
CONTRAST = """() => {
  const luminance = ([r, g, b]) => [r, g, b].map(c => c / 255)
    .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
    .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
  const colour = text => text.match(/[\\d.]+/g).map(Number);
  const behind = one => {
    for (; one; one = one.parentElement) {
      const found = colour(getComputedStyle(one).backgroundColor);
      if (found.length < 4 || found[3] > 0) return found;
    }
    return colour(getComputedStyle(document.body).backgroundColor);
  };
  const faint = [];
  for (const one of document.querySelectorAll('body *')) {
    const own = [...one.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
    if (!own || one.closest(':disabled, svg, script, style, .unseen') || !one.checkVisibility()) continue;
    const [a, b] = [luminance(colour(getComputedStyle(one).color)), luminance(behind(one))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) faint.push([one.tagName, one.textContent.trim().slice(0, 30), ratio]);
  }
  return faint;
}"""
SETTINGS_SHOWN = """document.querySelector('[data-key="response.double_three"]').hidden
  && !document.querySelector('[data-key="response.double_one"]').hidden"""
LOADED = "() => !document.querySelector('form:not([hidden]) [data-load] > p:only-child')"
UNLABELLED = """[...document.querySelectorAll('input:not([type=hidden]), select, button')]
  .filter(one => !(one.labels?.length || one.getAttribute('aria-label') || one.textContent.trim()))
  .map(one => one.outerHTML)"""


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("own") / "strict.toml"
    file.write_text("[response]\ndouble_one = 9\n", encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def address(own: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """Yield the page's address; afterwards Ctrl-C has ended it and nothing is left behind."""
    left = tmp_path_factory.mktemp("left")
    command = [sys.executable, "-W", "error", "-m", "double_study", "explore", "--no-browser"]
    page = subprocess.Popen(  # noqa: S603
        [*command, "--agreement", str(own)],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"TMPDIR": str(left)},
        preexec_fn=partial(signal.signal, signal.SIGINT, signal.SIG_DFL),  # also in the background
    )
    assert page.stdout is not None
    yield page.stdout.readline().split()[-1]
    page.send_signal(signal.SIGINT)
    page.communicate(timeout=60)
    assert page.returncode == 0
    assert list(left.iterdir()) == []


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    assert CHROMIUM, "Chromium is not installed"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--headless=new", "--disable-gpu"]
        )
        yield chromium
        chromium.close()


@pytest.fixture(params=[(DESK, "light"), (PHONE, "dark")], ids=["desk-light", "phone-dark"])
def page(request: pytest.FixtureRequest, address: Any, browser: Any) -> Iterator[Any]:
    size, scheme = request.param
    page = browser.new_page(viewport=size, color_scheme=scheme)
    page.set_default_timeout(PATIENCE)
    requested: list[str] = []
    wrong: list[str] = []
    page.on("request", lambda request: requested.append(request.url))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    page.goto(address)
    page.wait_for_selector(".box")
    yield page
    # Nothing comes from another computer, and the script met no error.
    hosts = {url.split("/")[2] for url in requested if url.startswith("http")}
    assert hosts == {address.split("/")[2]}
    assert wrong == []
    page.close()


def part(page: Any, name: str) -> Any:
    page.click(f"#tab-{name}")
    page.wait_for_selector(f"#{name} .live > *", state="attached")
    return page.locator(f"#{name}")


def until(page: Any, holds: str) -> None:
    """Wait for what the page's policy forbids Playwright to wait for within it: an expression."""
    for _ in range(PATIENCE // 50):
        if page.evaluate(holds):
            return
        page.wait_for_timeout(50)
    pytest.fail(f"never: {holds}")


def keyed(page: Any, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def focused(page: Any) -> Any:
    return page.evaluate("document.activeElement.id || document.activeElement.dataset.card || ''")


def test_a_hand_is_called_by_keys_alone(page: Any, own: Path) -> None:
    for answered in (1, 2, 3):
        hand, auction = (page.input_value(f"#call [name={name}]") for name in ("hand", "auction"))
        call = str(reply(Question.read(hand, auction, load(str(own)))).call)
        keyed(page, *{"pass": "p", "double": "x"}.get(call, call.lower().replace("nt", "n")))
        page.wait_for_selector("#call .verdict.right")
        assert f"{answered} right of {answered}" in page.inner_text("#call")
        page.wait_for_selector("#call .bars, #call :text('too rare')")
        keyed(page, "Enter")
        page.wait_for_selector("#call .box")
        # A call that is not legal, and a level alone, do nothing.
        keyed(page, "1", "c", "5")
        assert page.locator("#call .verdict").count() == 0


def test_a_hand_is_asked_about_by_keys_alone(page: Any) -> None:
    page.focus("#tab-call")
    keyed(page, "ArrowRight")
    page.wait_for_selector("#ask .verdict")
    assert page.inner_text("#ask .verdict").startswith("1NT")  # 8 points, and 9 are needed
    keyed(page, "Tab")
    assert focused(page) == "SA"
    keyed(page, "Space", "ArrowRight", "Space")  # one more, and K♠ away
    until(page, "document.querySelector('#hand').value.startsWith('A752.')")
    assert page.inner_text("#held") == "13 cards"
    page.wait_for_selector("#ask .verdict:has-text('double')")
    page.wait_for_selector("#ask .charts svg")
    assert page.locator("#ask .parts .met").count() >= 3
    page.fill("#hand", "K752")
    page.wait_for_selector("#ask :text('4 so far')")
    page.fill("#hand", "-.AJ643.8753.QT92")
    page.wait_for_selector(
        "#ask .verdict:has-text('♠\ufe0e– ♥\ufe0eAJ643 ♦\ufe0e8753 ♣\ufe0eQ1092')"
    )
    page.focus("#clear")
    keyed(page, "Enter")
    until(page, "document.querySelector('#auction').value === ''")
    keyed(page, "1", "c", "2", "c")
    page.wait_for_selector("#ask .error")
    page.focus("#undo")
    keyed(page, "Enter", "1", "s")
    page.wait_for_selector("#ask .verdict:has-text('♠\ufe0e– ♥\ufe0eAJ643')")
    assert page.input_value("#auction") == "1C 1S"


def test_a_setting_moves_and_the_picture_shows_both_values(page: Any) -> None:
    explore = part(page, "explore")
    until(page, SETTINGS_SHOWN)
    slider = page.locator("[id='response.double_one']")
    assert slider.input_value() == "9"
    before = explore.locator("tr.doubled").inner_text()
    slider.press("ArrowLeft")
    page.wait_for_selector("#explore tr.doubled.moved")
    after = explore.locator("tr.doubled").inner_text()
    (now, old, *_), (stood, *_) = (re.findall(r"\d+\.\d", text) for text in (after, before))
    assert float(old) == float(stood) < float(now)
    assert "9 → 8" in explore.inner_text()
    # The other parts go by it, and it can be undone.
    part(page, "own")
    page.wait_for_selector("#own :text('more often')")
    page.click("#reset")
    page.wait_for_selector("#own :text('as often as before')")


def test_how_often_is_counted_and_a_long_count_stopped(page: Any) -> None:
    often = part(page, "often")
    page.wait_for_selector("#command")
    page.select_option("#opening", "1D")
    page.fill("#often [name=hcp_low]", "8")
    page.wait_for_selector("#command:has-text('responder_hcp >= 8')")
    assert "opening == '1D' and responder_hcp >= 8" in page.inner_text("#command")
    page.focus("#long")
    keyed(page, "Enter")
    page.wait_for_selector("#often progress")
    until(page, "document.querySelector('#often progress').value > 0")
    page.focus("#long")
    keyed(page, "Enter")
    page.wait_for_selector("#often :text('Stopped after')")
    assert "%" in often.locator(".finding").inner_text()


def test_an_agreement_is_chosen_by_questions_and_saved(page: Any) -> None:
    own = part(page, "own")
    page.wait_for_selector("#own .finding")
    own.get_by_label("level 1").select_option("12")
    page.wait_for_selector("#own :text('less often')")
    page.fill("#name", "ours")
    page.wait_for_selector("#save[download='ours.toml']")
    with page.expect_download() as saved:
        page.click("#save")
    assert "double_one = 12" in Path(saved.value.path()).read_text()
    page.select_option("#agreement", "through_2s")
    page.wait_for_selector("#own :text('as often as before')")


def test_everything_is_labelled_legible_and_in_view(page: Any) -> None:
    for name in TABS:
        shown = part(page, name)
        until(page, LOADED)
        assert page.evaluate(UNLABELLED) == []
        assert page.evaluate(CONTRAST) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), name
        if name == "explore" and page.viewport_size == DESK:
            until(page, SETTINGS_SHOWN)
            for inner in (".set", ".bars"):
                box = shown.locator(inner).first.bounding_box()
                assert box["y"] + box["height"] <= DESK["height"], inner


def test_the_tab_key_goes_from_part_to_part_and_in_order(page: Any) -> None:
    page.focus("#agreement")
    visited = []
    for _ in range(6):
        keyed(page, "Tab")
        visited.append(focused(page))
    assert visited[:2] == ["tab-call", "scope"]
    assert visited[2].startswith("bid-")
    # The calls are one stop; the arrows go along them.
    assert not any(name.startswith("bid-") for name in visited[3:])
