"""The parts of a car, as the record says it stands now: its axles and wheelsets, its places, the spare wheelsets."""

from collections import Counter
from collections.abc import Mapping
from itertools import pairwise

import msgspec

from carknocker.documents import Location, Node, one_of
from carknocker.record.files import RecordReporter
from carknocker.record.model import Fitting, Part
from carknocker.record.part_keys import axle_position_key, truck_key, wheelset_parts
from carknocker.vocabulary.model import Kind
from carknocker.vocabulary.program_names import AXLE_POSITION, MOVE_KINDS, TRUCK

ENDS = ("B", "A")
WHERE = ("fitted", "carried", "on the shelf", "gone")
LEAST_AXLES = 2
"""Of a truck: single-axle trucks are of cars that the program does not know."""
MOST_AXLES = 12
MOST_PARTS = 1_000
GOOD_NAME = "a name of at most 40 characters, without a comma, and not `all`"


class Layout(msgspec.Struct):
    """What the record says of trucks and wheelsets.

    fitted: axle → serial and where that is written. axle_trucks: axle → A or B. stated: serial → one of `WHERE`.
    numbered: whether the axles bear the numbers that positions such as `L6` go by.
    """

    fitted: dict[int, tuple[str, Location]] = msgspec.field(default_factory=dict)
    axle_trucks: dict[int, str] = msgspec.field(default_factory=dict)
    wheelsets: dict[str, Node] = msgspec.field(default_factory=dict)
    stated: dict[str, str] = msgspec.field(default_factory=dict)
    numbered: bool = True

    def spare_serials(self) -> dict[str, str]:
        """The wheelsets that are carried or on the shelf, each with which of the two."""
        return {serial: where for serial, where in self.stated.items() if where in ("carried", "on the shelf")}


def read_layout(root: Node, reporter: RecordReporter) -> Layout:
    """The trucks' axles and the wheelsets. Reports a truck or an axle that is not on record, axles that are not
    numbered from the B end without a gap, a wheelset at two axles, and a `where` that the trucks contradict."""
    layout = Layout()
    trucks = root.get("trucks")
    before = len(reporter.problems)
    for name, truck in reporter.mapping(trucks, "trucks"):
        if name == "all":
            continue
        if trucks is not None and name not in ENDS:
            reporter.note(trucks.key_where(name), f"the truck `{name[:40]}`", "`A`, `B` or `all`")
            continue
        axles = truck.get("axles") if truck.kind == "mapping" else None
        if truck.kind == "mapping" and (axles is None or axles.is_empty):
            reporter.note(
                truck, f"truck {name} without axles", "`axles: {1: SERIAL, 2: SERIAL}`, counted from the B end"
            )
        _read_axles(name, axles, layout, reporter)
    sound = len(reporter.problems) == before
    car = root.get("car")
    if not layout.fitted and sound and (trucks is not None or car is None or car.kind == "mapping"):
        expected = "`axles: {1: SERIAL, 2: SERIAL}` in each truck, counted from the B end"
        reporter.note(trucks or root, "a car without axles", expected)
    elif sound and layout.fitted:
        _prove_trucks(trucks or root, layout, reporter)
    layout.numbered = _prove_numbers(layout, reporter) and sound
    wheelsets = root.get("wheelsets")
    for serial, node in reporter.mapping(wheelsets, "wheelsets"):
        if wheelsets is not None and not good_name(serial):
            reporter.note(wheelsets.key_where(serial), f"the serial `{serial[:60]}`", GOOD_NAME)
            continue
        layout.wheelsets[serial] = node
        where = node.get("where") if node.kind == "mapping" else None
        stated = reporter.text(where, "where")
        if where is not None and stated not in WHERE:
            reporter.is_known(where, stated, WHERE, "place of a wheelset")
            stated = ""
        layout.stated[serial] = stated
    _prove_wheelsets(layout, reporter)
    return layout


def good_name(name: str) -> bool:
    """Whether a part can bear this name: positions are written joined by commas, and `all` means every one."""
    return bool(name.strip()) and name == name.strip() and len(name) <= 40 and "," not in name and name != "all"


def _read_axles(truck: str, axles: Node | None, layout: Layout, reporter: RecordReporter) -> None:
    for text, serial in reporter.mapping(axles, "axles"):
        where = serial.where
        if not (text.isascii() and text.isdigit() and len(text) < 3 and 1 <= int(text) <= MOST_AXLES):
            reporter.note(where, f"the axle `{text[:20]}`", "a number counted from the B end: 1, 2, 3 …")
        elif int(text) in layout.fitted:
            reporter.note(where, f"axle {int(text)} a second time", "each axle once")
        else:
            name = reporter.text(serial, "a wheelset")
            if not name and serial.kind == "scalar":
                reporter.note(where, f"axle {int(text)} without a wheelset", "the serial or own mark of its wheelset")
            layout.fitted[int(text)] = (name, where)
            layout.axle_trucks[int(text)] = truck


