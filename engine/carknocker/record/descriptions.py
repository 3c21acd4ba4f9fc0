"""What the parts' own sections say: undated descriptions, as the owner states them."""

from carknocker.documents import Node
from carknocker.record.files import RecordReporter
from carknocker.record.model import Evidence
from carknocker.record.part_keys import axle_key, wheelset_key
from carknocker.record.parts_reader import Layout
from carknocker.record.positions import ALL, Positions
from carknocker.record.value_reader import is_not_known, read_value
from carknocker.vocabulary.model import Attribute, Kind
from carknocker.vocabulary.program_names import AXLE, BEARING, MOVE_KINDS, WHEEL, WHEELSET

_ONE_SIDE = {"left_wheel": WHEEL, "right_wheel": WHEEL, "left_bearing": BEARING, "right_bearing": BEARING}
_BOTH_SIDES = {"wheels": WHEEL, "bearings": BEARING}
MOST_DESCRIPTIONS = 100_000
# Keys of a part's section that other readers read.
_READ_ELSEWHERE = {"car": ("mark", "name"), "truck": ("axles",)}


def read_descriptions(root: Node, layout: Layout, positions: Positions, reporter: RecordReporter) -> list[Evidence]:
    """The descriptions of every part. What is said of `all` (or of both sides) gives way to what is said of one, also
    where that says `not known`."""
    read = _Descriptions(reporter)
    for kind in reporter.vocabulary.kinds.values():
        section = root.get(kind.section)
        if section is None or kind.name in MOVE_KINDS or kind.name == WHEELSET:
            continue
        other = _READ_ELSEWHERE.get(kind.name, ("at",) if kind.positions == "listed" else ())
        if kind.positions == "single":
            read.part(kind, kind.name, section, other)
            continue
        for position, node in reporter.mapping(section, kind.section):
            for key, _ in positions.find(kind, position, section.key_where(position), None):
                read.part(kind, key, node, () if position == ALL else other, general=position == ALL)
    for serial, node in layout.wheelsets.items():
        read.wheelset(serial, node)
    return read.known()


class _Descriptions:
    def __init__(self, reporter: RecordReporter) -> None:
        self._reporter = reporter
        self._general: set[tuple[str, str]] = set()
        self._not_known: dict[tuple[str, str], Node] = {}
        self._count = 0
        self.evidence: dict[tuple[str, str], Evidence] = {}

    def known(self) -> list[Evidence]:
        """What the sections say, once all of them are read."""
        for place, node in self._not_known.items():
            said = self.evidence.get(place)
            if said is not None and place in self._general:
                del self.evidence[place]
            elif said is not None:
                found = f"`{place[1]}` of {place[0]} not known, unlike line {said.where.line}"
                self._reporter.note(node, found, "one description of each", remedy="take one of the two out")
        return list(self.evidence.values())

    def wheelset(self, serial: str, node: Node) -> None:
        """A wheelset with its wheels, bearings and steel axle."""
        kinds = self._reporter.vocabulary.kinds
        inner = (*_ONE_SIDE, *_BOTH_SIDES, "axle", "where")
        self.part(kinds[WHEELSET], wheelset_key(serial), node, inner)
        for key, value in node.pairs():
            if key in _ONE_SIDE:
                self.part(kinds[_ONE_SIDE[key]], f"{_ONE_SIDE[key]} {serial} {key.partition('_')[0]}", value)
            elif key in _BOTH_SIDES:
                for side in ("left", "right"):
                    self.part(kinds[_BOTH_SIDES[key]], f"{_BOTH_SIDES[key]} {serial} {side}", value, general=True)
            elif key == "axle":
                self.part(kinds[AXLE], axle_key(serial), value)

    def part(self, kind: Kind, key: str, node: Node, other: tuple[str, ...] = (), *, general: bool = False) -> None:
        """The descriptions in one part's mapping. other: keys that are read elsewhere. general: said of many parts."""
        for name, value in self._reporter.mapping(node, key):
            if name in other:
                continue
            attribute = kind.attributes.get(name)
            if attribute is None:
                described = [one for one, own in kind.attributes.items() if own.description]
                what = f"the description of a {kind.name}"
                self._reporter.unknown_attribute(node, name, (*described, *other), kind, what)
            elif not attribute.description:
                found = f"`{name}`, which is no description"
                expected = f"a description of the {kind.name}"
                self._reporter.note(node.key_where(name), found, expected, remedy=where_it_goes(attribute, kind))
            else:
                self._take(key, attribute, value, general)

    def _take(self, key: str, attribute: Attribute, node: Node, general: bool) -> None:
        self._count += 1
        self._reporter.refuse_above(MOST_DESCRIPTIONS, self._count, node, "descriptions of parts")
        place = (key, attribute.name)
        if is_not_known(node):
            if not general:
                self._not_known[place] = node
            return
        read = read_value(node, attribute, self._reporter)
        if read is None:
            return
        before = self.evidence.get(place)
        if before is not None and general and place not in self._general:
            return
        if before is not None and general == (place in self._general) and before.value != read.value:
            found = f"`{attribute.name}` of {key} a second time, unlike line {before.where.line}"
            self._reporter.note(node, found, "one description of each", remedy="take one of the two out")
        elif before is None or not general:
            evidence_id = f"{key} {attribute.name}"
            self.evidence[place] = Evidence(
                evidence_id, attribute.name, key, key, read.value, "description", None, node.where, sure=read.sure
            )
            (self._general.add if general else self._general.discard)(place)


def where_it_goes(attribute: Attribute, kind: Kind) -> str:
    """What to do with an attribute that stands in the wrong section of a record."""
    if attribute.derived:
        meant = _what_is_read(attribute, kind)
        if meant:
            return f"write {' or '.join(meant)}; `{attribute.name}` is worked out"
        return "leave it out: it is worked out from other readings"
    if attribute.type in ("test", "paper"):
        return f"write it under `{attribute.type}s:`"
    if attribute.description:
        return f"it is a description: write it in the section `{kind.section}:` of the record, without a date"
    return "it is a reading: write it on a dated sheet, under `sheets:`"


def _what_is_read(derived: Attribute, kind: Kind) -> list[str]:
    """What may be written in place of a figure that is worked out, each with where it goes: attributes whose name has
    its words, or that people call so."""
    # imported only where a message needs it, since start-up is felt at every check
    from carknocker.vocabulary.other_names import names_of_attributes

    words = set(derived.name.split("_"))
    called = names_of_attributes(kind)
    meant = [
        one
        for one in kind.attributes.values()
        if not one.derived
        and one.type == derived.type
        and (words <= set(one.name.split("_")) or derived.name in called[one.name])
    ]
    return [
        f"`{one.name}` in the section `{kind.section}:`" if one.description else f"`{one.name}` on a sheet"
        for one in meant
    ]
