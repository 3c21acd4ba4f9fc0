"""The form that sends itself to the service, in Chromium, with the network lost and back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from form_samples import told_of
from photograph_samples import photograph
from service_samples import Site, running_site

pytestmark = pytest.mark.browser
DAY = "2026-10-08"


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    with running_site(tmp_path / "data") as one:
        yield one


@pytest.fixture
def phone(browser: Any) -> Iterator[Any]:
    made = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    yield made
    made.close()


def form_of(site: Site, phone: Any) -> tuple[Any, dict[tuple[str, str], str]]:
    """The form, opened from the car's page, and the id of the field of each part and attribute."""
    page = phone.new_page()
    page.goto(site.car)
    page.get_by_role("link", name="Fill in the worksheet here").click()
    told = told_of(page.locator("script#form").text_content())
    ids = {(box["part"], box["attribute"]): f"#{box['id']}" for sheet in told["sheets"] for box in sheet["boxes"]}
    page.fill("#on-1", DAY)
    page.fill("#by-1", "HM")
    return page, ids


def records(site: Site) -> int:
    return site.keeping.newest(site.car_id, "record").number


def loses_the_first_answer(page: Any) -> list[str]:
    """The service gets each form that is sent, but its first answer never comes. The keys of all that is sent."""
    seen: list[str] = []

    def lose_the_first(route: Any) -> None:
        seen.append(route.request.headers["idempotency-key"])
        answer = route.fetch()
        if len(seen) == 1:
            route.abort()
        else:
            route.fulfill(response=answer)

    page.route("**/api/cars/*/forms*", lose_the_first)
    return seen


def test_what_was_sent_without_a_signal_is_entered_once_when_it_is_back(site: Site, phone: Any) -> None:
    page, ids = form_of(site, phone)
    flange = ids["wheel L1", "flange_thickness"]
    page.fill(flange, "1-1/8 in")
    phone.set_offline(True)
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator("#sent", has_text="No signal").wait_for()
    assert page.input_value(flange) == "1-1/8 in"
    page.fill(ids["wheel R1", "flange_thickness"], "1-3/16 in")
    assert records(site) == 1
    phone.set_offline(False)
    page.locator("#sent", has_text="The service has it").wait_for()
    assert page.locator("#sent").inner_text() == "Entered: 1 answer. The service has it."
    assert page.locator(f"#told-{flange[1:]}").inner_text() == "Entered: 1-1/8 in"
    assert page.input_value(flange) == ""
    assert page.input_value(ids["wheel R1", "flange_thickness"]) == "1-3/16 in"  # typed while it waited: not sent yet
    assert records(site) == 2
    assert "flange_thickness: 1-1/8 in" in site.keeping.text(site.car_id, "record")[1]
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator(f"#told-{ids['wheel R1', 'flange_thickness'][1:]}").wait_for()
    page.reload()
    assert page.input_value(flange) == ""
    assert records(site) == 3


def test_an_answer_that_was_lost_on_its_way_is_not_entered_twice(site: Site, phone: Any) -> None:
    page, ids = form_of(site, phone)
    page.fill(ids["wheel L1", "flange_thickness"], "1-1/8 in")
    seen = loses_the_first_answer(page)
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator("#sent", has_text="No signal").wait_for()
    assert records(site) == 2  # it came through; only the answer did not
    page.reload()
    page.locator("#sent", has_text="The service has it").wait_for()
    assert len(set(seen)) == 1
    assert len(seen) == 2
    assert records(site) == 2