def _prove_trucks(trucks: Node, layout: Layout, reporter: RecordReporter) -> None:
    """Reports a truck that is not on record, and a truck of which only one axle is: a car with fewer would have fewer
    to pass."""
    axles = Counter(layout.axle_trucks.values())
    for name in ENDS:
        if not axles[name]:
            found = f"no truck {name}: a car stands on two"
            reporter.note(trucks, found, f"`{name}: {{axles: {{…: SERIAL, …: SERIAL}}}}` beside the other truck")
        elif axles[name] < LEAST_AXLES:
            found = f"truck {name} with one axle"
            reporter.note(trucks, found, "all its axles, two or three, counted from the B end")


def _prove_numbers(layout: Layout, reporter: RecordReporter) -> bool:
    """Whether the axles are numbered from the B end without a gap; the first that is not is reported."""
    numbers = sorted(layout.fitted)
    for due, number in enumerate(numbers, start=1):
        if number != due:
            found = f"axle {number}, where axle {due} comes next"
            reporter.note(layout.fitted[number][1], found, "axles numbered 1, 2, 3 … without a gap")
            return False
    for number, following in pairwise(numbers):
        if (layout.axle_trucks[number], layout.axle_trucks[following]) == ("A", "B"):
            found = f"axle {number} of truck A numbered before axle {following} of truck B"
            reporter.note(layout.fitted[number][1], found, "axles counted from the B end")
            return False
    return bool(numbers)


def _prove_wheelsets(layout: Layout, reporter: RecordReporter) -> None:
    seen: dict[str, int] = {}
    for axle, (serial, where) in sorted(layout.fitted.items()):
        if not serial:
            continue
        if serial in seen:
            found = f"wheelset {serial} at axle {seen[serial]} and at axle {axle}"
            reporter.note(where, found, "each wheelset at one axle")
        seen[serial] = axle
        reporter.is_known(where, serial, layout.wheelsets, "wheelset")
    for serial, stated in layout.stated.items():
        node = layout.wheelsets[serial]
        place = (node.get("where") if node.kind == "mapping" else None) or node
        if stated == "fitted" and serial not in seen:
            found = f"`where: fitted`, but no truck has {serial}"
            reporter.note(place, found, "its axle in the truck, or another `where`")
        elif stated not in ("", "fitted") and serial in seen:
            expected = "`where: fitted`, or another wheelset at that axle"
            reporter.note(place, f"`where: {stated[:40]}`, but {serial} is at axle {seen[serial]}", expected)
        elif not stated:
            layout.stated[serial] = "fitted" if serial in seen else "gone"


def build_parts(root: Node, layout: Layout, now: Mapping[int, Fitting], reporter: RecordReporter) -> tuple[Part, ...]:
    """Every part, container before what is in it. now: what is at each axle."""
    parts: dict[str, Part] = {}
    for kind in reporter.vocabulary.kinds.values():
        if kind.name in MOVE_KINDS or kind.thing:
            continue
        for part in _places(kind, root, layout, parts, reporter):
            parts[part.key] = part
        reporter.refuse_above(MOST_PARTS, len(parts), root.get(kind.section) or root, "parts")
    for axle, (serial, where) in sorted(layout.fitted.items()):
        turned = now[axle].end_for_end if axle in now else False
        parts.update((part.key, part) for part in wheelset_parts(serial, axle, turned, where))
    for serial in layout.spare_serials():
        found = wheelset_parts(serial, None, False, layout.wheelsets[serial].where)
        parts.update((part.key, part) for part in found if part.key not in parts)
    return tuple(parts.values())


def _places(kind: Kind, root: Node, layout: Layout, parts: Mapping[str, Part], reporter: RecordReporter) -> list[Part]:
    section = root.get(kind.section)
    where = (section or root).where
    trucks = [name for name in ENDS if name in layout.axle_trucks.values()]
    axles = sorted(layout.fitted)
    match kind.positions:
        case "listed":
            return _listed(kind, section, parts, reporter)
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


def _listed(kind: Kind, section: Node | None, parts: Mapping[str, Part], reporter: RecordReporter) -> list[Part]:
    """The parts that a section lists. `at` names the container; without it a part is in the last kind of container."""
    found: list[Part] = []
    for name, node in reporter.mapping(section, kind.section):
        if name == "all" or "," in name:
            continue  # said of several parts that are listed by themselves
        if section is not None and not good_name(name):
            reporter.note(section.key_where(name), f"the {kind.name} `{name[:60]}`", GOOD_NAME)
            continue
        at = node.get("at") if node.kind == "mapping" else None
        container = kind.inside[-1] if kind.inside else None
        if at is not None:
            container = _owner(kind, reporter.text(at, "at"), parts)
            if container is None:
                choices = [part.position for part in parts.values() if part.kind in kind.inside and part.position]
                expected = one_of(dict.fromkeys(choices), "no `at`: the record has no such part")
                reporter.note(at, f"{kind.name} {name} at {at.describe()}", expected)
        elif container is not None and container not in parts:
            reporter.note(node, f"{kind.name} {name} without `at`", f"`at: …`: the {kind.inside[0]} that it is on")
        found.append(_place(kind, name, container, node.where))
    return found


def _owner(kind: Kind, text: str, parts: Mapping[str, Part]) -> str | None:
    """The key of the container that `at` names: `B`, `truck B`, `brake system`."""
    for owner in kind.inside:
        for key in (f"{owner} {text}", text):
            if key in parts and parts[key].kind == owner:
                return key
    return None
