"""Reads kinds of part: section, positions, containers, attributes."""

from collections.abc import Mapping
from typing import cast, get_args

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.attribute_reader import (
    NAME,
    RESERVED,
    entries_of,
    flag_of,
    hazards_of,
    named,
    read_attributes,
    read_usual,
    stage_of,
    text_of,
    texts_of,
    unknown_kind,
    unknown_word,
    word_of,
)
from carknocker.vocabulary.model import Attribute, Kind, Positions, TagGroup
from carknocker.vocabulary.stands_reader import check_stands, number_attribute, read_stands

_KEYS = frozenset(
    ("section", "label", "plural", "positions", "inside", "thing", "listed", "stage", "tag_group", "system", "hazards",
     "usually", "stands", "descriptions", "attributes")
)  # fmt: skip
_POSITIONS = frozenset(get_args(Positions))
_TAG_GROUPS = frozenset(get_args(TagGroup))
# Keys at the top of a record that are no section of parts.
_TAKEN_SECTIONS = frozenset(
    ("format", "people", "gauges", "sheets", "events", "moves_made", "tests", "work", "spares", "papers", "leaves",
     "log", "photographs", "notes")
)  # fmt: skip
# Further keys that a record gives a meaning of its own in the section of a kind.
_RESERVED_IN = {
    "car": frozenset(("mark", "name")),
    "truck": frozenset(("axles",)),
    "wheelset": frozenset(
        ("left_wheel", "right_wheel", "wheels", "left_bearing", "right_bearing", "bearings", "axle")
    ),
}  # fmt: skip


class KindDraft:
    """A kind while the files are read: its attributes may come from several files."""

    def __init__(self, name: str, node: Node, problems: ProblemList) -> None:
        self.name, self.node = name, node
        entries = entries_of(node, _KEYS, f"the kind `{name}`", problems)
        self.entries = entries
        self.section = text_of(entries.get("section"), "section", problems)
        positions = word_of(entries.get("positions"), _POSITIONS, "positions", problems)
        for key, value in (("section", self.section), ("positions", positions)):
            if not value and key not in entries:
                problems.add(problem_at(node, f"the kind `{name}` has no `{key}`", f"`{key}: …`"))
        if self.section and (not NAME.fullmatch(self.section) or self.section in _TAKEN_SECTIONS):
            problems.add(
                problem_at(entries["section"], f"the section `{self.section}`", "a free key, words joined by `_`")
            )
        self.positions = cast(Positions, positions)
        self.label = text_of(entries.get("label"), "label", problems) or name
        self.plural = text_of(entries.get("plural"), "plural", problems)
        self.inside = texts_of(entries.get("inside"), "containers", problems)
        self.thing = flag_of(entries.get("thing"), "thing", problems)
        self.listed = flag_of(entries.get("listed"), "listed", problems) or positions == "listed"
        self.stage = stage_of(entries.get("stage"), problems)
        self.tag_group = cast(
            TagGroup, word_of(entries.get("tag_group"), _TAG_GROUPS, "group on the tag", problems) or "other"
        )
        self.system = text_of(entries.get("system"), "system", problems)
        self.hazards = hazards_of(entries.get("hazards"), problems)
        self.usual = read_usual(entries.get("usually"), problems)
        self.stands = read_stands(entries.get("stands"), name, self.label, problems)
        self.attributes: dict[str, Attribute] = {}
        self.attribute_places: dict[str, Node] = {}
        self.take(entries.get("descriptions"), problems, description=True)
        self.take(entries.get("attributes"), problems)

    def take(self, node: Node | None, problems: ProblemList, *, description: bool = False) -> None:
        """Adds attributes; a name that the kind already has is a problem."""
        if node is None:
            return
        reserved = RESERVED | _RESERVED_IN.get(self.name, frozenset())
        read = read_attributes(node, self.name, problems, usual=self.usual, description=description, reserved=reserved)
        for name, attribute in read.items():
            if name in self.attributes:
                where = node.key_where(name)
                problems.add(problem_at(where, f"`{name}` of `{self.name}` a second time", "each attribute once"))
            else:
                self.attributes[name] = attribute
                self.attribute_places[name] = node.get(name) or node

    def place_of(self, key: str) -> Node:
        """Where a key of the kind is written, for messages."""
        return self.entries.get(key, self.node)

    def kind(self, drafts: "Mapping[str, KindDraft]") -> Kind:
        """The kind, once all kinds are read: it belongs to the system of what it is in where it names none."""
        return Kind(
            self.name, self.section, self.label, self.positions, self.inside, self.thing, self.listed, self.stage,
            self.tag_group, self.hazards, self.plural, self.attributes, self.stands,
            _system(self, drafts),
        )  # fmt: skip


