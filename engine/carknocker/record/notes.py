"""What every reader of a record is given: the vocabulary, and where problems go."""

from carknocker.documents import Node, ProblemReporter
from carknocker.vocabulary.model import Vocabulary


class Notes(ProblemReporter, frozen=True):
    """The vocabulary to read by, and the list of problems."""

    vocabulary: Vocabulary

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
