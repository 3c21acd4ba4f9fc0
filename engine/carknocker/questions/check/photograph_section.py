"""The photographs of a car as a section of its page, by what they show."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from carknocker.dossier.photographs import PhotographOnRecord
from carknocker.page.model import Block, Bullets, Item, Picture, Section

if TYPE_CHECKING:
    from carknocker.documents.pictures import SmallPicture

_STATE = {"on hand": "", "missing": "; not in the folder any more", "changed": "; changed since it was put on record"}


def photograph_section(
    photographs: tuple[PhotographOnRecord, ...], pictures: "Mapping[str, SmallPicture]"
) -> Section | None:
    """An item for each thing shown. pictures: file → what a medium that shows pictures shows; the others are named."""
    by_thing: dict[str, list[PhotographOnRecord]] = {}
    for one in photographs:
        by_thing.setdefault(" and ".join(one.of), []).append(one)
    items = [Item(thing[:1].upper() + thing[1:], _blocks(own, pictures)) for thing, own in by_thing.items()]
    return Section("Photographs", tuple(items)) if items else None


def _blocks(photographs: list[PhotographOnRecord], pictures: "Mapping[str, SmallPicture]") -> tuple[Block, ...]:
    shown = [one for one in photographs if one.file in pictures]
    named = [one for one in photographs if one.file not in pictures]
    return (
        *(Picture(said_of(one), described(one), *_of(pictures[one.file])) for one in shown),
        *((Bullets(tuple(said_of(one) for one in named)),) if named else ()),
    )


def _of(picture: "SmallPicture") -> tuple[bytes, int, int]:
    return picture.jpeg, picture.width, picture.height


def said_of(one: PhotographOnRecord) -> str:
    """What stands beside a photograph: the reading that it shows, day, person, file, and whether it is as it was."""
    reading = f"{one.reading.replace('_', ' ')}, " if one.reading else ""
    return f"{reading}{one.on}, {one.by}: {one.file}{_STATE[one.state]}"


def described(one: PhotographOnRecord) -> str:
    """What it shows, for whoever does not see it."""
    reading = f", {one.reading.replace('_', ' ')}" if one.reading else ""
    return f"Photograph of {' and '.join(one.of)}{reading}, taken {one.on}"
