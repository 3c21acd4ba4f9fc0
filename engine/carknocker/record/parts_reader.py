"""The parts of a car, as the record says it stands now: places, fitted wheelsets, spares; and their descriptions."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from carknocker.documents import Location, Node
from carknocker.record.model import Evidence, Fitting, Part
from carknocker.record.notes import Notes
from carknocker.record.positions import Positions
from carknocker.record.value_reader import read_value
from carknocker.record.value_text import some
from carknocker.record.values import NotAccessible
from carknocker.record.wheelset_parts import wheelset_parts
from carknocker.vocabulary.model import Kind

ENDS = ("B", "A")
OUTSIDE_THE_CAR = ("move", "train", "leg")
WHERE = ("fitted", "carried", "on the shelf", "gone")
_INNER = {"left_wheel": "wheel", "right_wheel": "wheel", "left_bearing": "bearing", "right_bearing": "bearing"}
_BOTH = {"wheels": "wheel", "bearings": "bearing"}


@dataclass(slots=True)
class Layout:
    """What the record says of trucks and wheelsets. fitted: axle → serial and where that is written."""

    fitted: dict[int, tuple[str, Location]] = field(default_factory=dict)
    axle_trucks: dict[int, str] = field(default_factory=dict)
    wheelsets: dict[str, Node] = field(default_factory=dict)
    stated: dict[str, str] = field(default_factory=dict)  # serial → fitted, carried, on the shelf, gone


def read_layout(root: Node, notes: Notes) -> Layout:
    """The trucks' axles and the wheelsets. Notes axles that are not numbered from the B end without a gap."""
    layout = Layout()
    trucks = root.get("trucks")
    for name, truck in notes.mapping(trucks, "trucks"):
        if name not in ENDS:
            notes.note(trucks.key_where(name) if trucks else root, f"the truck `{name[:40]}`", "`A` or `B`")
            continue
        for text, fitted in notes.mapping(truck.get("axles") if truck.kind == "mapping" else None, "axles"):
            where = fitted.where
            if not text.isdigit() or not 1 <= int(text) <= 12:
                notes.note(where, f"the axle `{text[:20]}`", "a number counted from the B end: 1, 2, 3 …")
            elif int(text) in layout.fitted:
                notes.note(where, f"axle {text} in both trucks", "each axle once")
            else:
                layout.fitted[int(text)] = (notes.text(fitted, "a wheelset"), where)
                layout.axle_trucks[int(text)] = name
    _prove_numbers(layout, trucks or root, notes)
    for serial, node in notes.mapping(root.get("wheelsets"), "wheelsets"):
        layout.wheelsets[serial] = node
        given = node.get("where") if node.kind == "mapping" else None
        stated = notes.text(given, "where")
        if given is not None and stated not in WHERE:
            notes.note(given, f"`{stated[:40]}`", f"one of {some(WHERE)}")
        layout.stated[serial] = stated
    _prove_wheelsets(layout, root, notes)
    return layout


def _prove_numbers(layout: Layout, place: Node, notes: Notes) -> None:
    numbers = sorted(layout.fitted)
    if not numbers:
        notes.note(
            place, "a car without axles", "`axles: {1: SERIAL, 2: SERIAL}` in each truck, counted from the B end"
        )
    elif numbers != list(range(1, len(numbers) + 1)):
        notes.note(place, f"the axles {', '.join(map(str, numbers))}", "axles numbered 1, 2, 3 … without a gap")
    elif "".join(layout.axle_trucks[number] for number in numbers).find("AB") >= 0:
        notes.note(place, "an axle of truck A numbered before one of truck B", "axles counted from the B end")


