"""The main ways through the service by the keys alone: every step is reached by Tab, shows where it is, and Enter does
it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from loop_samples import DESK, FIFTEEN, Person
from service_samples import Site, running_site

pytestmark = pytest.mark.browser
MOST_STEPS = 120
WHERE = """() => {
  const one = document.activeElement, look = getComputedStyle(one), at = one.getBoundingClientRect();
  const label = one.labels && one.labels.length ? one.labels[0].textContent : one.getAttribute('aria-label');
  const name = label || one.textContent;
  return {tag: one.tagName, name: name.trim(), outline: look.outlineStyle, wide: parseFloat(look.outlineWidth),
          seen: at.bottom > 0 && at.top < innerHeight};
}"""


@pytest.fixture
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with running_site(tmp_path_factory.mktemp("service")) as one:
        yield one


class Keys:
    """Somebody without a mouse."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def to(self, tag: str, name: str) -> None:
        """Goes on by Tab until the element of a name has the focus; each on the way is in sight and shows that it has
        it."""
        passed: list[str] = []
        for _ in range(MOST_STEPS):
            self.page.keyboard.press("Tab")
            one = self.page.evaluate(WHERE)
            if one["tag"] == "BODY":
                continue
            assert one["seen"], one
            assert one["outline"] != "none", one
            assert one["wide"] >= 2, one
            if one["tag"] == tag and one["name"].startswith(name):
                return
            passed.append(one["name"])
        raise AssertionError(f"{name} is not reached; passed: {passed}")

    def press(self, tag: str, name: str) -> None:
        self.to(tag, name)
        self.enter()

    def enter(self) -> None:
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")


def test_a_car_is_added_looked_at_read_and_given_out_by_keys_alone(site: Site, browser: Any) -> None:
    person = Person(browser, DESK)
    page, keys = person.page, Keys(person.page)
    page.goto(site.address)
    keys.to("A", "Skip to what it says")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.reload()
    keys.press("A", "New car")
    keys.to("INPUT", "Reporting mark")
    page.keyboard.type("QZZX 9")
    for key, label in (("truck_kind", "Two or three axles"), ("host", "Host railroad"), ("train", "Kind of train")):
        keys.to("SELECT" if key != "host" else "INPUT", label)
        page.keyboard.type(FIFTEEN[key])
    for key, label in (("out", "Day out"), ("back", "Day back")):
        keys.to("INPUT", label)
        year, month, of_month = FIFTEEN[key].split("-")
        page.keyboard.type(f"{month}{of_month}{year}")
        assert page.input_value(f"#{key}") == FIFTEEN[key]
    for key, label in (("rides", "Who rides"), ("from", "The place it leaves"), ("to", "The place it goes"),
                       ("miles", "Miles")):  # fmt: skip
        keys.to("SELECT" if key == "rides" else "INPUT", label)
        page.keyboard.type(FIFTEEN[key])
    keys.enter()
    assert "NOT YET LOOKED AT" in page.locator("p.outcome").inner_text()

    page.goto(site.car)
    keys.press("A", "Why is it so?")
    page.go_back()
    keys.press("A", "by part")
    keys.press("A", "Wheel L1")
    keys.to("SELECT", "Read by")
    page.keyboard.type("HM")
    keys.to("INPUT", "Flange thickness")
    page.keyboard.type("1-3/16")
    keys.enter()
    assert "1 reading entered" in page.get_by_role("status").inner_text()

    page.goto(site.car)
    keys.press("BUTTON", "Give out a web page")
    assert "/dossiers/" in page.url
    page.goto(f"{site.car}/links")
    keys.press("BUTTON", "Make a link")
    assert "/inspect/" in page.get_by_role("alert").inner_text()
    assert person.odd == []
