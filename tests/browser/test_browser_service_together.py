"""Several people at one car: two browsers that change its record at once, and a shop that comes by a link."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_barriers import has_no_barrier
from form_samples import copy_of, told_of
from loop_samples import DESK, PHONE, Person, box_of
from service_samples import Site, running_site
from walk_samples import PUT_ALL

pytestmark = pytest.mark.browser


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    with running_site(tmp_path / "data") as one:
        yield one


def test_the_second_of_two_who_change_a_record_is_told_and_shown_the_difference(site: Site, browser: Any) -> None:
    first, second = Person(browser, DESK), Person(browser, PHONE)
    for one in (first, second):
        one.page.goto(f"{site.car}/texts/record")
    before = second.page.input_value("#text")
    mine = before.replace("  built_on: 1938", "  built_on: 1939")
    theirs = before.replace("  HM: {role: shop inspector}", "  HM: {role: owner}")
    assert before not in (mine, theirs)
    first.page.fill("#text", theirs)
    first.page.get_by_role("button", name="Write it as a new version").click()
    first.page.locator("p.outcome").wait_for()

    second.page.fill("#text", mine)
    second.page.get_by_role("button", name="Write it as a new version").click()
    told = second.page.get_by_role("alert")
    told.get_by_role("heading", name="Somebody else wrote meanwhile").wait_for()
    lines = told.locator("pre").inner_text().split("\n")
    assert "-  HM: {role: owner}" in lines
    assert "+  HM: {role: shop inspector}" in lines
    assert "+  built_on: 1939" in lines
    assert second.page.input_value("#text") == mine
    has_no_barrier(second.page)
    assert site.keeping.text(site.car_id, "record")[1] == theirs

    second.page.fill("#text", theirs.replace("  built_on: 1938", "  built_on: 1939"))
    second.page.get_by_role("button", name="Write it as a new version").click()
    second.page.locator("p.outcome").wait_for()
    written = site.keeping.text(site.car_id, "record")[1]
    assert "HM: {role: owner}" in written
    assert "built_on: 1939" in written


def test_a_shop_fills_in_its_sheet_and_the_owner_enters_it_as_the_shops(
    site: Site, browser: Any, tmp_path: Path
) -> None:
    owner, shop = Person(browser, DESK), Person(browser, PHONE)
    owner.page.goto(f"{site.car}/links")
    owner.page.get_by_label("The sheet").select_option("truck B")
    owner.page.get_by_label("The shop's name").fill("Hollow Shops")
    owner.page.get_by_label("Who signs").select_option("HM")
    owner.page.get_by_role("button", name="Make a link").click()
    link = owner.page.get_by_role("alert").locator("pre").inner_text()

    shop.page.goto(link)
    has_no_barrier(shop.page)
    with shop.page.expect_download() as download:
        shop.page.get_by_role("link", name="For a phone or a browser").click()
    sheet = tmp_path / "sheet.html"
    download.value.save_as(sheet)
    form = shop.context.new_page()
    form.goto(sheet.as_uri())
    told = told_of(form.locator("script#form").text_content())
    number = next(n for n, one in enumerate(told["sheets"], start=1) if one["name"] == "truck B")
    flange = box_of(told, "wheel L1", "flange_thickness")
    form.evaluate(PUT_ALL, {f"on-{number}": "2026-10-08", f"by-{number}": "HM", flange: "1-3/16 in"})
    filled = copy_of(form, tmp_path / "filled.html")

    shop.page.set_input_files("#form", filled)
    shop.page.get_by_role("button", name="Send it").click()
    shop.page.get_by_role("heading", name="It is here, and waits").wait_for()
    assert "flange_thickness: 1-3/16 in" in shop.says()
    has_no_barrier(shop.page)
    assert site.keeping.newest(site.car_id, "record").number == 1

    owner.page.goto(site.car)
    owner.page.get_by_role("link", name="filled.html").first.click()
    has_no_barrier(owner.page)
    owner.page.get_by_role("button", name="Enter it as the shop's").click()
    owner.page.locator("p.outcome").wait_for()
    assert "Hollow Shops" in owner.page.locator("ol.history li", has_text="record 2").inner_text()
    shop.page.goto(link)
    assert "accepted" in shop.says()
    assert owner.odd + shop.odd == []
