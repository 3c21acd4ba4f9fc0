"""What comes out of the printer from the browser: all of it, numbered, nothing cut, no blocker split."""

from __future__ import annotations

import re

import pytest
from pdf_samples import sheets

pytestmark = pytest.mark.browser

PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}
MARGINS = 30
FOLDED = """[...document.querySelectorAll('section > details')].flatMap(one => {
  const printed = one.cloneNode(true);
  // not for paper: what is for a phone, stands in a drawing's stead, or repeats a heading for a screen reader
  printed.querySelectorAll('.narrow, figcaption details, style, .headed caption, .said').forEach(one => one.remove());
  const texts = document.createTreeWalker(printed, NodeFilter.SHOW_TEXT), found = [];
  while (texts.nextNode()) found.push(texts.currentNode.data);
  return found;
})"""
BLOCKERS = """[...document.querySelectorAll('.item.numbered')].map(
  one => [one.offsetHeight, [...one.querySelectorAll('h3, dt, dd, li')].map(piece => piece.textContent)])"""
CUT = """[...document.querySelectorAll('table, figure, .rows, ul')]
  .filter(one => one.getBoundingClientRect().right > innerWidth + 1).map(one => one.textContent.slice(0, 80))"""
SHORTER_THAN_A_SHEET = 700
WITH_BLOCKERS = ["check-not-ready", "check-short", "plan", "due"]


def squeezed(text: str) -> str:
    """The text without white space and signs that a PDF may write in several ways."""
    return re.sub(r"[^A-Za-z0-9]", "", text)


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_a_browser_prints_what_is_folded_too_with_numbers_and_a_running_head(browser, written, paper):
    page = browser.new_page()
    page.goto(written("check-not-ready", "html").as_uri())
    folded = page.evaluate(FOLDED)
    assert len(folded) > 500
    assert page.evaluate("document.querySelectorAll('section > details[open]').length") == 0
    printed_sheets = sheets(page.pdf(format=paper, prefer_css_page_size=False))
    page.close()
    printed = squeezed("".join(printed_sheets))
    assert [text for text in folded if squeezed(text)[:20] not in printed] == []
    for number, sheet in enumerate(printed_sheets, start=1):
        assert squeezed(f"page {number} of {len(printed_sheets)}") in squeezed(sheet)
        assert "QWHX27WrenHollow" in squeezed(sheet)
        assert "NOTREADY" in squeezed(sheet)


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_nothing_is_cut_off_on_paper(opened, paper):
    across = round((PAPERS[paper][0] - MARGINS) / 25.4 * 96)
    page = opened.page
    page.set_viewport_size({"width": across, "height": 900})
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= across
    assert page.evaluate(CUT) == []


def test_print_is_black_on_white_even_on_a_dark_screen(browser, written):
    page = browser.new_page(color_scheme="dark")
    page.goto(written("check-not-ready", "html").as_uri())
    page.emulate_media(media="print", color_scheme="dark")
    colours = page.evaluate("(one => [one.color, one.backgroundColor])(getComputedStyle(document.body))")
    assert colours == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    # a finding's NOT READY alone is reversed, and the printer is told to keep its ground
    bar = """(one => [one.color, one.backgroundColor, one.printColorAdjust])(
      getComputedStyle(document.querySelector('.bar')))"""
    assert page.evaluate(bar) == ["rgb(255, 255, 255)", "rgb(17, 17, 17)", "exact"]
    page.close()


@pytest.mark.parametrize("name", WITH_BLOCKERS, indirect=True)
def test_no_blocker_is_split_over_two_sheets(opened, name):
    page = opened.page
    page.set_viewport_size({"width": 680, "height": 900})
    page.emulate_media(media="print")
    blockers = [pieces for height, pieces in page.evaluate(BLOCKERS) if height < SHORTER_THAN_A_SHEET]
    assert blockers
    for pdf in (page.pdf(format="A4"), page.pdf(format="Letter")):
        printed = [squeezed(sheet) for sheet in sheets(pdf)]
        for heading, *pieces in blockers:
            ends = [squeezed(piece)[end] for piece in pieces for end in (slice(16), slice(-16, None))]
            with_heading = [sheet for sheet in printed if squeezed(heading) in sheet]
            assert any(all(end in sheet for end in ends) for sheet in with_heading), heading
