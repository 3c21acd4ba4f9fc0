"""A form as it comes back, whatever it was made of: its sheets, and each answer where its kind belongs."""

import re
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

import msgspec
from msgspec.structs import replace

from carknocker.documents import Location, Problem, ProblemList
from carknocker.documents.visible_text import first_hidden
from carknocker.forms.comma_in_figure import comma_in_doubt, fact_of_entry
from carknocker.forms.entries import entry_named
from carknocker.forms.names import kind_and_position
from carknocker.forms.rows import BOUND, gauge_tool
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind
from carknocker.vocabulary.program_names import MOVE_KINDS

NOT_ACCESSIBLE = "not accessible"
UNREACHED = f"{NOT_ACCESSIBLE} (marked so on the form)"
TAKEN = "after the events of the day"
"""What a sheet says that was read after what happened to the car on its day. A form asks, and says yes or no."""
YES, NO = "yes", "no"
HEAD_LABELS = {
    "on": "day of reading", "by": "read by", "gauge": "gauge", "taken": "whether it was read after an event",
    "car": "how the car stood", "access": "access",
}  # fmt: skip
_TICKS = frozenset(("x", "yes", "true", "ok", "\u2713", "\u2714"))
_DASHES = ("-", "\u2013", "\u2014", "\u2212")
_NEW = re.compile(r"new (.+?) \((.+)\) of (.+)")
_BOUND = re.compile(rf"({BOUND})\s+(.+)")
_DROP = re.compile(r"before\s+(.+?)[,;]?\s+after\s+(.+?)[,;]?\s+minutes\s+(.+)")


Place = tuple[Location, str]
"""Where a box of a form stands, and words before a problem there."""


_LINE_OF_RECORD = re.compile(r"(?:,| in| \((?:first on )?) ?line [0-9]+\)?")


def at_its_place(problem: Problem, place: Place) -> Problem:
    """A problem of a record that a form would make, at a place of the form: no line of a text that nobody has yet."""
    where, words = place
    return replace(
        problem,
        where=where,
        found=f"{words}{_LINE_OF_RECORD.sub('', problem.found)}",
        expected=_LINE_OF_RECORD.sub("", problem.expected),
        line_text="",
    )


def hidden_in(text: Any, place: Place) -> Problem | None:
    """What is wrong with a text in which a character can't be seen; None where there is none."""
    hidden = first_hidden(text) if isinstance(text, str) and not text.isprintable() else ""
    if not hidden:
        return None
    where, words = place
    found = f"{words}the character U+{ord(hidden):04X}, which can't be seen"
    return Problem(where, found, "text that can be seen", remedy="type it anew")


class FurtherAnswer(msgspec.Struct, frozen=True):
    """An answer that is no reading: a description, a statement of the move, what is said of parts that are new, a test,
    a paper, a job.

    part: as a form names it. value: as a record writes it. words: its place on the form, before a problem there.
    named_at: where the form names the part, and what is said of it, if that is elsewhere.
    """

    part: str
    attribute: str
    value: Any
    where: Location
    words: str = ""
    named_at: tuple[Place, Place] | None = None

    @property
    def part_at(self) -> Place:
        return (self.where, self.words) if self.named_at is None else self.named_at[0]

    @property
    def attribute_at(self) -> Place:
        return (self.where, self.words) if self.named_at is None else self.named_at[1]


