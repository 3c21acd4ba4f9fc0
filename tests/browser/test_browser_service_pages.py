"""The pages of the service in Chromium: at the size of a phone and of a desk, by keyboard alone, with what a reader of
screens is told."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from photograph_samples import photograph
from service_samples import Site, running_site

pytestmark = pytest.mark.browser
SIZES = ((390, 844), (1440, 900))
PAGES = (
    "", "/photographs", "/texts/record", "/texts/move", "/parts", "/work", "/calendar", "/reasons", "!/rules",
    "!/new", "!/", "!/audit", "/links", "/due", "/plan",
    "/reasons?part=wheel%20L1",
    "/move", "/part?name=wheel%20L1", "/part?name=car", "/history", "!/rules/sent", "!/?away=true",
    "/compare/1/1", "/request", "/setout", "/tag", "/wheel-order", "/place-wheels", "/spares", "/figures",
    "!/rules/us-federal/2020?rule=flange-thickness", "!/rules/compare?before=us-federal/2016&after=us-federal/2020",
)  # fmt: skip


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with running_site(tmp_path_factory.mktemp("service")) as one:
        yield one


@pytest.fixture(scope="module")
def tab(browser: Any) -> Iterator[Any]:
    context = browser.new_context()
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("size", SIZES, ids=["phone", "desk"])
@pytest.mark.parametrize("address", PAGES)
def test_a_page_fits_says_nothing_odd_and_has_no_barrier(
    site: Site, tab: Any, address: str, size: tuple[int, int]
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    reports: list[str] = []
    tab.on("console", lambda message: reports.append(message.text))
    tab.on("pageerror", lambda error: reports.append(str(error)))
    tab.set_viewport_size({"width": size[0], "height": size[1]})
    tab.goto(site.address + address[1:] if address.startswith("!") else site.car + address)
    assert tab.evaluate("document.documentElement.scrollWidth") <= size[0]
    found = Axe().run(tab).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found] == []
    assert [one for one in reports if "axe" not in one] == []


def test_each_problem_of_a_text_shows_at_its_line_while_it_is_typed(site: Site, tab: Any) -> None:
    tab.set_viewport_size({"width": 1440, "height": 900})
    tab.goto(f"{site.car}/texts/record")
    tab.locator("#looked-through", has_text="Nothing is wrong").wait_for()
    before = tab.input_value("#text")
    line = before.split("\n").index("  built_on: 1938") + 1
    tab.locator("#text").focus()
    tab.fill("#text", before.replace("  built_on: 1938", "  bilt_on: 1938"))
    tab.locator("#problems li").first.wait_for()
    assert tab.locator("#problems li").first.inner_text().startswith(f"Line {line} the key `bilt_on`")
    assert "built_on" in tab.locator("#problems li").first.inner_text()
    marked = [one for one in tab.locator("#lines").text_content().split("\n") if one.startswith("✗")]
    assert marked[0] == f"✗ {line}"
    tab.locator("#problems button").first.press("Enter")
    assert tab.evaluate("document.activeElement.id") == "text"
    assert (
        tab.evaluate("document.activeElement.value.slice(0, document.activeElement.selectionStart).split('\\n').length")
        == line
    )
    tab.fill("#text", before)
    tab.locator("#looked-through", has_text="Nothing is wrong").wait_for()
    assert tab.locator("#problems li").count() == 0


def test_a_photograph_is_put_on_record_by_keyboard_alone(site: Site, tab: Any, tmp_path: Any) -> None:
    picture = tmp_path / "a.jpg"
    picture.write_bytes(photograph(800, 600))
    tab.goto(f"{site.car}/photographs")
    tab.set_input_files("#photograph", picture)
    tab.locator("#of").press_sequentially("wheel L1")
    tab.keyboard.press("Tab")
    tab.locator("#by").focus()
    tab.keyboard.type("HM")
    tab.locator("button", has_text="Put it on record").press("Enter")
    tab.locator(".photographs img").wait_for()
    assert tab.locator(".photographs img").evaluate("one => one.naturalWidth") == 800
