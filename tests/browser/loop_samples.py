"""What somebody does on the pages of the service, a step at a time, with a finger, a mouse, or the keys alone."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from form_samples import told_of
from hands import Keys, Pointer
from service_samples import PublicSite
from walk_samples import ANSWERS, FOUND, typed

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
    ("G-1", "finger gauge", "1/32 in"), ("G-2", "coupler height gauge", "1/16 in"),
    ("G-3", "back-to-back gauge", "1/64 in"), ("G-4", "air gauge", "1 psi"), ("G-5", "taper gauge", "1/64 in"),
)  # fmt: skip


class Person:
    """Somebody at a browser of their own. hand: what they work the pages with. odd: what their pages reported as
    odd."""

    def __init__(self, browser: Any, size: dict[str, Any], hand: type[Pointer] | type[Keys] = Pointer) -> None:
        self.context = browser.new_context(ignore_https_errors=True, **size)
        self.page = self.context.new_page()
        self.hand = hand(self.page)
        self.odd: list[str] = []
        self.page.on("pageerror", lambda error: self.odd.append(str(error)))

    def set_up(self, site: PublicSite, name: str) -> None:
        """Makes the first account with the token of the terminal."""
        self.page.goto(site.address)
        self.follow("link", "Set up")
        self.hand.write(self.page.locator("#secret"), site.accounts.set_up_token())
        self.make_account(name)

    def make_account(self, name: str) -> None:
        self.hand.write(self.page.locator("#name"), name)
        self.hand.write(self.page.locator("#password"), WORD)
        self.page.keyboard.press("Enter")
        self.page.get_by_role("heading", name="Cars by coming move").wait_for()

    def add_car(self, answers: dict[str, str]) -> str:
        """Adds a car by answers, and returns the address of its page."""
        self.follow("link", "New car")
        for key, said in answers.items():
            field = self.page.locator(f"#{key}")
            is_choice = field.evaluate("one => one.tagName") == "SELECT"
            (self.hand.choose if is_choice else self.hand.write)(field, said)
        self.follow("button", "Add the car")
        self.page.locator("p.outcome").wait_for()
        return str(self.page.url)

    def open_form(self, car: str) -> Any:
        """Opens the form of a car; what it asks."""
        self.page.goto(car)
        self.follow("link", "Fill in the worksheet here")
        self.page.locator("#form-of-the-car").wait_for()
        return told_of(self.page.locator("script#form").text_content())

    def fill_in(self, told: Any, day: str, otherwise: Mapping[str, str] | None = None) -> None:
        """Fills in all that a form asks for. otherwise: by the id of a field, what is found there instead."""
        self.hand.fill_in(typed(told, day, SEEN, without="G-6") | dict(otherwise or {}))

    def send(self) -> None:
        self.hand.press(self.page.get_by_role("button", name="Send", exact=True))

    def follow(self, role: str, name: str, *, exact: bool = False) -> None:
        """Works the first link or button of a name, which leads to another page."""
        self.hand.follow(self.page.get_by_role(role, name=name, exact=exact).first)

    def sent(self) -> str:
        """Waits until the service has answered, and returns what the form says of it."""
        self.page.locator("#sent", has_text=re.compile("Entered|Nothing was|does not know|more than")).wait_for()
        return str(self.page.locator("#sent").inner_text())

    def not_taken(self) -> str:
        return str(self.page.locator("#not-taken").inner_text())

    def says(self) -> str:
        return str(self.page.locator("main").inner_text())


def gauges_held(told: Any) -> dict[str, str]:
    """Which gauges are at hand, as it is written on a form: by the id of a field."""
    found: dict[str, str] = {}
    for number, (name, kind, reads_to) in enumerate(GAUGES_HELD, start=1):
        said = {"name": name, "kind": kind, "reads_to": reads_to, "checked": "2026-03-01", "due": "2028-03-01"}
        found |= {box_of(told, f"gauge {number}", attribute): text for attribute, text in said.items()}
    return found


def box_of(told: Any, part: str, attribute: str) -> str:
    """The id of the field of a part and an attribute."""
    return next(
        box["id"]
        for sheet in told["sheets"]
        for box in sheet["boxes"]
        if (box["part"], box["attribute"]) == (part, attribute)
    )
