"""Which wheelset the record says is at which axle now, and where the others are; proven to be possible."""

from itertools import pairwise

import msgspec

from carknocker.documents import Location, Node
from carknocker.record.notes import Notes

ENDS = ("B", "A")
WHERE = ("fitted", "carried", "on the shelf", "gone")
MOST_AXLES = 12
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


def read_layout(root: Node, notes: Notes) -> Layout:
    """The trucks' axles and the wheelsets. Notes axles that are not numbered from the B end without a gap, a wheelset
    at two axles, and a `where` that the trucks contradict."""
    layout = Layout()
    trucks = root.get("trucks")
    before = len(notes.problems)
    for name, truck in notes.mapping(trucks, "trucks"):
        if name == "all":
            continue
        if trucks is not None and name not in ENDS:
            notes.note(trucks.key_where(name), f"the truck `{name[:40]}`", "`A`, `B` or `all`")
            continue
        axles = truck.get("axles") if truck.kind == "mapping" else None
        if truck.kind == "mapping" and (axles is None or axles.is_empty):
            notes.note(truck, f"truck {name} without axles", "`axles: {1: SERIAL, 2: SERIAL}`, counted from the B end")
        _read_axles(name, axles, layout, notes)
    sound = len(notes.problems) == before
    car = root.get("car")
    if not layout.fitted and sound and (trucks is not None or car is None or car.kind == "mapping"):
        expected = "`axles: {1: SERIAL, 2: SERIAL}` in each truck, counted from the B end"
        notes.note(trucks or root, "a car without axles", expected)
    layout.numbered = _prove_numbers(layout, notes) and sound
    wheelsets = root.get("wheelsets")
    for serial, node in notes.mapping(wheelsets, "wheelsets"):
        if wheelsets is not None and not good_name(serial):
            notes.note(wheelsets.key_where(serial), f"the serial `{serial[:60]}`", GOOD_NAME)
            continue
        layout.wheelsets[serial] = node
        where = node.get("where") if node.kind == "mapping" else None
        stated = notes.text(where, "where")
        if where is not None and stated not in WHERE:
            notes.is_known(where, stated, WHERE, "place of a wheelset")
            stated = ""
        layout.stated[serial] = stated
    _prove_wheelsets(layout, notes)
    return layout


def good_name(name: str) -> bool:
    """Whether a part can bear this name: positions are written joined by commas, and `all` means every one."""
    return bool(name.strip()) and name == name.strip() and len(name) <= 40 and "," not in name and name != "all"


def _read_axles(truck: str, axles: Node | None, layout: Layout, notes: Notes) -> None:
    for text, serial in notes.mapping(axles, "axles"):
        where = serial.where
        if not (text.isascii() and text.isdigit() and len(text) < 3 and 1 <= int(text) <= MOST_AXLES):
            notes.note(where, f"the axle `{text[:20]}`", "a number counted from the B end: 1, 2, 3 …")
        elif int(text) in layout.fitted:
            notes.note(where, f"axle {int(text)} a second time", "each axle once")
        else:
            name = notes.text(serial, "a wheelset")
            if not name and serial.kind == "scalar":
                notes.note(where, f"axle {int(text)} without a wheelset", "the serial or own mark of its wheelset")
            layout.fitted[int(text)] = (name, where)
            layout.axle_trucks[int(text)] = truck


def _prove_numbers(layout: Layout, notes: Notes) -> bool:
    """Whether the axles are numbered from the B end without a gap; noted, at the first that is not, if they aren't."""
    numbers = sorted(layout.fitted)
    for due, number in enumerate(numbers, start=1):
        if number != due:
            found = f"axle {number}, where axle {due} comes next"
            notes.note(layout.fitted[number][1], found, "axles numbered 1, 2, 3 … without a gap")
            return False
    for number, following in pairwise(numbers):
        if (layout.axle_trucks[number], layout.axle_trucks[following]) == ("A", "B"):
            found = f"axle {number} of truck A numbered before axle {following} of truck B"
            notes.note(layout.fitted[number][1], found, "axles counted from the B end")
            return False
    return bool(numbers)


def _prove_wheelsets(layout: Layout, notes: Notes) -> None:
    seen: dict[str, int] = {}
    for axle, (serial, where) in sorted(layout.fitted.items()):
        if not serial:
            continue
        if serial in seen:
            found = f"wheelset {serial} at axle {seen[serial]} and at axle {axle}"
            notes.note(where, found, "each wheelset at one axle")
        seen[serial] = axle
        notes.is_known(where, serial, layout.wheelsets, "wheelset")
    for serial, stated in layout.stated.items():
        node = layout.wheelsets[serial]
        place = (node.get("where") if node.kind == "mapping" else None) or node
        if stated == "fitted" and serial not in seen:
            found = f"`where: fitted`, but no truck has {serial}"
            notes.note(place, found, "its axle in the truck, or another `where`")
        elif stated not in ("", "fitted") and serial in seen:
            expected = "`where: fitted`, or another wheelset at that axle"
            notes.note(place, f"`where: {stated[:40]}`, but {serial} is at axle {seen[serial]}", expected)
        elif not stated:
            layout.stated[serial] = "fitted" if serial in seen else "gone"
