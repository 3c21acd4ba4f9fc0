"""Two ways to work a page: with a mouse or a finger, and by the keys alone. Both are told where by the name that a page
gives, so that the same way can be walked with either."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walk_samples import PUT_ALL, TICK_ALL

MOST_STEPS = 150
"""Of the keys, to whatever is meant."""
_WHERE = """() => {
  const one = document.activeElement, look = getComputedStyle(one), at = one.getBoundingClientRect();
  const folded = one.tagName === 'SUMMARY' && !one.parentElement.open;
  const inside = folded ? [...one.parentElement.querySelectorAll('[id]')].map((each) => each.id) : [];
  return {tag: one.tagName, id: one.id, name: one.textContent.trim().slice(0, 80), type: one.type || '',
          value: one.value || '', checked: one.checked, many: one.multiple, inside: inside,
          ticks: one.hasAttribute('data-tick'), date: one.type === 'date',
          words: one.tagName === 'SELECT' ? [...one.options].map((each) => each.value) : [],
          outline: look.outlineStyle, wide: parseFloat(look.outlineWidth),
          seen: at.bottom > 0 && at.top < innerHeight};
}"""
_IS_HERE = "(one) => one === document.activeElement"
_IS_BEFORE = "(one) => (document.activeElement.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_PRECEDING) > 0"


class Pointer:
    """A mouse or a finger."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def follow(self, one: Any) -> None:
        """Works a link or a button that leads to another page."""
        one.click()

    def press(self, one: Any) -> None:
        one.click()

    def write(self, one: Any, text: str) -> None:
        one.fill(text)

    def choose(self, one: Any, word: str) -> None:
        one.select_option(word)

    def tick(self, one: Any) -> None:
        one.check()

    def fill_in(self, values: Mapping[str, str]) -> None:
        """Fills in the fields of a form by their ids, and ticks what is offered to be ticked."""
        for _ in range(2):  # some shows only once something is so
            self.page.evaluate(PUT_ALL, dict(values))
            self.page.evaluate(TICK_ALL)


class Keys:
    """A keyboard, and nothing else: every step is reached by Tab, is in sight, and shows that it has the focus."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.last = ""
        """The id of what had the focus before."""

    def follow(self, one: Any) -> None:
        self.to(one)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")

    def press(self, one: Any) -> None:
        self.to(one)
        self.page.keyboard.press("Enter")

    def write(self, one: Any, text: str) -> None:
        self.to(one)
        self._type(self._here(), text)

    def choose(self, one: Any, word: str) -> None:
        self.to(one)
        self._choose(self._here(), word)

    def tick(self, one: Any) -> None:
        """A box to tick; of words one of which is chosen, the arrows lead from the first to the others."""
        if one.get_attribute("type") == "radio":
            group = self.page.locator(f'input[type=radio][name="{one.get_attribute("name")}"]')
            self.to(group.first)
            self.page.keyboard.press("Space")
            for _ in range(group.count()):
                if one.is_checked():
                    break
                self.page.keyboard.press("ArrowDown")
        else:
            self.to(one)
            self.page.keyboard.press("Space")
        assert one.is_checked()

    def to(self, one: Any) -> None:
        """Goes on by Tab until it is there; back, where it was passed already."""
        wanted = one.element_handle()
        back = wanted.evaluate(_IS_BEFORE)
        passed: list[str] = []
        for _ in range(MOST_STEPS):
            found = self._next(back=back)
            if wanted.evaluate(_IS_HERE):
                return
            passed.append(found["name"] or found["id"])
        raise AssertionError(f"it is not reached; passed: {passed}")

    def fill_in(self, values: Mapping[str, str]) -> None:
        """Walks through a form, twice, since some shows only once something is so; opens what is folded over a field
        that is filled in."""
        for _ in range(2):
            self.page.evaluate("() => { document.activeElement.blur(); scrollTo(0, 0); }")
            seen: set[str] = set()
            while True:
                last, here = self.last, self._next()
                if here["tag"] == "BODY" or (here["id"] in seen and here["id"] != last):
                    self._next(back=True)
                    break
                if here["tag"] == "SUMMARY" and any(one in values for one in here["inside"]):
                    self.page.keyboard.press("Enter")
                seen |= {here["id"]} if here["id"] else set()
                if here["ticks"] and not here["checked"]:
                    self.page.keyboard.press("Space")
                elif here["id"] in values and here["value"] == "":
                    self._fill(here, values[here["id"]])

    def _fill(self, here: Any, text: str) -> None:
        if here["many"]:
            self._choose_several(here, text.split(", "))
        elif here["tag"] == "SELECT":
            if text in here["words"]:
                self._choose(here, text)
        else:
            self._type(here, text)

    def _type(self, here: Any, text: str) -> None:
        if here["date"]:
            year, month, day = text.split("-")
            self.page.keyboard.type(f"{month}{day}{year}")
        else:
            if here["value"]:
                self.page.keyboard.press("Control+a")
            self.page.keyboard.type(text)
        assert self._here()["value"] == text, (here["id"], text)

    def _choose(self, here: Any, word: str) -> None:
        """word: the value of the choice, or how it begins."""
        for _ in here["words"]:
            now = self._here()["value"]
            if now == word:
                return
            back = here["words"].index(now) > here["words"].index(word)
            self.page.keyboard.press("ArrowUp" if back else "ArrowDown")
        assert self._here()["value"] == word, (here["id"], word)

    def _choose_several(self, here: Any, words: list[str]) -> None:
        self.page.keyboard.press("Home")
        first = True
        for word in here["words"]:
            if not first:
                self.page.keyboard.press("Control+ArrowDown")
            chosen = first  # Home chooses the first
            if (word in words) != chosen:
                self.page.keyboard.press("Control+Space")
            first = False
        said = self.page.evaluate("[...document.activeElement.selectedOptions].map((one) => one.value)")
        assert said == [one for one in here["words"] if one in words], (here["id"], words, said)

    def _next(self, *, back: bool = False) -> Any:
        self.page.keyboard.press("Shift+Tab" if back else "Tab")
        found = self._here()
        within = found["date"] and found["id"] == self.last  # its month, day, year and calendar, each lit by itself
        if found["tag"] != "BODY" and not within:
            assert found["seen"], found
            assert found["outline"] != "none", found
            assert found["wide"] >= 2, found
        self.last = found["id"]
        return found

    def _here(self) -> Any:
        return self.page.evaluate(_WHERE)
