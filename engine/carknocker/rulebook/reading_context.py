"""What every reader of an edition needs: where to report problems, and the vocabulary arranged for reading rules."""

import re
from collections.abc import Collection, Mapping
from typing import TypeVar

import msgspec

from carknocker.documents import Node, ProblemReporter, nearest, some
from carknocker.quantities import Period, QuantityError, read_period
from carknocker.vocabulary.model import Attribute, Kind, Vocabulary

# Kinds whose criteria are about the move, not about a part of the car.
# Kinds that any criterion may look at, wherever its part is.
_EVERYWHERE = ("car", "move", "train")
_NO_FACTS: Mapping[str, Attribute] = {}


class Subject(msgspec.Struct, frozen=True):
    """What a clause is about: a part of one of `kinds`.

    facts: of the work or event that a cause names, written `fact.cause`.
    spare: facts of a spare that is carried, if the clause is about a spare (`kinds` is then empty).
    """

    kinds: tuple[str, ...]
    facts: Mapping[str, Attribute] = msgspec.field(default_factory=dict)
    spare: Mapping[str, Attribute] = msgspec.field(default_factory=dict)

    @property
    def named(self) -> str:
        """`the wheel`, `the end or coupler`, `the spare`, `the move`."""
        return f"the {' or '.join(self.kinds) if self.kinds else 'spare' if self.spare else 'move'}"


class VocabularyLookup:
    """Look-ups in a vocabulary, kept because reading an edition repeats them."""

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
        """Every kind that can contain a part of this kind, nearest first."""
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
        """The kinds that contain every fitted part of this kind."""
        known = self._certain.get(kind)
        if known is None:
            self._certain[kind] = frozenset()  # ends a ring in the vocabulary
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


NAME = re.compile(r"[a-z0-9][a-z0-9.-]*")
"""The form of names of rulesets, criteria and consequences: small letters, digits, hyphens and dots."""

_Choice = TypeVar("_Choice", bound=str)


class Context(ProblemReporter, frozen=True):
    """The list of problems to report to, and the vocabulary to check against."""

    lookup: VocabularyLookup

    def entries(self, node: Node, known: Collection[str], what: str) -> dict[str, Node] | None:
        """The values of a mapping by key, without empty ones. None, and reported, for anything else.

        Keys not in `known` are reported.
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
        """The value of a required key. Reported if it is missing."""
        found = entries.get(key)
        if found is None:
            self.note(at, f"{what} without `{key}`", f"`{key}: …`")
        return found

    def choice(self, node: Node | None, choices: tuple[_Choice, ...], what: str) -> _Choice | None:
        """One of some words. None, and reported, for any other."""
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
        """Yes or no; no if nothing is written."""
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
        """A name that the vocabulary (or the edition) has. "", and reported, if it has not."""
        text = self.text(node, what)
        if node is None or not text:
            return text
        return text if self.is_known(node, text, names, what) else ""

    def kind(self, node: Node | None, what: str = "kind of part") -> str:
        return self.known(node, self.lookup.vocabulary.kinds, what)


_YES_NO = {"yes": True, "true": True, "no": False, "false": False}
