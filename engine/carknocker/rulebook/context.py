"""What every reader of an edition is given, and how it takes a mapping apart."""

import re
from collections.abc import Collection, Mapping
from typing import TypeVar

from carknocker.documents import Node, Notebook, nearest, some
from carknocker.quantities import Period, QuantityError, read_period
from carknocker.rulebook.lookup import Lookup

NAME = re.compile(r"[a-z0-9][a-z0-9.-]*")
"""How rulesets, criteria and consequences are named: small letters, digits and hyphens."""

_Choice = TypeVar("_Choice", bound=str)


class Context(Notebook, frozen=True):
    """The list that problems go to, and the vocabulary to check against."""

    lookup: Lookup

    def entries(self, node: Node, known: Collection[str], what: str) -> dict[str, Node] | None:
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
            self.note_error(node, error)
            return None

    def known(self, node: Node | None, names: Collection[str], what: str) -> str:
        """A name that the vocabulary (or the edition) lists; "" and noted, if it does not."""
        text = self.text(node, what)
        if node is None or not text:
            return text
        return text if self.is_known(node, text, names, what) else ""

    def kind(self, node: Node | None, what: str = "kind of part") -> str:
        return self.known(node, self.lookup.vocabulary.kinds, what)


_YES_NO = {"yes": True, "true": True, "no": False, "false": False}
