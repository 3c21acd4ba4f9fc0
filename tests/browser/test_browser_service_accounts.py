"""Coming in, in Chromium: set-up, an invitation, the inspector's link, a log-in, without a barrier for anybody."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_barriers import has_no_barrier
from service_samples import PublicSite, public_site, with_a_car

pytestmark = pytest.mark.browser
WORD = "seven green lanterns"


@pytest.fixture
def site(tmp_path: Path) -> Iterator[PublicSite]:
    with public_site(tmp_path) as one:
        yield one


def person(browser: Any) -> Any:
    return browser.new_context(ignore_https_errors=True).new_page()


def test_from_the_set_up_to_the_inspectors_finding(site: PublicSite, browser: Any) -> None:
    car = with_a_car(site.keeping)
    owner = person(browser)
    owner.goto(site.address)
    assert owner.title() == "Log in"
    has_no_barrier(owner, 390)
    owner.goto(f"{site.address}/set-up")
    has_no_barrier(owner, 390)
    owner.fill("#secret", site.accounts.set_up_token())
    owner.fill("#name", "Ash")
    owner.fill("#password", WORD)
    owner.keyboard.press("Enter")
    owner.get_by_role("heading", name="Cars by coming move").wait_for()
    (cookie,) = owner.context.cookies()
    assert (cookie["name"], cookie["httpOnly"], cookie["secure"]) == ("__Host-carknocker", True, True)

    owner.get_by_role("link", name="People").click()
    owner.fill("#label", "Birch")
    owner.get_by_role("button", name="Make an invitation").click()
    address = owner.get_by_role("alert").locator("pre").inner_text()
    has_no_barrier(owner, 390)

    helper = person(browser)
    helper.goto(address)
    has_no_barrier(helper, 390)
    helper.fill("#name", "Birch")
    helper.fill("#password", WORD)
    helper.get_by_role("button", name="Make the account").click()
    helper.get_by_role("link", name="Birch").click()
    has_no_barrier(helper, 390)
    helper.goto(f"{site.address}/cars/{car}")
    assert helper.get_by_role("button", name="Give out a PDF").count() == 0
    assert helper.goto(f"{site.address}/people").status == 403

    owner.goto(f"{site.address}/cars/{car}")
    owner.get_by_role("button", name="Give out a web page").click()
    owner.goto(f"{site.address}/cars/{car}/links")
    has_no_barrier(owner, 390)
    owner.get_by_role("button", name="Make a link").first.click()
    link = owner.get_by_role("alert").locator("pre").inner_text()
    assert re.fullmatch(rf"{site.address}/inspect/[\w-]{{43}}", link)

    inspector = person(browser)
    inspector.goto(link)
    has_no_barrier(inspector, 390)
    inspector.get_by_label("declined").check()
    inspector.get_by_label("Your name").fill("Lee Alder")
    inspector.get_by_label("Remarks").fill("Nothing was measured.")
    inspector.get_by_role("button", name="Leave it with the owner").click()
    inspector.get_by_role("heading", name="What you left").wait_for()
    inspector.get_by_role("link", name="Open the dossier").click()
    assert "NOT" in inspector.locator("body").inner_text().upper()
    assert inspector.goto(f"{site.address}/").url.startswith(f"{site.address}/log-in")

    owner.goto(f"{site.address}/cars/{car}")
    assert "Nothing was measured." in owner.locator("main").inner_text()
    owner.goto(f"{site.address}/cars/{car}/links")
    owner.get_by_role("button", name="Take back").first.click()
    assert inspector.goto(link).status == 404
    owner.goto(f"{site.address}/audit")
    assert "opened the dossier" in owner.locator("main").inner_text()
    has_no_barrier(owner, 390)

    owner.get_by_role("link", name="Ash", exact=True).click()
    owner.get_by_role("button", name="Log out").click()
    owner.get_by_role("heading", name="Log in").wait_for()
    owner.fill("#name", "Ash")
    owner.fill("#password", "another long word")
    owner.keyboard.press("Enter")
    owner.get_by_role("alert", name="").first.wait_for()
    assert "don't go together" in owner.get_by_role("alert").inner_text()
    owner.fill("#password", WORD)
    owner.keyboard.press("Enter")
    owner.get_by_role("heading", name="Cars by coming move").wait_for()
