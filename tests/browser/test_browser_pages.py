"""Every kind of page in a real browser: nothing is asked for, nothing is reported, everyone can read it."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

LARGEST = 500_000
OPEN_ALL = "document.querySelectorAll('details').forEach(one => { one.open = true })"
RULES = {"light": {}, "dark": {"runOnly": ["color-contrast"]}}
SHORTENED = """const first = (all, most) => document.querySelectorAll(all).forEach(
  one => [...one.children].slice(most).forEach(more => more.remove()));
first('tbody, ul, ol, dl', 4); first('.columns', 6); first('.small, section > details', 8)"""
"""Further rows, lines, blocks and tables of a section are alike; they only make the checker slow."""
TOO_WIDE = """width => [...document.querySelectorAll('body *')]
  .filter(one => one.getBoundingClientRect().right > width + 1 && !one.closest('[tabindex="0"]'))
  .filter(one => one.getClientRects().length > 0)
  .map(one => `${one.tagName}.${one.className} ${one.textContent.slice(0, 60)}`)"""
CUT = """[...document.querySelectorAll('.table')]
  .filter(one => one.scrollWidth > one.clientWidth + 1)
  .filter(one => one.tabIndex !== 0 || !one.getAttribute('role') || !one.getAttribute('aria-labelledby'))
  .map(one => one.id)"""


@pytest.mark.parametrize("scheme", sorted(RULES))
def test_nothing_is_asked_for_or_reported_and_axe_finds_nothing(opened_to_shorten, written, name, scheme):
    from axe_playwright_python.sync_playwright import Axe

    page = opened_to_shorten.page
    page.emulate_media(color_scheme=scheme)
    page.evaluate(OPEN_ALL)
    page.evaluate(SHORTENED)
    found = Axe().run(page, options={**RULES[scheme], "resultTypes": ["violations"]})
    told = [
        f"{violation['id']}: {node['html'][:160]}" for violation in found.response["violations"]
        for node in violation["nodes"][:3]
    ]  # fmt: skip
    assert told == []
    assert found.response["passes"]
    assert opened_to_shorten.requests == [written(name, "html").as_uri()]
    assert opened_to_shorten.reports == []


@pytest.mark.parametrize("width", [390, 768, 1440])
def test_nothing_is_wider_than_the_screen(opened, width):
    page = opened.page
    page.set_viewport_size({"width": width, "height": 900})
    page.evaluate(OPEN_ALL)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(TOO_WIDE, width) == []
    assert page.evaluate(CUT) == []


def test_a_page_stays_small(written, name):
    html = written(name, "html").read_text(encoding="utf-8")
    assert len(html.encode()) < LARGEST * html.count("<article ")


def test_what_is_folded_opens_with_the_keyboard(browser, written):
    page = browser.new_page(viewport={"width": 390, "height": 900})
    page.goto(written("check-not-ready", "html").as_uri())
    folded = page.locator("section > details")
    assert folded.count() > 0
    first = folded.first
    assert not first.evaluate("one => one.open")
    first.locator("summary").first.focus()
    page.keyboard.press("Enter")
    assert first.evaluate("one => one.open")
    page.keyboard.press("Space")
    assert not first.evaluate("one => one.open")
    page.close()


@pytest.mark.parametrize("kind", ["check-not-ready", "check-restricted", "check-nothing-measured"])
def test_on_a_phone_all_but_the_outcome_and_the_faults_is_folded(browser, written, kind):
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(written(kind, "html").as_uri())
    opened = page.locator("section:not(:has(> details)) > h2").all_inner_texts()
    assert opened == ([] if kind == "check-restricted" else ["What keeps the car from moving"])
    assert page.locator("section > details").evaluate_all("all => all.filter(one => one.open).length") == 0
    bar = page.locator(".outcome").bounding_box()
    assert bar is not None
    assert bar["y"] + bar["height"] < 844
    page.close()


def test_the_first_screen_of_a_phone_has_every_fault_and_the_move(browser, written):
    """Five faults on 390 by 844; the move stands below them by its host and its days, to be opened."""
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(written("check-not-ready", "html").as_uri())
    faults = page.locator("section").first.locator("a[href^='#entry-']")
    assert faults.count() == 5
    ends = [faults.nth(number).bounding_box() for number in range(5)]
    assert all(one is not None and one["y"] + one["height"] <= 844 for one in ends)
    move = page.locator("summary", has_text="The move").first
    assert "Kestrel & Northern, 2026-11-06 to 2026-11-22" in move.inner_text()
    page.close()


def test_the_first_key_leads_past_the_contents(browser, written):
    page = browser.new_page(viewport={"width": 768, "height": 900})
    page.goto(written("check-not-ready", "html").as_uri())
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    assert page.locator(".skip").bounding_box()["x"] >= 0
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "page-1-says"
    page.close()


def test_the_contents_stand_open_beside_the_page_on_a_wide_screen(browser, written):
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(written("check-not-ready", "html").as_uri())
    assert page.locator("nav a").first.is_visible()
    page.set_viewport_size({"width": 390, "height": 900})
    assert not page.locator("nav a").first.is_visible()
    page.close()
