"""The written recommendation in a real browser: silent console, no requests, phone, paper, contrast, policy."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Desk
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.views.page import page_of
from advisor.views.report_parts import Imprint
from advisor.views.report_whole import matter_of, report_on
from tests.browser import Browser, installed, pages_of

pytestmark = pytest.mark.skipif(
    installed() is None, reason="no browser on the path: the pages of the written recommendation were not opened"
)

ENQUIRIES = {
    "everyday": "200 M10x60 bolts 8.8 for a fence by the road, no salt, 20 years",
    "strong": "M12x40 12.9 socket cap screws, zinc plated, for the lifting eye of a crane, outdoors",
    "galvanic": "M8x30 A4-80 stainless screws into aluminium rails on a marina at the seaside",
    "trouble": "our zinc plated 10.9 bolts broke two days after tightening",
    "answer": "can I zinc plate M12 12.9 socket screws?",
}
A4, LETTER = (8.27, 11.69), (8.5, 11.0)
PHONE, DESK = 360, 1280
LEAST_CONTRAST = 4.5
"""Of ordinary text to its ground (WCAG 2.2, success criterion 1.4.3)."""
CONTRAST = """(() => {
  const parts = c => c.match(/[\\d.]+/g).map(Number);
  const light = c => { const [r, g, b] = parts(c).slice(0, 3).map(v => { v /= 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ground = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor;
    if ((parts(c)[3] ?? 1) > 0) return c; } return 'rgb(255, 255, 255)'; };
  let worst = [99, ''];
  for (const e of document.querySelectorAll('body *')) {
    if (e.closest('svg') || ![...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim())) continue;
    const [a, b] = [light(getComputedStyle(e).color), light(ground(e))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    if (ratio < worst[0]) worst = [ratio, e.tagName + ' ' + e.textContent.slice(0, 40)];
  }
  return worst; })()"""


@pytest.fixture(scope="module")
def pages(engine: Engine, vocabulary: Vocabulary, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A page a kind of case."""
    folder = tmp_path_factory.mktemp("pages")
    out = {}
    for name, words in ENQUIRIES.items():
        found = answer(Desk(engine, vocabulary), words)
        matter = matter_of(engine, found.kind, (words,), found.enquiry, found.advice, found.replies)
        out[name] = folder / f"{name}.html"
        made = Imprint("2026-12-01 09:30", "0", "0", "0123456789abcdef")
        out[name].write_text(page_of(engine.base, report_on(engine, matter, made)), "utf-8")
    return out


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    program = installed()
    assert program is not None
    with Browser(program) as opened:
        yield opened


@pytest.mark.parametrize("name", ENQUIRIES)
def test_the_page_opens_without_a_word_on_the_console_and_fetches_nothing(
    name: str, pages: dict[str, Path], browser: Browser
) -> None:
    opened = browser.open(pages[name], DESK)
    assert opened.complaints == ()
    assert opened.requests == ()
    # the policy lets the style of the page itself through
    assert browser.value("getComputedStyle(document.querySelector('.notice, .lead')).fontFamily.includes('Arial')")


@pytest.mark.parametrize("name", ENQUIRIES)
def test_nobody_scrolls_sideways_on_a_phone(name: str, pages: dict[str, Path], browser: Browser) -> None:
    browser.open(pages[name], PHONE)
    assert browser.value("document.documentElement.scrollWidth") <= PHONE
    assert browser.value("document.body.innerText.length") > 1000


@pytest.mark.parametrize("name", ENQUIRIES)
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_every_text_stands_out_from_its_ground(name: str, dark: bool, pages: dict[str, Path], browser: Browser) -> None:
    browser.open(pages[name], DESK, dark)
    ratio, where = browser.value(CONTRAST)
    assert ratio >= LEAST_CONTRAST, where


def test_dark_and_light_differ(pages: dict[str, Path], browser: Browser) -> None:
    ground = "getComputedStyle(document.documentElement).backgroundColor"
    browser.open(pages["everyday"], DESK)
    light = browser.value(ground)
    browser.open(pages["everyday"], DESK, dark=True)
    assert browser.value(ground) != light


@pytest.mark.parametrize(
    ("name", "most_of_a4", "most_of_letter"),
    # the everyday case fills two sheets of Letter to the last inch; one more caution may take a third
    [("everyday", 2, 3), ("strong", 2, 2), ("galvanic", 2, 2), ("trouble", 2, 2), ("answer", 3, 3)],
)
def test_it_prints_on_few_sheets(
    name: str, most_of_a4: int, most_of_letter: int, pages: dict[str, Path], browser: Browser
) -> None:
    browser.open(pages[name], DESK)
    assert 1 <= pages_of(browser.pdf(A4)) <= most_of_a4
    assert 1 <= pages_of(browser.pdf(LETTER)) <= most_of_letter


def test_no_word_of_a_picture_leaves_its_sheet(pages: dict[str, Path], browser: Browser) -> None:
    outside = """[...document.querySelectorAll('svg text')].filter(t => { const b = t.getBBox(),
      v = t.ownerSVGElement.viewBox.baseVal;
      return b.x < -1 || b.x + b.width > v.width + 1; }).map(t => t.textContent)"""
    for page in pages.values():
        browser.open(page, DESK)
        assert browser.value(outside) == []


def test_a_script_put_into_a_page_would_not_run(pages: dict[str, Path], browser: Browser, tmp_path: Path) -> None:
    """What escaping keeps out, the policy stops a second time."""
    broken = tmp_path / "broken.html"
    text = pages["everyday"].read_text("utf-8").replace("</main>", "<script>window.ran = 1</script></main>")
    broken.write_text(text, "utf-8")
    opened = browser.open(broken, DESK)
    assert browser.value("window.ran === undefined")
    assert any("Content Security Policy" in c for c in opened.complaints)
