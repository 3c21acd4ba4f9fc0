"""The parts of a car, as the record says it stands now: its places, the fitted wheelsets, the spare ones."""

from collections.abc import Mapping

from carknocker.documents import Location, Node, one_of
from carknocker.record.layout import ENDS, GOOD_NAME, Layout, good_name
from carknocker.record.model import Fitting, Part
from carknocker.record.notes import Notes
from carknocker.record.part_keys import axle_position_key, truck_key, wheelset_parts
from carknocker.vocabulary.model import Kind
from carknocker.vocabulary.program_names import AXLE_POSITION, MOVE_KINDS, TRUCK


def build_parts(root: Node, layout: Layout, now: Mapping[int, Fitting], notes: Notes) -> tuple[Part, ...]:
    """Every part, container before what is in it. now: what is at each axle."""
    parts: dict[str, Part] = {}
    for kind in notes.vocabulary.kinds.values():
        if kind.name in MOVE_KINDS or kind.thing:
            continue
        for part in _places(kind, root, layout, parts, notes):
            parts[part.key] = part
    for axle, (serial, where) in sorted(layout.fitted.items()):
        turned = now[axle].end_for_end if axle in now else False
        parts.update((part.key, part) for part in wheelset_parts(serial, axle, turned, where))
    for serial in layout.spare_serials():
        found = wheelset_parts(serial, None, False, layout.wheelsets[serial].where)
        parts.update((part.key, part) for part in found if part.key not in parts)
    return tuple(parts.values())


def _places(kind: Kind, root: Node, layout: Layout, parts: Mapping[str, Part], notes: Notes) -> list[Part]:
    section = root.get(kind.section)
    where = (section or root).where
    trucks = [name for name in ENDS if name in layout.axle_trucks.values()]
    axles = sorted(layout.fitted)
    match kind.positions:
        case "listed":
            return _listed(kind, section, parts, notes)
        case "single":
            exists = section is not None or not kind.listed
            return [_place(kind, "", kind.inside[0] if kind.inside else None, where)] if exists else []
        case "ends" | "trucks":
            names = trucks if kind.positions == "trucks" else list(ENDS)
            if kind.listed:
                names = [name for name in names if section is not None and name in section.keys()]
            return [_place(kind, name, _container(kind, name), where) for name in names]
        case "sides of truck":
            return [_place(kind, f"{truck}{side}", truck_key(truck), where) for truck in trucks for side in "LR"]
        case "axles":
            return [
                _place(kind, str(axle), truck_key(layout.axle_trucks[axle]), layout.fitted[axle][1]) for axle in axles
            ]
        case "sides of axle":
            return [_place(kind, f"{side}{axle}", axle_position_key(axle), where) for axle in axles for side in "LR"]
    return []


def _container(kind: Kind, name: str) -> str | None:
    if not kind.inside:
        return None
    container = kind.inside[0]
    return f"{container} {name}" if container in ("end", TRUCK) else container


def _place(kind: Kind, position: str, container: str | None, where: Location) -> Part:
    key = f"{kind.name} {position}" if position else kind.name
    label = f"axle {position}" if kind.name == AXLE_POSITION else f"{kind.label} {position}".strip()
    return Part(key, kind.name, position, label, container, True, where)


def _listed(kind: Kind, section: Node | None, parts: Mapping[str, Part], notes: Notes) -> list[Part]:
    """The parts that a section lists. `at` names the container; without it a part is in the last kind of container."""
    found: list[Part] = []
    for name, node in notes.mapping(section, kind.section):
        if name == "all" or "," in name:
            continue  # said of several parts that are listed by themselves
        if section is not None and not good_name(name):
            notes.note(section.key_where(name), f"the {kind.name} `{name[:60]}`", GOOD_NAME)
            continue
        at = node.get("at") if node.kind == "mapping" else None
        container = kind.inside[-1] if kind.inside else None
        if at is not None:
            container = _owner(kind, notes.text(at, "at"), parts)
            if container is None:
                choices = [part.position for part in parts.values() if part.kind in kind.inside and part.position]
                expected = one_of(dict.fromkeys(choices), "no `at`: the record has no such part")
                notes.note(at, f"{kind.name} {name} at {at.describe()}", expected)
        elif container is not None and container not in parts:
            notes.note(node, f"{kind.name} {name} without `at`", f"`at: …`: the {kind.inside[0]} that it is on")
        found.append(_place(kind, name, container, node.where))
    return found


def _owner(kind: Kind, text: str, parts: Mapping[str, Part]) -> str | None:
    """The key of the container that `at` names: `B`, `truck B`, `brake system`."""
    for owner in kind.inside:
        for key in (f"{owner} {text}", text):
            if key in parts and parts[key].kind == owner:
                return key
    return None
