"""What every reader of a file does with what it finds: it takes texts, and notes problems at their place."""

from collections.abc import Collection

import msgspec

from carknocker.documents.location import Location
from carknocker.documents.nearest import nearest
from carknocker.documents.node import Node
from carknocker.documents.problems import Problem, ProblemList
from carknocker.documents.words import some
from carknocker.quantities import QuantityError


class Notebook(msgspec.Struct, frozen=True):
    """Base of what readers are given. A class that builds on it has the field `problems`."""

    problems: ProblemList

    def note(self, place: Node | Location, found: str, expected: str = "", near: str = "", remedy: str = "") -> None:
        where = place.where if isinstance(place, Node) else place
        self.problems.add(Problem(where, found, expected, near, remedy))

    def note_error(self, place: Node | Location, error: QuantityError, of: str = "") -> None:
        """Notes that a text is no value; `of`: the attribute that it was to be a value of."""
        found = f"{error.found} for `{of}`" if of else error.found
        self.note(place, found, error.expected, error.nearest, error.remedy)

    def text(self, node: Node | None, what: str) -> str:
        """The text of a scalar; "" where nothing was written, and (noted) for a list or a mapping."""
        if node is None or node.is_empty:
            return ""
        if node.kind != "scalar":
            self.note(node, node.describe(), f"{what}: a text")
            return ""
        return node.text.strip()

    def unknown_key(self, node: Node, key: str, known: Collection[str], what: str) -> None:
        """Notes a key that a mapping can't have, with the nearest one that it can."""
        self.note(
            node.key_where(key), f"the key `{key[:60]}` in {what}", f"one of {some(known)}", nearest(key, known),
            "correct the key, or take it out",
        )  # fmt: skip

    def is_known(self, place: Node | Location, name: str, names: Collection[str], what: str) -> bool:
        """Whether a name is one of those that are known; noted if not."""
        if name in names:
            return True
        expected = f"one of {some(names)}" if names else f"no {what}: none is written down"
        self.note(place, f"the {what} `{name[:60]}`, which is not known", expected, nearest(name, names))
        return False
