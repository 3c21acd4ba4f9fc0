"""What somebody does on the pages of the service, a step at a time, as with a finger or a mouse."""

from __future__ import annotations

import re
from typing import Any

from form_samples import told_of
from service_samples import PublicSite
from walk_samples import ANSWERS, FOUND, PUT_ALL, fill_in

PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
DESK: dict[str, Any] = {"viewport": {"width": 1440, "height": 900}}
WORD = "seven green lanterns"
_KEYS = (
    "mark", "built_on", "truck_kind", "bearing_class", "control_valve", "hand_brake", "people", "host", "train", "out",
    "back", "rides", "from", "to", "miles",
)  # fmt: skip
FIFTEEN = {key: said for key, _, said in (one.partition("=") for one in ANSWERS) if key in _KEYS}
"""Answers to the questions about a new car; all else comes in by a form."""
_NONE = (
    "main_reservoir_hoses", "power_jumpers", "communication_jumpers", "end_platform_handholds", "end_handrails",
    "sill_steps", "box_springs", "side_door_handholds", "side_door_steps",
)  # fmt: skip
SEEN = {
    **FOUND,
    "private_car": "yes", "designed_to_carry": "the public", "frame": "one-piece cast", "equalized": "yes",
    "connections_to_body": "air hose, brake rod", "main_reservoir_line": "no", "signal_line": "yes", "braked": "yes",
    "mounting": "truck", "end_kind": "wide vestibule", "coupler_type": "type H", "gas_system": "none",
    "head-end power fitted": "no", "communication line fitted": "no", "water fitted": "no", "lies": "level",
    "end_handholds": "2", "side_handholds": "4", "brake_pipe_hoses": "1", "signal_hoses": "1", "angle_cocks": "1",
    "end_cocks": "1", "bolster_springs": "2", "equalizer_springs": "4", "equalizers": "2", "shock_absorbers": "2",
    "truck_hoses": "1", "brake_cylinders": "2", "cut_out_cocks": "1", "reservoirs": "2",
    **dict.fromkeys(_NONE, "none fitted"),
}  # fmt: skip
"""What the inspector of such a car finds where its owner answered fifteen questions: what the car is, too, and how many
there are of what."""
GAUGES_HELD = (
    ("G-1", "finger gauge", "1/64 in"), ("G-2", "coupler height gauge", "1/16 in"),
    ("G-3", "back-to-back gauge", "1/64 in"), ("G-4", "air gauge", "1 psi"), ("G-5", "taper gauge", "1/64 in"),
)  # fmt: skip


class Person:
    """Somebody at a browser of their own. said: what their pages reported as odd."""

    def __init__(self, browser: Any, size: dict[str, Any]) -> None:
        self.context = browser.new_context(ignore_https_errors=True, **size)
        self.page = self.context.new_page()
        self.odd: list[str] = []
        self.page.on("pageerror", lambda error: self.odd.append(str(error)))

    def set_up(self, site: PublicSite, name: str) -> None:
        """Makes the first account with the token of the terminal."""
        self.page.goto(site.address)
        self.page.get_by_role("link", name="Set up").click()
        self.page.fill("#secret", site.accounts.set_up_token())
        self.make_account(name)

    def make_account(self, name: str) -> None:
        self.page.fill("#name", name)
        self.page.fill("#password", WORD)
        self.page.keyboard.press("Enter")
        self.page.get_by_role("heading", name="Cars by coming move").wait_for()

    def add_car(self, answers: dict[str, str]) -> str:
        """Adds a car by answers, and returns the address of its page."""
        self.page.get_by_role("link", name="New car").click()
        for key, said in answers.items():
            field = self.page.locator(f"#{key}")
            if field.evaluate("one => one.tagName") == "SELECT":
                field.select_option(said)
            else:
                field.fill(said)
        self.page.get_by_role("button", name="Add the car").first.click()
        self.page.locator("p.outcome").wait_for()
        return str(self.page.url)

    def open_form(self, car: str) -> Any:
        """Opens the form of a car; what it asks."""
        self.page.goto(car)
        self.page.get_by_role("link", name="Fill in the worksheet here").click()
        self.page.locator("#form-of-the-car").wait_for()
        return told_of(self.page.locator("script#form").text_content())

    def fill_in(self, told: Any, day: str) -> None:
        fill_in(self.page, told, day, SEEN, without="G-6")

    def write_gauges(self, told: Any) -> None:
        """Writes on the form which gauges are at hand."""
        typed: dict[str, str] = {}
        for number, (name, kind, reads_to) in enumerate(GAUGES_HELD, start=1):
            said = {"name": name, "kind": kind, "reads_to": reads_to, "checked": "2026-03-01", "due": "2028-03-01"}
            typed |= {box_of(told, f"gauge {number}", attribute): text for attribute, text in said.items()}
        self.page.evaluate(PUT_ALL, typed)

    def send(self) -> None:
        self.page.get_by_role("button", name="Send", exact=True).click()

    def sent(self) -> str:
        """Waits until the service has answered, and returns what the form says of it."""
        self.page.locator("#sent", has_text=re.compile("Entered|Nothing was|does not know|more than")).wait_for()
        return str(self.page.locator("#sent").inner_text())

    def not_taken(self) -> str:
        return str(self.page.locator("#not-taken").inner_text())

    def says(self) -> str:
        return str(self.page.locator("main").inner_text())


def box_of(told: Any, part: str, attribute: str) -> str:
    """The id of the field of a part and an attribute."""
    return next(
        box["id"]
        for sheet in told["sheets"]
        for box in sheet["boxes"]
        if (box["part"], box["attribute"]) == (part, attribute)
    )
