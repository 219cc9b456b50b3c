"""The page as a reader has it, in Chromium. Half a minute; not among the tests that need no browser.

Chromium is taken from the machine: the extra ``browser`` brings Playwright's Python package and none
of its browsers.
"""

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from typing import Any

import pytest

pytestmark = pytest.mark.browser

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PATIENCE = 60_000  # milliseconds until a thing that does not appear is missed
FIGURE = "img[alt^='Bars of the responder']"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The page's address; afterwards Ctrl-C has ended it and nothing is left behind."""
    folder = tmp_path_factory.mktemp("page")
    own = folder / "strict.toml"
    own.write_text("[response]\ndouble_one = 9\n", encoding="utf-8")
    left = folder / "left"
    left.mkdir()
    command = [sys.executable, "-W", "error", "-m", "double_study", "explore", "--no-browser"]
    command += ["--agreement", str(own)]
    page = subprocess.Popen(  # noqa: S603
        command,
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


@pytest.fixture(scope="module")
def page(address: Any, browser: Any) -> Iterator[Any]:
    page = browser.new_page(viewport={"width": 1300, "height": 1000})
    page.set_default_timeout(PATIENCE)
    requested = []
    page.on("request", lambda request: requested.append(request.url))
    page.goto(address)
    page.wait_for_selector(FIGURE)
    yield page
    # Nothing comes from another machine.
    assert {url.split("/")[2] for url in requested if url.startswith("http")} == {
        address.split("/")[2]
    }


def test_the_page_opens_with_the_player_s_own_agreement(page: Any) -> None:
    assert page.get_by_label("agreement").first.input_value() == "strict.toml"
    assert "By the agreement strict.toml, as it stands" in page.inner_text("body")
    assert "import" not in page.inner_text("body")


def moved(page: Any, press: Any) -> Any:
    """Press a key on the threshold of the double at level 1; returns the figure before and after."""
    handle = page.locator(".widget-inline-hbox", has_text="the double at level 1").locator(
        ".noUi-handle"
    )
    before = page.get_attribute(FIGURE, "src")
    handle.press(press)
    page.wait_for_function(
        "([figure, before]) => document.querySelector(figure).src != before", arg=[FIGURE, before]
    )
    return before, page.get_attribute(FIGURE, "src")


def test_a_control_moves_and_the_figure_follows(page: Any) -> None:
    first, after = moved(page, "ArrowRight")
    assert "total points of the double at level 1: 10 (not 9)" in page.inner_text("body")
    _, again = moved(page, "ArrowLeft")
    assert first == again != after


def test_a_hand_is_asked_about(page: Any) -> None:
    page.get_by_role("tab", name="Ask").click()
    page.get_by_label("your hand").fill("-.AJ643.8753.QT92")
    page.get_by_role("button", name="ask", exact=True).click()
    page.wait_for_selector("text=♠– ♥AJ643 ♦8753 ♣Q1092")
    page.wait_for_selector("img[alt^='Bars of partner']")
    page.get_by_label("your hand").fill("K752")
    page.get_by_role("button", name="ask", exact=True).click()
    page.wait_for_selector("text=not four suits")


def test_a_question_is_answered(page: Any) -> None:
    page.get_by_role("tab", name="Quiz").click()
    assert "Judged by the agreement strict.toml" in page.inner_text("body")
    page.get_by_role("button", name="answer").click()
    page.wait_for_selector("text=right of 1")


def test_an_agreement_is_chosen_and_another_made(page: Any) -> None:
    page.get_by_label("agreement").first.select_option("through_2s")
    page.get_by_role("tab", name="Explore").click()
    page.wait_for_selector("text=By the agreement through_2s, as it stands")
    page.get_by_role("tab", name="Your own agreement").click()
    page.get_by_placeholder("6, 8, 10, 12").fill("7")
    page.get_by_role("button", name="play by it").click()
    page.wait_for_selector("text=Played from now on")
    assert page.get_by_label("agreement").first.input_value() == "mine"
