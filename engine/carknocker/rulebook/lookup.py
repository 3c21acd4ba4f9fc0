"""The vocabulary arranged for reading rules: what stands inside what, and the facts of tests and papers."""

from collections.abc import Mapping

import msgspec

from carknocker.vocabulary.model import Attribute, Kind, Vocabulary

# Kinds whose criteria are about the move, not about a part of the car.
MOVE_KINDS = frozenset({"move", "train", "leg"})
# Kinds that any criterion may look at, wherever its part stands.
_EVERYWHERE = ("car", "move", "train")
_NO_FACTS: Mapping[str, Attribute] = {}


class Subject(msgspec.Struct, frozen=True):
    """What a clause is about: a part of one of `kinds`.

    facts: of the work or event that a cause names, written `fact.cause`.
    spare: facts of a spare riding along, where the clause is about a spare (`kinds` is then empty).
    """

    kinds: tuple[str, ...]
    facts: Mapping[str, Attribute] = msgspec.field(default_factory=dict)
    spare: Mapping[str, Attribute] = msgspec.field(default_factory=dict)

    def __str__(self) -> str:
        return " or ".join(self.kinds) if self.kinds else "the spare" if self.spare else "the move"


class Lookup:
    """Answers about a vocabulary that are asked again and again while an edition is read."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self._facts: dict[tuple[str, str], Mapping[str, Attribute]] = {
            (test.on, test.attribute): test.facts for test in vocabulary.tests.values()
        }
        self._facts.update({("car", paper.attribute): paper.facts for paper in vocabulary.papers.values()})
        self._ancestors: dict[str, tuple[str, ...]] = {}
        self._certain: dict[str, frozenset[str]] = {}

    def kind(self, name: str) -> Kind | None:
        return self.vocabulary.kinds.get(name)

    def attributes(self, kind: str) -> Mapping[str, Attribute]:
        """Attributes of a kind; none if there is no such kind."""
        found = self.vocabulary.kinds.get(kind)
        return _NO_FACTS if found is None else found.attributes

    def facts(self, kind: str, attribute: str) -> Mapping[str, Attribute]:
        """Further facts of a test or paper that is an attribute of a kind."""
        return self._facts.get((kind, attribute), _NO_FACTS)

    def ancestors(self, kind: str) -> tuple[str, ...]:
        """Every kind that a part of this kind may stand in, nearest first."""
        known = self._ancestors.get(kind)
        if known is None:
            found: list[str] = []
            row = [kind]
            while row:
                inside = [outer for name in row for outer in self._inside(name)]
                row = [outer for outer in dict.fromkeys(inside) if outer not in found]
                found.extend(row)
            known = self._ancestors[kind] = tuple(found)
        return known

    def certain_ancestors(self, kind: str) -> frozenset[str]:
        """The kinds that a part of this kind stands in wherever it is fitted."""
        known = self._certain.get(kind)
        if known is None:
            self._certain[kind] = frozenset()  # a ring in the vocabulary ends here
            chains = [self.certain_ancestors(outer) | {outer} for outer in self._inside(kind)]
            known = self._certain[kind] = frozenset.intersection(*chains) if chains else frozenset()
        return known

    def owners(self, kinds: tuple[str, ...]) -> tuple[str, ...]:
        """The kinds whose attributes a clause about one of `kinds` may name with a dot."""
        found = dict.fromkeys(kinds)
        for kind in kinds:
            found.update(dict.fromkeys(self.ancestors(kind)))
        found.update(dict.fromkeys(_EVERYWHERE))
        return tuple(found)

    def _inside(self, kind: str) -> tuple[str, ...]:
        found = self.vocabulary.kinds.get(kind)
        return () if found is None else found.inside