class FilledSheet(msgspec.Struct):
    """A sheet to be entered: its head, and section → position → attribute → value, as a record writes them.

    heads: of what its head says, where that stands, and words before a problem there. gauges_at: the same of the fields
    of its gauges, each by what was written there. title: how the form calls it.
    name: its short name in the form, by which photographs name it. places: of each value, where it stands in the form,
    and words before a problem there. named_at: the same of where its part is named, and what is said of that, if it is
    elsewhere. blank: the same of each empty box of an entry. problems: those found in it.
    sure_at: where the form has a place for how a figure was made sure that can hardly be; empty where that is written
    as in a record.
    """

    where: Location
    head: dict[str, Any]
    readings: dict[str, dict[str, Any]]
    count: int = 0
    title: str = ""
    name: str = ""
    places: dict[tuple[str, str, str], Place] = msgspec.field(default_factory=dict)
    further: list[FurtherAnswer] = msgspec.field(default_factory=list)
    blank: dict[tuple[str, str], Place] = msgspec.field(default_factory=dict)
    problems: ProblemList | None = None
    sure_at: str = ""
    heads: dict[str, Place] = msgspec.field(default_factory=dict)
    gauges_at: dict[str, Place] = msgspec.field(default_factory=dict)
    named_at: dict[tuple[str, str, str], tuple[Place, Place]] = msgspec.field(default_factory=dict)

    def head_place(self, key: str) -> Place:
        """Where something of its head stands, and words before a problem there."""
        title = f"{self.title}, " if self.title else ""
        where, words = self.heads.get(key, (self.where, ""))
        return where, words or f"{title}{HEAD_LABELS.get(key, key)}: "

    @property
    def answers(self) -> int:
        """How many answers are on it, readings or not."""
        return self.count + len(self.further)

    @property
    def is_signed(self) -> bool:
        """Whether anything on it goes by the day and the reader at its head: an entry has its own, and what a move
        says, or a part is, has none."""
        return self.count > 0 or any(goes_by_the_head(one.part, one.attribute) for one in self.further)

    def copy(self) -> "FilledSheet":
        """The sheet again, to be added to."""
        return replace(self, readings=deepcopy(self.readings), places=dict(self.places), named_at=dict(self.named_at))

    def leave_blank(self, part: str, attribute: str, where: Location, words: str = "") -> None:
        """Notes where an empty box stands: what an entry lacks is told there."""
        if entry_named(part) is not None:
            self.blank[part, attribute] = (where, words)

    def say(
        self, part: str, attribute: str, text: Any, where: Location, problems: ProblemList, words: str = "",
        gauge: str = "", sure: str = "", named_at: tuple[Place, Place] | None = None,
    ) -> None:  # fmt: skip
        """Puts an answer on the sheet, where its kind belongs. Notes a part that nobody knows, and a second answer.
        named_at: where the part is named, and what is said of it, if that is elsewhere."""
        part = part.strip()
        unseen = next(filter(None, (hidden_in(one, (where, words)) for one in (text, gauge, sure))), None)
        if unseen is not None:
            problems.add(unseen)
            return
        entry = entry_named(part)
        if entry is not None:
            doubt = comma_in_doubt(text, fact_of_entry(entry, attribute), where, words)
            if doubt is not None:
                problems.add(doubt)
                return
            self._say_further(FurtherAnswer(part, attribute, text, where, words, named_at), problems)
            return
        new = _NEW.fullmatch(part)
        kind = load_vocabulary().kinds.get(new[1]) if new is not None else None
        told = (kind, "") if kind is not None else named(part, problems, *(named_at or ((where, words),))[0])
        if told is None:
            return
        attribute = _key_of(told[0], attribute)
        known = told[0].attributes.get(attribute)
        value = cell_value(told[0], attribute, text, gauge, sure) if isinstance(text, str) else text
        doubt = comma_in_doubt(value, known, where, words)
        if doubt is not None:
            problems.add(doubt)
            return
        if new is not None or told[0].name in MOVE_KINDS or (known is not None and known.description):
            self._say_further(FurtherAnswer(part, attribute, value, where, words, named_at), problems)
        elif not self.put(*told, attribute, value, where, words, named_at):
            problems.add(
                Problem(where, f"{words}`{attribute}` of {part} a second time", "each reading once on a sheet")
            )

    def _say_further(self, said: FurtherAnswer, problems: ProblemList) -> None:
        if any((one.part, one.attribute) == (said.part, said.attribute) for one in self.further):
            found = f"{said.words}`{said.attribute}` of {said.part} a second time"
            problems.add(Problem(said.where, found, "each answer once"))
        self.further.append(said)

    def put(
        self, kind: Kind, position: str, attribute: str, value: Any, where: Location | None = None, words: str = "",
        named_at: tuple[Place, Place] | None = None,
    ) -> bool:  # fmt: skip
        """Puts a reading on the sheet; False if one stands there already."""
        section = self.readings.setdefault(kind.section, {})
        single = kind.positions == "single"
        if not single:
            section = section.setdefault(position, {})
        if attribute in section:
            return False
        section[attribute] = value
        key = kind.section, "" if single else position, attribute
        self.places[key] = (where or self.where, words)
        if named_at is not None:
            self.named_at[key] = named_at
        self.count += 1
        return True