def _prove_wheelsets(layout: Layout, root: Node, notes: Notes) -> None:
    seen: dict[str, int] = {}
    for axle, (serial, where) in sorted(layout.fitted.items()):
        if serial in seen:
            notes.note(
                where, f"wheelset {serial} at axle {seen[serial]} and at axle {axle}", "each wheelset at one axle"
            )
        seen[serial] = axle
        notes.known(where, serial, layout.wheelsets, "wheelset")
    for serial, stated in layout.stated.items():
        node = layout.wheelsets[serial]
        place = (node.get("where") if node.kind == "mapping" else None) or node
        if stated == "fitted" and serial not in seen:
            notes.note(
                place, f"`where: fitted`, but no truck has {serial}", "its axle in the truck, or another `where`"
            )
        elif stated not in ("", "fitted") and serial in seen:
            expected = "`where: fitted`, or another wheelset at that axle"
            notes.note(place, f"`where: {stated}`, but {serial} is at axle {seen[serial]}", expected)
        elif not stated:
            layout.stated[serial] = "fitted" if serial in seen else "gone"


def build_parts(root: Node, layout: Layout, now: Mapping[int, Fitting], notes: Notes) -> tuple[Part, ...]:
    """Every part, container before what is in it."""
    parts: dict[str, Part] = {}
    for kind in notes.vocabulary.kinds.values():
        if kind.name in OUTSIDE_THE_CAR or kind.thing:
            continue
        for part in _places(kind, root, layout, parts, notes):
            parts[part.key] = part
    for axle, (serial, where) in sorted(layout.fitted.items()):
        turned = now[axle].end_for_end if axle in now else False
        parts.update((part.key, part) for part in wheelset_parts(serial, axle, turned, where))
    for serial, stated in layout.stated.items():
        if stated in ("carried", "on the shelf"):
            found = wheelset_parts(serial, None, False, layout.wheelsets[serial].where)
            parts.update((part.key, part) for part in found)
    return tuple(parts.values())


def _places(kind: Kind, root: Node, layout: Layout, parts: Mapping[str, Part], notes: Notes) -> list[Part]:
    section = root.get(kind.section)
    place = section or root
    if kind.positions == "listed":
        return _listed(kind, section, parts, notes)
    if kind.positions == "single":
        if kind.listed and section is None:
            return []
        return [_place(kind, "", kind.inside[0] if kind.inside else None, place.where)]
    if kind.positions in ("ends", "trucks"):
        names = [name for name in ENDS if kind.positions == "ends" or name in layout.axle_trucks.values()]
        if kind.listed:
            names = [name for name in names if section is not None and name in section.keys()]
        return [_place(kind, name, _container(kind, name), place.where) for name in names]
    if kind.positions == "sides of truck":
        trucks = [name for name in ENDS if name in layout.axle_trucks.values()]
        return [_place(kind, f"{truck}{side}", f"truck {truck}", place.where) for truck in trucks for side in "LR"]
    if kind.positions == "axles":
        return [
            _place(kind, str(axle), f"truck {layout.axle_trucks[axle]}", layout.fitted[axle][1])
            for axle in sorted(layout.fitted)
        ]
    if kind.positions == "sides of axle":
        return [
            _place(kind, f"{side}{axle}", f"axle position {axle}", place.where)
            for axle in sorted(layout.fitted)
            for side in "LR"
        ]
    return []


def _container(kind: Kind, name: str) -> str | None:
    if not kind.inside:
        return None
    container = kind.inside[0]
    return f"{container} {name}" if container in ("end", "truck") else container


def _place(kind: Kind, position: str, container: str | None, where: Location) -> Part:
    key = f"{kind.name} {position}" if position else kind.name
    label = f"axle {position}" if kind.name == "axle position" else f"{kind.label} {position}".strip()
    return Part(key, kind.name, position, label, container, True, where)


