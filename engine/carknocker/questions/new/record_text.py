"""The text of a first record: what each description may say stands beside it."""

from collections.abc import Iterable, Iterator, Mapping
from string import Template

from carknocker.cli.starter_files import as_scalar, plain_words
from carknocker.questions.new.draft import ALL, Described, Draft, Reading, Section
from carknocker.questions.new.starter_text import CAR_END, CAR_HEAD, NOT_COUNTED, WHEELSETS_HEAD
from carknocker.record.insertion import plain_text
from carknocker.record.value_reader import in_words
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview_reader import words_for
from carknocker.vocabulary.model import Attribute, Kind
from carknocker.vocabulary.program_names import AXLE, BEARING, TRUCK, WHEEL, WHEELSET

WIDTH = 118
_PLAIN_TYPES = {"text": "in words", "identity": "as it is marked or named", "date": "a year, a month or a day"}
_INSIDE = {WHEEL: "wheels", BEARING: "bearings", AXLE: "axle"}


def record_text(draft: Draft) -> str:
    """The record that a draft says, commented."""
    lines = [Template(CAR_HEAD).substitute(mark=as_scalar(draft.mark, "mark and number")).rstrip("\n")]
    kinds = load_vocabulary().kinds
    for name, section in draft.sections.items():
        lines += ["", *_section_lines(kinds[name], section, draft)]
        if name == TRUCK:
            lines += ["", *_wheelset_lines(draft)]
    lines += ["", *_people(draft), *_sheets(draft), *_spares(draft)]
    return "\n".join(lines) + "\n\n" + CAR_END


def scalar(text: str, attribute: Attribute | None = None) -> str:
    """A value as YAML that every reader takes as this text."""
    if attribute is not None and attribute.type in ("text", "identity"):
        return as_scalar(text, "")
    if attribute is not None and attribute.type == "list of":
        return "[" + ", ".join(scalar(word) for word in text.split(", ")) + "]" if text != "not known" else text
    return plain_text(text)


def may_say(attribute: Attribute) -> str:
    """What an attribute is, and what it may say, in one line."""
    words = words_for(attribute)
    said = ", ".join(words) if words else _PLAIN_TYPES.get(attribute.type) or in_words(attribute).replace("`", "")
    several = "some of " if attribute.type == "list of" and words else ""
    label = "" if attribute.label == attribute.name.replace("_", " ") else f"{attribute.label}: "
    return f"{label}{several}{said}"


def flow(values: Mapping[str, str], kind: Kind) -> str:
    """Values in braces."""
    return "{" + ", ".join(f"{key}: {scalar(value, kind.attributes.get(key))}" for key, value in values.items()) + "}"


def wrapped(key: str, values: Mapping[str, str], kind: Kind, indent: int, end: str = "") -> Iterator[str]:
    """Values in braces behind a key, on as many lines as they need. end: what stands behind the last brace."""
    pieces = [f"{name}: {scalar(value, kind.attributes.get(name))}" for name, value in values.items()]
    yield from filled(f"{' ' * indent}{key}: {{", pieces, indent + 2, "}" + end)


def filled(line: str, pieces: list[str], indent: int, end: str) -> Iterator[str]:
    """A line and what goes on behind it, separated by commas, broken where it is full. end: what ends it."""
    for number, piece in enumerate(pieces, start=1):
        more = piece + (end if number == len(pieces) else ",")
        if len(line) + len(more) > WIDTH:
            yield line.rstrip()
            line = " " * indent
        line += f"{more} "
    yield line.rstrip() if pieces else f"{line}{end}"


def described_lines(values: Described, kind: Kind, indent: int) -> Iterator[str]:
    """Each value on a line of its own, with what it may say behind it, or above it where that is long."""
    for name, value in values.items():
        attribute = kind.attributes.get(name)
        line = f"{' ' * indent}{name}: {scalar(value, attribute)}"
        told = "" if attribute is None else may_say(attribute)
        if not told:
            yield line
        elif len(line) + len(told) + 5 <= WIDTH:
            yield f"{line:<{indent + 34}}  # {told}"
        else:
            yield from comment(told, indent)
            yield line


def comment(text: str, indent: int = 0) -> Iterator[str]:
    """A text as comment lines."""
    line = " " * indent + "#"
    for word in text.split():
        if len(line) + len(word) + 1 > WIDTH:
            yield line
            line = " " * indent + "#  "
        line += f" {word}"
    yield line


NO_NAME = "  name:                               # name of the car, if it has one"


