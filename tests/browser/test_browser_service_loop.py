"""The whole loop on the pages of the service: set-up, a car by fifteen answers, why it is not ready, a form on a phone
that loses the network, work, ready, what the repair cleared, the inspector's link, and his remark."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from axe_barriers import has_no_barrier
from loop_samples import DESK, FIFTEEN, PHONE, Person, box_of
from service_samples import PublicSite, public_site

pytestmark = pytest.mark.browser
FIRST, WORKED, SECOND = "2026-10-01", "2026-10-02", "2026-10-03"
BAD = "safety appliance 1"
TOO_FAR = "2"


def day(text: str) -> datetime:
    return datetime.fromisoformat(f"{text}T12:00").replace(tzinfo=UTC)


def test_from_the_set_up_to_the_remark_of_the_inspector(browser: Any, tmp_path: Path) -> None:
    with public_site(tmp_path, day(FIRST)) as site:
        _walk(site, browser)


def _walk(site: PublicSite, browser: Any) -> None:
    owner, helper, inspector = Person(browser, DESK), Person(browser, PHONE), Person(browser, PHONE)
    owner.set_up(site, "Ash")
    owner.page.get_by_role("link", name="People").click()
    owner.page.fill("#label", "Birch")
    owner.page.get_by_role("button", name="Make an invitation").click()
    helper.page.goto(owner.page.get_by_role("alert").locator("pre").inner_text())
    helper.make_account("Birch")

    assert len(FIFTEEN) == 15
    car = owner.add_car(FIFTEEN)
    assert owner.page.locator("h1").inner_text() == "QZZX 9"
    assert "NOT YET LOOKED AT" in owner.page.locator("p.outcome").inner_text()
    assert "Not measured: " in owner.page.locator("ol > li").first.inner_text()
    has_no_barrier(owner.page)

    told = helper.open_form(car)
    helper.write_gauges(told)
    helper.fill_in(told, FIRST)
    helper.page.fill(f"#{box_of(told, BAD, 'projection')}", TOO_FAR)
    helper.context.set_offline(True)
    helper.send()
    helper.page.locator("#sent", has_text="No signal").wait_for()
    helper.context.set_offline(False)
    assert helper.sent().endswith("answers. The service has it."), helper.not_taken()

    owner.page.goto(car)
    assert owner.page.locator("p.outcome").inner_text().startswith("NOT READY")
    first = owner.page.locator("ol > li").first.inner_text()
    assert first.startswith("Safety appliance 1: projection 2 in; must be at most 1 in (49 CFR 231.")
    has_no_barrier(owner.page)

    site.clock.now = day(WORKED)
    helper.page.goto(car)
    helper.page.get_by_role("link", name="What work to do in what order").click()
    job = helper.page.get_by_role("checkbox", name="Safety appliance repaired (safety appliance 1): done")
    job.check()
    helper.page.get_by_label("Done by").select_option("HM")
    helper.page.get_by_role("button", name="Write it into the work log").click()
    helper.page.get_by_text("In the work log: safety appliance repaired at 1").wait_for()
    assert job.count() == 0

    site.clock.now = day(SECOND)
    told = helper.open_form(car)
    asked = {box["part"] for sheet in told["sheets"] if sheet["signed"] for box in sheet["boxes"]}
    assert BAD in asked  # the repair made its readings void
    assert "wheel L1" not in asked
    helper.fill_in(told, SECOND)
    helper.send()
    assert helper.sent().endswith("answers. The service has it."), helper.not_taken()

    owner.page.goto(car)
    assert owner.page.locator("p.outcome").inner_text().startswith("READY"), owner.says()
    assert owner.page.get_by_role("heading", name="What keeps it from moving").count() == 0

    owner.page.get_by_label("From the record").select_option("2")
    owner.page.get_by_role("button", name="Compare").click()
    owner.page.get_by_role("heading", name="Cleared").wait_for()
    row = owner.page.locator("tr", has_text="projection").first.inner_text().replace("\xa0", " ")
    assert "breached, 2 in (1 in past the limit)" in row
    assert "3/4 in (1/4 in to spare)" in row

    owner.page.goto(car)
    owner.page.get_by_role("button", name="Give out a web page").click()
    owner.page.goto(car)
    owner.page.get_by_role("link", name="Links").click()
    owner.page.get_by_role("button", name="Make a link").first.click()
    link = owner.page.get_by_role("alert").locator("pre").inner_text()

    inspector.page.goto(link)
    assert "READY" in inspector.page.locator("p.outcome").inner_text()
    has_no_barrier(inspector.page)
    inspector.page.get_by_role("link", name="Open the dossier").click()
    assert "READY" in inspector.page.locator("body").inner_text()
    inspector.page.go_back()
    inspector.page.get_by_label("accepted").check()
    inspector.page.get_by_label("Your name").fill("Lee Alder")
    inspector.page.get_by_label("Remarks").fill("Rear of train only.")
    inspector.page.get_by_role("button", name="Leave it with the owner").click()
    inspector.page.get_by_role("heading", name="What you left").wait_for()

    owner.page.goto(car)
    found = owner.page.locator("ul.cars li", has_text="Lee Alder").inner_text()
    assert found.startswith("Accepted")
    assert "Rear of train only." in found
    history = owner.page.locator("ol.history").inner_text()
    assert "Lee Alder, by inspector's link" in history
    assert owner.odd + helper.odd + inspector.odd == []