def _listed(kind: Kind, section: Node | None, parts: Mapping[str, Part], notes: Notes) -> list[Part]:
    found: list[Part] = []
    for name, node in notes.mapping(section, kind.section):
        at = node.get("at") if node.kind == "mapping" else None
        container = kind.inside[-1] if kind.inside else None
        if at is not None:
            text = notes.text(at, "at")
            owners = [f"{owner} {text}" for owner in kind.inside if f"{owner} {text}" in parts]
            if not owners and text in parts and text in kind.inside:
                owners = [text]
            if not owners:
                choices = [part.position for part in parts.values() if part.kind in kind.inside and part.position]
                notes.note(at, f"`at: {text[:40]}` for {kind.name} {name[:40]}", f"one of {some(choices)}")
                continue
            container = owners[0]
        elif container is not None and container not in parts:
            expected = f"`at: …`: the {kind.inside[0]} that it is on"
            notes.note(node, f"{kind.name} {name[:40]} without `at`", expected)
            continue
        found.append(_place(kind, name, container, node.where))
    return found


def read_descriptions(root: Node, layout: Layout, positions: Positions, notes: Notes) -> list[Evidence]:
    """What the parts' own sections say: undated, as the owner states it."""
    read = _Descriptions(positions, notes)
    for kind in notes.vocabulary.kinds.values():
        section = root.get(kind.section)
        if section is None or kind.name in OUTSIDE_THE_CAR or kind.name == "wheelset":
            continue
        if kind.positions == "single":
            read.part(kind, kind.name, section, ("mark", "name") if kind.name == "car" else ())
            continue
        for position, node in notes.mapping(section, kind.section):
            for key, _ in positions.find(kind, position, section.key_where(position), None):
                read.part(kind, key, node, ("axles",) if kind.name == "truck" else ("at",))
    for serial, node in layout.wheelsets.items():
        read.wheelset(serial, node)
    return read.evidence


class _Descriptions:
    def __init__(self, positions: Positions, notes: Notes) -> None:
        self._positions, self._notes = positions, notes
        self.evidence: list[Evidence] = []

    def wheelset(self, serial: str, node: Node) -> None:
        """A wheelset with its wheels, bearings and steel axle."""
        kinds = self._notes.vocabulary.kinds
        inner = (*_INNER, *_BOTH, "axle", "where")
        self.part(kinds["wheelset"], f"wheelset {serial}", node, inner)
        for key, value in node.pairs():
            if key in _INNER:
                self.part(kinds[_INNER[key]], f"{_INNER[key]} {serial} {key.partition('_')[0]}", value)
            elif key in _BOTH:
                for side in ("left", "right"):
                    self.part(kinds[_BOTH[key]], f"{_BOTH[key]} {serial} {side}", value)
            elif key == "axle":
                self.part(kinds["axle"], f"axle of {serial}", value)

    def part(self, kind: Kind, key: str, node: Node, other: tuple[str, ...] = ()) -> None:
        """The descriptions in one part's mapping; `other`: keys that are read elsewhere."""
        described = {name: one for name, one in kind.attributes.items() if one.description}
        for name, value in self._notes.mapping(node, f"{kind.name} {key}"):
            if name in other:
                continue
            attribute = kind.attributes.get(name)
            if attribute is None:
                self._notes.unknown_key(node, name, (*described, *other), f"the description of a {kind.name}")
                continue
            if not attribute.description:
                remedy = _where_it_goes(attribute.derived, attribute.type)
                found = f"`{name}`, which is no description"
                self._notes.note(node.key_where(name), found, "a description of the part", remedy=remedy)
                continue
            read = read_value(value, attribute, self._notes)
            if read is not None and not isinstance(read.value, NotAccessible):
                evidence = Evidence(f"{key} {name}", name, key, key, read.value, "description", None, value.where)
                self.evidence.append(evidence)


def _where_it_goes(derived: str, type_: str) -> str:
    if derived:
        return "leave it out: it is worked out from other readings"
    if type_ in ("test", "paper"):
        return f"write it under `{type_}s:`"
    return "it is a reading: write it on a dated sheet, under `sheets:`"


__all__ = ["Layout", "build_parts", "read_descriptions", "read_layout"]
