"""Photographs of a car as the service keeps them: put on record by the functions of the command line, and shown."""

from collections.abc import Sequence
from datetime import date

import msgspec

from carknocker.service import asked_photographs
from carknocker.service.asked import Refused
from carknocker.service.asked_photographs import Choices
from carknocker.service.keeping import Keeping, Sent
from carknocker.service.storage.contents import JPEG
from carknocker.service.storage.history import NewVersion, Version


class Line(msgspec.Struct, frozen=True):
    """A photograph on record. digest: "" where its bytes were never sent in. blanked: by whom, when and why its bytes
    are gone, else ""."""

    file: str
    of: str
    said: str
    described: str
    digest: str
    blanked: str


def listed(keeping: Keeping, car_id: str) -> tuple[tuple[Line, ...], Choices]:
    """The photographs on record, and what a further one may show. Raises Refused, NotThere."""
    found, choices = keeping.workers.ask(asked_photographs.on_record, keeping.sources(car_id))
    digests = {one.name: one.digest for one in keeping.history.series(car_id, "photograph")}
    blanked = keeping.history.blanked(car_id)
    lines = tuple(
        Line(one.file, one.of, one.said, one.described, digests.get(one.file, ""),
             blanked.get(digests.get(one.file, ""), ""))
        for one in found
    )  # fmt: skip
    return lines, choices


def at_hand(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Those whose bytes are at hand, the last of the record first."""
    return tuple(one for one in reversed(lines) if one.digest and not one.blanked)


def put_on_record(
    keeping: Keeping,
    car_id: str,
    content: bytes,
    name: str,
    of: Sequence[str],
    on: date,
    by: str,
    reading: str,
    who: str,
    key: str | None = None,
) -> Version:
    """Puts a photograph on record. by: who took it; who: who sends it in; key: of the sender; the same under it is put
    on record once. Raises Refused, NotThere, and KeyUsed for a key that came with something else."""
    keeping.car(car_id)
    once = None if key is None else Sent.of(key, who, car_id, "photograph", *of, on.isoformat(), by, reading, content)
    if on > keeping.today():
        raise Refused("input", f"taken on {on.isoformat()}, a day after today, {keeping.today().isoformat()}")

    def writing() -> Version:
        if once is not None and (before := keeping.said_before(once, str)) is not None:
            return keeping.history.version(car_id, "photograph", before, 1)
        record, text = keeping.text(car_id, "record")
        made = keeping.workers.ask(
            asked_photographs.put_on_record, text, content, name, tuple(of), on.isoformat(), by, reading
        )
        of_words = " and ".join(of)
        kept = NewVersion(
            car_id, "photograph", made.file, made.copy, JPEG, keeping.written_now(), who,
            f"{of_words}, taken {on.isoformat()}",
        )  # fmt: skip
        keeping.add_versions(
            car_id, {"record": made.record}, who, f"photograph of {of_words}", {"record": record.number}, also=(kept,),
            once=None if once is None else once.answered(made.file, kept.at),
        )  # fmt: skip
        return keeping.newest(car_id, "photograph", made.file)

    return keeping.turns.write(car_id, writing)


def body_of(keeping: Keeping, car_id: str, file: str) -> bytes:
    """The reduced copy of a photograph. Raises NotThere, ContentMissing."""
    keeping.car(car_id)
    return keeping.history.body(keeping.newest(car_id, "photograph", file).digest)[1]
