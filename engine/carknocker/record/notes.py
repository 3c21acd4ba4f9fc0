"""What every reader of a record is given: the vocabulary, and where problems go."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from carknocker.documents import Location, Node, Problem, ProblemList, nearest
from carknocker.quantities import QuantityError
from carknocker.record.value_text import some
from carknocker.vocabulary.model import Vocabulary


@dataclass(frozen=True, slots=True)
class Notes:
    """The vocabulary to read by, and the list of problems."""

    vocabulary: Vocabulary
    problems: ProblemList

    def note(self, place: Node | Location, found: str, expected: str = "", near: str = "", remedy: str = "") -> None:
        where = place.where if isinstance(place, Node) else place
        self.problems.add(Problem(where, found, expected, near, remedy))

    def note_error(self, place: Node | Location, error: QuantityError) -> None:
        self.note(place, error.found, error.expected, error.nearest, error.remedy)

    def mapping(self, node: Node | None, what: str) -> list[tuple[str, Node]]:
        """The entries of a mapping; none, noted, for anything else; none for nothing."""
        if node is None or node.is_empty:
            return []
        if node.kind != "mapping":
            self.note(node, node.describe(), f"{what}: a mapping")
            return []
        return node.pairs()

    def sequence(self, node: Node | None, what: str) -> tuple[Node, ...]:
        """The members of a list; none, noted, for anything else; none for nothing."""
        if node is None or node.is_empty:
            return ()
        if node.kind != "sequence":
            self.note(node, node.describe(), f"{what}: a list, each entry beginning with `- `")
            return ()
        return node.nodes

    def text(self, node: Node | None, what: str) -> str:
        """The text of a scalar; "" (noted) for anything else."""
        if node is None or node.is_empty:
            return ""
        if node.kind != "scalar":
            self.note(node, node.describe(), f"{what}: a text")
            return ""
        return node.text.strip()

    def unknown_key(self, node: Node, key: str, known: Collection[str], what: str, remedy: str = "") -> None:
        self.note(
            node.key_where(key), f"the key `{key[:60]}` in {what}", f"one of {some(sorted(known))}",
            nearest(key, known), remedy or "correct the key, or take it out",
        )  # fmt: skip

    def known(self, place: Node | Location, name: str, names: Mapping[str, object], what: str) -> bool:
        """Whether a name is one of those that are known; noted if not."""
        if name in names:
            return True
        expected = f"one of {some(sorted(names))}" if names else "the record names none"
        self.note(place, f"the {what} `{name[:60]}`, which is not known", expected, nearest(name, names))
        return False