def test_an_answer_that_never_comes_is_given_up_and_the_form_sent_again_under_the_same_key(
    site: Site, phone: Any
) -> None:
    page, ids = form_of(site, phone)
    seen: list[str] = []

    def hang_the_first(route: Any) -> None:
        seen.append(route.request.headers["idempotency-key"])
        if len(seen) > 1:
            route.fallback()

    page.route("**/api/cars/*/forms*", hang_the_first)
    page.clock.install()
    page.fill(ids["wheel L1", "flange_thickness"], "1-1/8 in")
    page.get_by_role("button", name="Send", exact=True).tap()
    page.clock.run_for(179_000)
    assert page.locator("#sent").inner_text() == "Sending…"
    page.clock.run_for(2_000)
    page.locator("#sent", has_text="No signal").wait_for()
    page.clock.run_for(6_000)
    page.locator("#sent", has_text="The service has it").wait_for()
    assert len(seen) == 2
    assert len(set(seen)) == 1
    assert records(site) == 2


def with_photograph(site: Site, phone: Any) -> Any:
    page, _ = form_of(site, phone)
    place = page.locator("[data-photograph]").first
    place.set_input_files({"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": photograph(500, 400)})
    page.locator("#says", has_text="The photograph is kept here until it is sent.").wait_for()
    return page


def test_a_photograph_outlasts_a_reload_until_it_is_sent(site: Site, phone: Any) -> None:
    page = with_photograph(site, phone)
    page.reload()
    page.locator("[data-photographs] img").wait_for()
    assert page.locator("[data-photographs] img").count() == 1
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator("#sent", has_text="and 1 photograph. The service has it.").wait_for()
    page.reload()
    page.locator("#keeps", has_text="what you type and photograph").wait_for()
    assert page.locator("[data-photographs] img").count() == 0
    assert len(site.keeping.history.versions(site.car_id, "photograph")) == 1


def test_a_photograph_whose_answer_was_lost_goes_out_again_under_the_same_key_after_a_reload(
    site: Site, phone: Any
) -> None:
    page = with_photograph(site, phone)
    seen = loses_the_first_answer(page)
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator("#sent", has_text="No signal").wait_for()
    page.reload()
    page.locator("#sent", has_text="The service has it").wait_for()
    assert len(seen) == 2
    assert len(set(seen)) == 1
    assert len(site.keeping.history.versions(site.car_id, "photograph")) == 1
    assert page.locator("[data-photographs] img").count() == 0


def test_what_is_refused_is_said_at_its_field_and_stays(site: Site, phone: Any) -> None:
    page, ids = form_of(site, phone)
    good, bad = ids["wheel L1", "flange_thickness"], ids["coupler B", "coupler_height"]
    page.fill(good, "1-1/8 in")
    page.fill("#on-3", DAY)
    page.fill("#by-3", "HM")
    page.fill(bad, "tall")
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator("#sent", has_text="Not everything").wait_for()
    assert page.locator(f"#told-{good[1:]}").inner_text() == "Entered: 1-1/8 in"
    said = page.locator(f"#told-{bad[1:]}").inner_text()
    assert said.startswith("Not entered: ")
    assert "tall" in said
    assert page.input_value(bad) == "tall"
    assert page.get_attribute(bad, "aria-invalid") == "true"
    page.locator("#not-taken a", has_text="tall").tap()
    assert page.evaluate("document.activeElement.id") == bad[1:]
    page.fill(bad, "34 in")
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator("#sent", has_text="The service has it").wait_for()
    assert page.locator(f"#told-{bad[1:]}").inner_text() == "Entered: 34 in"


def test_a_form_without_an_answer_is_not_sent(site: Site, phone: Any) -> None:
    page, _ = form_of(site, phone)
    page.get_by_role("button", name="Send", exact=True).tap()
    assert page.locator("#sent").inner_text() == "Nothing is filled in yet."
    assert records(site) == 1


def test_no_barrier_is_found_and_it_asks_nobody_but_the_service(site: Site, phone: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page, ids = form_of(site, phone)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.fill(ids["coupler B", "coupler_height"], "tall")
    page.get_by_role("button", name="Send", exact=True).tap()
    page.locator("#not-taken li").first.wait_for()
    assert [one.partition("?")[0] for one in asked] == [f"{site.address}/api/cars/{site.car_id}/forms"]
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found] == []