def _system(draft: KindDraft, drafts: Mapping[str, KindDraft]) -> str:
    seen: set[str] = set()
    while not draft.system and draft.inside and draft.name not in seen and draft.inside[0] in drafts:
        seen.add(draft.name)
        draft = drafts[draft.inside[0]]
    return draft.system


def read_kinds(node: Node | None, drafts: dict[str, KindDraft], problems: ProblemList) -> None:
    """Adds the kinds of one file to `drafts`."""
    for name, value in named(node, "kinds", problems):
        if name in drafts:
            expected = "each kind in one file; `further_attributes` adds to it"
            problems.add(problem_at(value, f"the kind `{name}` a second time", expected))
        else:
            drafts[name] = KindDraft(name, value, problems)


def add_numbers(drafts: dict[str, KindDraft], problems: ProblemList) -> None:
    """Gives each container the numbers of the parts that stand in it."""
    for name, draft in drafts.items():
        for row in draft.stands:
            there = drafts.get(row.container)
            if there is None or not row.number:
                continue
            if row.number in there.attributes:
                found = f"the number `{row.number}`, which `{row.container}` has already"
                problems.add(problem_at(draft.place_of("stands"), found, "a name of its own"))
            else:
                there.attributes[row.number] = number_attribute(row, name, draft.usual)
                there.attribute_places[row.number] = draft.place_of("stands")


def check_kinds(drafts: dict[str, KindDraft], problems: ProblemList) -> None:
    """Sections are unique, containers exist, no kind is inside itself, and each part of the car has its group."""
    sections: dict[str, str] = {}
    attributes = {name: draft.attributes for name, draft in drafts.items()}
    for name, draft in drafts.items():
        check_stands(draft.place_of("stands"), name, draft.stands, attributes, problems)
        if draft.section and sections.setdefault(draft.section, name) != name:
            found = f"the section `{draft.section}`, which `{sections[draft.section]}` has"
            problems.add(problem_at(draft.place_of("section"), found, "a section of its own"))
        for container in draft.inside:
            if container not in drafts:
                problems.add(unknown_kind(draft.place_of("inside"), container, drafts))
        if _within(name, draft.inside, drafts):
            problems.add(problem_at(draft.place_of("inside"), f"`{name}` is inside itself", "a container outside it"))
        _check_attributes(draft, problems)
        _check_taken_up(draft, drafts, problems)
        if "tag_group" not in draft.entries and "move" not in (name, *draft.inside):
            expected = "`tag_group: …`, one of " + ", ".join(sorted(_TAG_GROUPS))
            problems.add(problem_at(draft.node, f"the kind `{name}` has no `tag_group`", expected))


def _check_attributes(draft: KindDraft, problems: ProblemList) -> None:
    """Reports names and words of other attributes (`goes_with`, `follows`, `only_where`) that the kind lacks."""
    for attribute in draft.attributes.values():
        where = draft.attribute_places[attribute.name]
        for other, words in ((attribute.goes_with, ()), (attribute.follows, ()), *attribute.only_where):
            known = draft.attributes.get(other)
            if other and known is None:
                found = f"the attribute `{other}`, which `{draft.name}` lacks"
                problems.add(
                    problem_at(where, found, "another attribute of the kind", nearest(other, draft.attributes))
                )
            elif known is not None:
                for word in words:
                    if word not in known.words:
                        problems.add(unknown_word(where, word, known.words, f"the word for `{other}`"))


def _check_taken_up(draft: KindDraft, drafts: dict[str, KindDraft], problems: ProblemList) -> None:
    """Reports what takes wear up (`taken_up_by`) and is no yes or no of a known kind."""
    for attribute in draft.attributes.values():
        if attribute.taken_up_by is not None:
            kind, name = attribute.taken_up_by
            found = drafts[kind].attributes.get(name) if kind in drafts else None
            if found is None or found.type != "yes or no":
                where = draft.attribute_places[attribute.name]
                problems.add(problem_at(where, f"`taken_up_by: {kind}.{name}`", "a yes or no of a known kind"))


def _within(name: str, containers: tuple[str, ...], drafts: dict[str, KindDraft]) -> bool:
    seen: set[str] = set()
    waiting = list(containers)
    while waiting:
        container = waiting.pop()
        if container == name:
            return True
        if container not in seen and container in drafts:
            seen.add(container)
            waiting.extend(drafts[container].inside)
    return False