class FilledForm(msgspec.Struct, frozen=True):
    """The mark that the form is for, its sheets that hold any reading, and its photographs as they stand in it.
    mark_at: where the mark stands, and words before a problem there. notes: what is said of what stands in the file and
    is no part of the form."""

    mark: str
    mark_at: Place
    sheets: tuple[FilledSheet, ...]
    photographs: tuple[Mapping[str, Any], ...] = ()
    notes: tuple[str, ...] = ()


def named(part: str, problems: ProblemList, where: Location, words: str = "") -> tuple[Kind, str] | None:
    """The kind of a part and its position, noted where it names no kind of part."""
    found = kind_and_position(part.strip())
    if found is None:
        expected = "a kind of part and its position: `wheel L3`, `body`"
        problems.add(Problem(where, f"{words}the part `{part[:40]}`", expected))
    elif not found[1] and found[0].positions != "single" and found[0].name not in MOVE_KINDS:
        problems.add(
            Problem(where, f"{words}the part `{found[0].name}`, but not which one", "which one it is too: `wheel L3`")
        )
        return None
    return found


def goes_by_the_head(part: str, attribute: str) -> bool:
    """Whether an answer is kept with the day and the reader at the head of its sheet."""
    if entry_named(part) is not None:
        return False
    told = kind_and_position(part)
    known = None if told is None else told[0].attributes.get(attribute)
    return told is None or (told[0].name not in MOVE_KINDS and (known is None or not known.description))


def key_on_a_form(part: str, attribute: str) -> str:
    """The key of what a form says of a part, which may be called as the form calls it."""
    told = kind_and_position(part)
    return attribute if told is None else _key_of(told[0], attribute)


def _key_of(kind: Kind, attribute: str) -> str:
    """The key of an attribute that is written as a form calls it, `flange thickness`."""
    if attribute in kind.attributes:
        return attribute
    name = attribute.strip().casefold()
    keys = [one.name for one in kind.attributes.values() if name in (one.label.casefold(), one.name.replace("_", " "))]
    return keys[0] if keys else attribute


def is_ticked(text: str) -> bool:
    """Whether what stands in a box to tick ticks it."""
    return text.strip().casefold() in _TICKS


def cell_value(kind: Kind, attribute: str, text: str, gauge: str = "", sure: str = "") -> Any:
    """The answer of one box as a record writes it: a dash is what could not be reached, words of a list stand apart, a
    gauge and why one is sure beside the figure."""
    if text in _DASHES:
        return UNREACHED
    known = kind.attributes.get(attribute)
    words = () if known is None else known.words
    value: Any = next((word for word in words if word.casefold() == text.casefold()), text)
    if known is not None and known.type == "list of":
        value = [word.strip() for word in text.split(",")]
    return with_beside(_in_words(value) if isinstance(value, str) else value, gauge, sure)


def with_beside(value: Any, gauge: str = "", sure: str = "") -> Any:
    """A value as a record writes it, with its gauge and why one is sure of it beside it."""
    beside = {key: text for key, text in (("gauge", gauge), ("sure", sure)) if text}
    if not beside or (isinstance(value, str) and value.startswith(NOT_ACCESSIBLE)):
        return value
    return (
        {**value, **{key: text for key, text in beside.items() if key not in value}}
        if isinstance(value, dict)
        else {"reads": value, **beside}
    )


def with_gauge_of_tool(part: str, attribute: str, value: Any, gauges: Mapping[str, str]) -> Any:
    """A value with the gauge of the tool that it is read with, where it names none. gauges: tool → gauge."""
    return with_beside(value, gauges.get(tool_of(part, attribute), ""))


def tool_of(part: str, attribute: str) -> str:
    """The tool whose gauge goes with a figure of a part as a form names it; empty where none does."""
    told = kind_and_position(part.strip())
    known = None if told is None else told[0].attributes.get(attribute)
    return "" if known is None else gauge_tool(known)


def _in_words(text: str) -> Any:
    """A value in words as a record writes it: `takes at 7/8 in`, `before 90 psi after 88 psi minutes 1`."""
    bound, drop = _BOUND.fullmatch(text), _DROP.fullmatch(text)
    if bound is not None:
        return {bound[1].replace(" ", "_"): bound[2]}
    if drop is not None:
        return {"before": drop[1], "after": drop[2], "minutes": drop[3]}
    return text
