"""The main ways through the service by the keys alone: every step is reached by Tab, shows where it is, and Enter does
it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hands import Keys
from loop_samples import DESK, FIFTEEN, Person
from service_samples import Site, running_site

pytestmark = pytest.mark.browser
NEEDED = ("mark", "truck_kind", "host", "train", "out", "back", "rides", "from", "to", "miles")


@pytest.fixture
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with running_site(tmp_path_factory.mktemp("service")) as one:
        yield one


def test_a_car_is_added_looked_at_read_and_given_out_by_keys_alone(site: Site, browser: Any) -> None:
    person = Person(browser, DESK, Keys)
    page, keys = person.page, person.hand
    page.goto(site.address)
    keys.press(page.get_by_role("link", name="Skip to what it says"))
    assert page.evaluate("document.activeElement.id") == "main"
    page.reload()
    person.add_car({key: said for key, said in FIFTEEN.items() if key in NEEDED})
    assert "NOT YET LOOKED AT" in page.locator("p.outcome").inner_text()

    page.goto(site.car)
    person.follow("link", "Why is it so?")
    page.go_back()
    person.follow("link", "by part")
    person.follow("link", "Wheel L1")
    keys.choose(page.get_by_label("Read by"), "HM")
    keys.write(page.get_by_label("Flange thickness"), "1-3/16")
    person.follow("button", "Enter what was read")
    assert "1 reading entered" in page.get_by_role("status").inner_text()

    page.goto(site.car)
    person.follow("link", "by fields")
    keys.choose(page.get_by_label("Who rides"), "crew")
    keys.write(page.get_by_label("Cars in the train"), "9")
    person.follow("button", "Write the move")
    assert page.get_by_role("status").inner_text() == "Written: move.rides: crew; train.cars: 9"

    page.goto(site.car)
    person.follow("button", "Give out a web page")
    assert "/dossiers/" in page.url
    page.goto(f"{site.car}/links")
    person.follow("button", "Make a link")
    assert "/inspect/" in page.get_by_role("alert").inner_text()
    assert person.odd == []
