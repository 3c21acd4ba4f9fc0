"""The whole loop on the pages of the service: set-up, a car by fifteen answers, why it is not ready, a form on a phone
that loses the network, work, ready, what the repair cleared, the inspector's link, and his remark. Walked with a mouse
and a finger, and all of it by the keys alone."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from axe_barriers import has_no_barrier
from hands import Keys, Pointer
from loop_samples import DESK, FIFTEEN, PHONE, Person, box_of, gauges_held
from service_samples import PublicSite, public_site

pytestmark = pytest.mark.browser
FIRST, WORKED, SECOND = "2026-10-01", "2026-10-02", "2026-10-03"
BAD = "safety appliance 1"
TOO_FAR = "2"


def day(text: str) -> datetime:
    return datetime.fromisoformat(f"{text}T12:00").replace(tzinfo=UTC)


@pytest.mark.parametrize("hand", [Pointer, pytest.param(Keys, marks=pytest.mark.long)])
def test_from_the_set_up_to_the_remark_of_the_inspector(
    browser: Any, tmp_path: Path, hand: type[Pointer] | type[Keys]
) -> None:
    with public_site(tmp_path, day(FIRST)) as site:
        _walk(site, browser, hand)


def _walk(site: PublicSite, browser: Any, hand: type[Pointer] | type[Keys]) -> None:
    owner, helper, inspector = (Person(browser, size, hand) for size in (DESK, PHONE, PHONE))
    owner.set_up(site, "Ash")
    owner.follow("link", "People")
    owner.hand.write(owner.page.locator("#label"), "Birch")
    owner.follow("button", "Make an invitation")
    helper.page.goto(owner.page.get_by_role("alert").locator("pre").inner_text())
    helper.make_account("Birch")

    assert len(FIFTEEN) == 15
    car = owner.add_car(FIFTEEN)
    assert owner.page.locator("h1").inner_text() == "QZZX 9"
    assert "NOT YET LOOKED AT" in owner.page.locator("p.outcome").inner_text()
    assert "Not measured: " in owner.page.locator("ol > li").first.inner_text()
    has_no_barrier(owner.page)

    told = helper.open_form(car)
    helper.fill_in(told, FIRST, {**gauges_held(told), box_of(told, BAD, "projection"): TOO_FAR})
    helper.context.set_offline(True)
    helper.send()
    helper.page.locator("#sent", has_text="No signal").wait_for()
    helper.context.set_offline(False)
    assert helper.sent().endswith("answers. The service has it."), helper.not_taken()
    has_no_barrier(helper.page)

    owner.page.goto(car)
    assert owner.page.locator("p.outcome").inner_text().startswith("NOT READY")
    first = owner.page.locator("ol > li").first.inner_text()
    assert first.startswith("Safety appliance 1: projection 2 in; must be at most 1 in (49 CFR 231.")
    has_no_barrier(owner.page)

    site.clock.now = day(WORKED)
    helper.page.goto(car)
    helper.follow("link", "What work to do in what order")
    has_no_barrier(helper.page)
    job = helper.page.get_by_role("checkbox", name="Safety appliance repaired (safety appliance 1): done")
    helper.hand.tick(job)
    helper.hand.choose(helper.page.get_by_label("Done by"), "HM")
    helper.follow("button", "Write it into the work log")
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

    owner.hand.choose(owner.page.get_by_label("From the record"), "2")
    owner.follow("button", "Compare")
    owner.page.get_by_role("heading", name="Cleared").wait_for()
    row = owner.page.locator("tr", has_text="projection").first.inner_text().replace("\xa0", " ")
    assert "breached, 2 in (1 in past the limit)" in row
    assert "3/4 in (1/4 in to spare)" in row
    has_no_barrier(owner.page)

    owner.page.goto(car)
    owner.follow("button", "Give out a web page")
    owner.page.goto(car)
    owner.follow("link", "Links", exact=True)
    owner.follow("button", "Make a link")
    link = owner.page.get_by_role("alert").locator("pre").inner_text()

    inspector.page.goto(link)
    assert "READY" in inspector.page.locator("p.outcome").inner_text()
    has_no_barrier(inspector.page)
    inspector.follow("link", "Open the dossier")
    assert "READY" in inspector.page.locator("body").inner_text()
    inspector.page.go_back()
    inspector.hand.tick(inspector.page.get_by_label("accepted"))
    inspector.hand.write(inspector.page.get_by_label("Your name"), "Lee Alder")
    inspector.hand.write(inspector.page.get_by_label("Remarks"), "Rear of train only.")
    inspector.follow("button", "Leave it with the owner")
    inspector.page.get_by_role("heading", name="What you left").wait_for()

    owner.page.goto(car)
    found = owner.page.locator("ul.cars li", has_text="Lee Alder").inner_text()
    assert found.startswith("Accepted")
    assert "Rear of train only." in found
    history = owner.page.locator("ol.history").inner_text()
    assert "Lee Alder, by inspector's link" in history
    assert owner.odd + helper.odd + inspector.odd == []