def _section_lines(kind: Kind, section: Section, draft: Draft) -> Iterator[str]:
    yield f"{kind.section}:"
    if list(section) == [""]:
        if kind.name == "car":
            yield f"  mark: {as_scalar(draft.mark, 'mark and number')}"
            yield f"  name: {as_scalar(draft.name, '')}" if plain_words(draft.name) else NO_NAME
        yield from described_lines(section[""], kind, 2)
        return
    for at, values in section.items():
        if at == ALL and values:
            yield "  all:"
            yield from described_lines(values, kind, 4)
        elif at != ALL and kind.name == TRUCK:
            yield f"  {at}:"
            yield from described_lines(values, kind, 4)
            axles = ", ".join(f"{axle}: {serial}" for axle, serial in draft.trucks[at].items())
            yield f"    axles: {{{axles}}}"
        elif at != ALL:
            yield f"  {at}: {flow(values, kind)}"


def _wheelset_lines(draft: Draft) -> Iterator[str]:
    kinds = load_vocabulary().kinds
    yield from WHEELSETS_HEAD.rstrip("\n").split("\n")
    for name in (WHEELSET, *_INSIDE):
        yield f"# {_INSIDE.get(name, 'the wheelset itself')}:"
        for attribute in kinds[name].attributes.values():
            if attribute.description:
                yield from comment(f"{attribute.name}: {may_say(attribute)}")
    yield "wheelsets:"
    for serial, inside in draft.wheelsets.items():
        kind = kinds[WHEELSET]
        pieces = ["where: carried"] if serial in draft.carried else []
        pieces += [f"{name}: {scalar(value, kind.attributes[name])}" for name, value in inside[WHEELSET].items()]
        yield from filled(f"  {scalar(serial)}: {{", pieces, 4, ",")
        for name, key in _INSIDE.items():
            yield from wrapped(key, inside[name], kinds[name], 4, "}" if key == list(_INSIDE.values())[-1] else ",")


def _people(draft: Draft) -> Iterator[str]:
    yield "# Who reads, tests and signs; which hosts accept what he signs, and until when:"
    yield "#   HM: {role: shop inspector, accepted_by: [A Host Railroad], until: 2030-12-31}"
    if draft.people:
        yield "people:"
        yield from (f"  {short}: {entry}" for short, entry in draft.people.items())
    yield ""
    yield "# Gauges: what each reads to, when it was checked and when it is due again. Overdue readings don't count."
    if draft.gauges:
        yield "gauges:"
        yield from (f"  {short}: {entry}" for short, entry in draft.gauges.items())
    else:
        yield "# gauges:"
        yield "#   G-1: {kind: finger gauge, reads_to: 1/16 in, checked: 2026-03-01, due: 2030-03-01}"
    yield ""


def _sheets(draft: Draft) -> Iterator[str]:
    yield "# What was read, sheet by sheet, each with its day and who read."
    if not draft.sheets:
        yield from NOT_COUNTED.rstrip("\n").split("\n")
    else:
        yield "sheets:"
    for sheet in draft.sheets:
        yield f"  - on: {sheet.on}"
        yield f"    by: {sheet.by}"
        if sheet.gauge:
            yield f"    gauge: {sheet.gauge}"
        yield "    readings:"
        yield from reading_lines(sheet.readings, 6)
    yield ""


def reading_lines(readings: Iterable[Reading], indent: int) -> Iterator[str]:
    """The readings of a sheet, those alike at every position said of all."""
    kinds = load_vocabulary().kinds
    by_kind: dict[str, dict[str, dict[str, str]]] = {}
    for one in readings:
        by_kind.setdefault(one.kind, {}).setdefault(one.position, {})[one.name] = one.value
    for name, positions in by_kind.items():
        kind, space = kinds[name], " " * indent
        told = list(positions.values())
        if list(positions) == [""]:
            yield from wrapped(kind.section, positions[""], kind, indent)
        elif len(told) > 1 and all(one == told[0] for one in told):
            yield f"{space}{kind.section}:"
            yield from wrapped(ALL, told[0], kind, indent + 2)
        else:
            yield f"{space}{kind.section}:"
            for position, values in positions.items():
                yield from wrapped(position, values, kind, indent + 2)


def _spares(draft: Draft) -> Iterator[str]:
    yield "# What is aboard (`carried`) and what is at home (`shelf`); a wheelset aboard stands above."
    if not draft.spares:
        yield "# spares:"
        yield "#   - {spare: air hose, carried: 2, shelf: 0}"
        return
    yield "spares:"
    for name, number in draft.spares:
        yield f"  - {{spare: {scalar(name)}, carried: {number}}}"
