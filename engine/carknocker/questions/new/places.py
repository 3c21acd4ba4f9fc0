"""`new --add`: the places for parts that must be there and are not on record, written into a record as comments."""

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from carknocker.cli.output import backup_name
from carknocker.documents import InputRefused, Location, Problem
from carknocker.record import CarRecord, read_car_text
from carknocker.record.standing import listed_now
from carknocker.record.unlisted_parts import PartsThere, parts_there, place_in
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind

_HEAD = "# Parts that must be there and are not on record yet. Look, fill in, and take the marks `#` away."


class Added(msgspec.Struct, frozen=True):
    """text: of the whole new record. backup: name of the file for what was there. places: how many were written."""

    text: str
    backup: str
    places: int


def add_places(record: str, file: str) -> Added:
    """The record with a place, commented out, for each number and each section that it lacks: nothing is claimed.

    Raises InputRefused for a record that can't be read, and for one that lacks nothing or has these places already.
    """
    before = read_car_text(record, file)
    lacking = [one for one in parts_there(listed_now(before)) if one.unlisted is not None]
    lines = list(_lines(lacking, before))
    block = "\n".join(("", _HEAD, *(f"# {line}".rstrip() for line in lines), ""))
    if not lacking or block in record.replace("\r\n", "\n"):
        found = "a record that has the places already" if lacking else "a record that lacks no part that must be there"
        raise InputRefused((Problem(Location(file, 1, 1), found, "a record with places to add"),))
    ending = "\r\n" if "\r\n" in record else "\n"
    text = record.rstrip("\r\n") + ending + block.replace("\n", ending)
    if not _says_the_same(read_car_text(text, file), before):
        raise AssertionError("a comment changed what the record says")
    return Added(text, backup_name(file, record), len(lacking))


def _says_the_same(after: CarRecord, before: CarRecord) -> bool:
    return (after.parts, after.evidence, after.work) == (before.parts, before.evidence, before.work)


def _lines(lacking: Iterable[PartsThere], car: CarRecord) -> Iterator[str]:
    known = list(lacking)
    by_container: dict[str, dict[str, list[str]]] = {}
    for one in known:
        if one.number is None and one.row.number:
            section = by_container.setdefault(one.container.kind, {})
            section.setdefault(one.container.position, []).append(one.row.number)
    if by_container:
        yield "How many there are, on a sheet; `none fitted` where there is none:"
        yield "  - on: "
        yield "    by: "
        yield "    readings:"
        yield from _numbers(by_container)
    undecided = dict.fromkeys(place for one in known for place in one.undecided)
    if undecided:
        yield "What tells whether they are there at all, in the part's own section:"
        yield from (f"  {key}: {attribute}: " for key, attribute in undecided)
    yield "The parts themselves, each in its section:"
    yield from _parts(known, car)


def _numbers(by_container: Mapping[str, Mapping[str, list[str]]]) -> Iterator[str]:
    kinds = load_vocabulary().kinds
    for kind, positions in by_container.items():
        single = kinds[kind].positions == "single"
        yield f"      {kinds[kind].section}:"
        for position, numbers in positions.items():
            indent = "        "
            if not single:
                yield f"        {position}:"
                indent += "  "
            yield from (f"{indent}{name}: " for name in numbers)


def _parts(lacking: Iterable[PartsThere], car: CarRecord) -> Iterator[str]:
    """One line for each section and each part in it: as many as are missing, or one to be copied."""
    free = {kind: 1 + sum(part.kind == kind for part in car.parts) for kind in load_vocabulary().kinds}
    by_section: dict[str, list[str]] = {}
    for one in lacking:
        lines = by_section.setdefault(one.kind.section, [])
        if not one.row.number:
            single = one.kind.positions == "single"
            lines.append(f"  {_first(one.kind)}: " if single else f"  {one.container.position}: {{}}")
            continue
        unlisted = one.unlisted
        for _ in range(unlisted.missing or 1 if unlisted is not None else 0):
            place = place_in(one.kind, one.container.kind, one.container.position)
            at = f"at: {place}, " if place else ""
            told = ", ".join(f"{name}: {words[0]}" for name, words in one.row.which)
            lines.append(f"  {free[one.kind.name]}: {{{at}{told}}}".replace(", }", "}"))
            free[one.kind.name] += 1
    for section, lines in by_section.items():
        yield f"{section}:"
        yield from lines


def _first(kind: Kind) -> str:
    """The description that says whether such a part is there; else the first that there is."""
    described = [name for name, attribute in kind.attributes.items() if attribute.description]
    return "fitted" if "fitted" in described else described[0]
