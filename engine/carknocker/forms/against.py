"""The readings on record that stand against a car: each of them may have been written down wrongly."""

import re
from collections.abc import Iterator
from datetime import date

import msgspec

from carknocker.forms.names import name_on_a_form
from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import Evidence
from carknocker.wording.parts import attribute_words

_MOST = 12
_NAME = re.compile(r"(.+), ([a-z0-9_]+), ([0-9]{4}-[0-9]{2}-[0-9]{2})")


class ReadingNamed(msgspec.Struct, frozen=True):
    """A reading as the name of a form's correction has it: without its value, since a gauge is read blind. part: as a
    form names it."""

    part: str
    attribute: str
    read_on: str

    @property
    def name(self) -> str:
        return f"{self.part}, {self.attribute}, {self.read_on}"


class ReadingAgainst(msgspec.Struct, frozen=True):
    """words: to be read by a person. several: different values of that day are on record: its name is not
    enough."""

    named: ReadingNamed
    words: str
    several: bool


def reading_named(text: str) -> ReadingNamed | None:
    """The reading that such a name is about; None for any other text."""
    told = _NAME.fullmatch(text)
    return None if told is None else ReadingNamed(told[1], told[2], told[3])


def readings_against(index: JudgementIndex) -> Iterator[ReadingAgainst]:
    """Those that breach a limit, or that are doubtful, in the order of the parts, each day of each once."""
    found: dict[tuple[str, str, date], Evidence] = {}
    against = [one.evidence for one in index.judgement.findings if one.verdict == "breached" and one.unmet]
    against += [one for doubt in index.judgement.doubts for one in doubt.touched]
    for one in against:
        if one is not None and one.sort == "reading" and one.on is not None:
            found.setdefault((one.part, one.attribute, one.on), one)
    parts = index.judgement.parts
    order = {key: place for place, key in enumerate(parts)}
    told = [(key, attribute, on) for key, attribute, on in found if key in order]
    for key, attribute, on in sorted(told, key=lambda one: (order[one[0]], *one[1:]))[:_MOST]:
        part = parts[key]
        named = ReadingNamed(name_on_a_form(part, index.standing), attribute, on.isoformat())
        words = f"{named.part}, {attribute_words(part.kind, attribute)} of {named.read_on}"
        read = index.standing.evidence.get(key, {}).get(attribute, ())
        yield ReadingAgainst(named, words, len({repr(one.value) for one in read if one.on == on}) > 1)
