"""What every reader of an edition is given, and how it takes a mapping apart."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from carknocker.documents import Location, Node, Problem, ProblemList, nearest
from carknocker.quantities import Period, QuantityError, read_period
from carknocker.rulebook.lookup import Lookup

NAME = re.compile(r"[a-z0-9][a-z0-9.-]*")
"""How rulesets, criteria and consequences are named: small letters, digits and hyphens."""

_Choice = TypeVar("_Choice", bound=str)
_MOST_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Context:
    """The vocabulary to check against, and the list that problems go to."""

    lookup: Lookup
    problems: ProblemList

    def note(self, place: Node | Location, found: str, expected: str = "", near: str = "", remedy: str = "") -> None:
        where = place.where if isinstance(place, Node) else place
        self.problems.add(Problem(where, found, expected, near, remedy))

    def entries(self, node: Node, known: Iterable[str], what: str) -> dict[str, Node] | None:
        """The values of a mapping by key, empty ones left out; None, with the problem noted, for anything else.

        Keys outside `known` are noted.
        """
        if node.kind != "mapping":
            self.note(node, node.describe(), f"{what}: a mapping with keys such as {some(known)}")
            return None
        found: dict[str, Node] = {}
        for key, value in node.pairs():
            if key not in known:
                self.unknown_key(node, key, known, what)
            elif not value.is_empty:
                found[key] = value
        return found

    def unknown_key(self, node: Node, key: str, known: Iterable[str], what: str) -> None:
        self.note(
            node.key_where(key), f"the key `{key[:60]}` in {what}", f"one of {some(known)}", nearest(key, known),
            "correct the key, or take it out",
        )  # fmt: skip

    def text(self, node: Node | None, what: str) -> str:
        """The text of a scalar; "" (noted) for a list or a mapping, and where nothing was written."""
        if node is None:
            return ""
        if node.kind != "scalar":
            self.note(node, node.describe(), f"{what}: a text")
            return ""
        return node.text.strip()

    def texts(self, node: Node | None, what: str) -> list[tuple[str, Node]]:
        """The texts of a list, or of one scalar, each with its node."""
        if node is None:
            return []
        return [(text, item) for item in node.as_sequence() if (text := self.text(item, what))]

    def required(self, entries: Mapping[str, Node], key: str, at: Node, what: str) -> Node | None:
        """The value of a key that may not be missing."""
        found = entries.get(key)
        if found is None:
            self.note(at, f"{what} without `{key}`", f"`{key}: …`")
        return found

    def choice(self, node: Node | None, choices: tuple[_Choice, ...], what: str) -> _Choice | None:
        """One of some words; None, noted, for any other."""
        if node is None:
            return None
        text = self.text(node, what)
        for candidate in choices:
            if candidate == text:
                return candidate
        if node.kind == "scalar":
            self.note(node, node.describe(), f"{what}: one of {some(choices)}", nearest(text, choices))
        return None

    def yes(self, node: Node | None, what: str) -> bool:
        """yes or no; no where nothing is written."""
        if node is None:
            return False
        text = self.text(node, what)
        if text not in _YES_NO and node.kind == "scalar":
            self.note(node, node.describe(), f"{what}: yes or no")
        return _YES_NO.get(text, False)

    def period(self, node: Node | None, what: str) -> Period | None:
        if node is None:
            return None
        text = self.text(node, what)
        if not text:
            return None
        try:
            return read_period(text)
        except QuantityError as error:
            self.note(node, error.found, error.expected, error.nearest, error.remedy)
            return None

    def known(self, node: Node | None, names: Iterable[str], what: str) -> str:
        """A name that the vocabulary (or the edition) lists; "" and noted, if it does not."""
        text = self.text(node, what)
        if node is None or not text or text in names:
            return text
        self.note(node, f"the {what} `{text[:60]}`, which is not known", f"one of {some(names)}", nearest(text, names))
        return ""

    def kind(self, node: Node | None, what: str = "kind of part") -> str:
        return self.known(node, self.lookup.vocabulary.kinds, what)


_YES_NO = {"yes": True, "true": True, "no": False, "false": False}


def some(words: Iterable[str]) -> str:
    """The words of a list, the first few if it is long."""
    listed = [f"`{word}`" for word in words]
    shown = ", ".join(listed[:_MOST_SHOWN])
    return f"{shown}, … ({len(listed)} in all)" if len(listed) > _MOST_SHOWN else shown
