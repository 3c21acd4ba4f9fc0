"""The parts of a first record and what is said of each, as plain data: every part that such a car has stands in it."""

from collections.abc import Collection, Iterable, Iterator, Mapping

import msgspec

from carknocker.questions.new.answers import AS_OFFERED, NO_ANSWERS, Answers, axles_of, signer_of
from carknocker.questions.new.people_and_gauges import GAUGES, PEOPLE, entry_text, gauge_kind, person_line
from carknocker.record.parts_reader import ENDS
from carknocker.record.unlisted_parts import PartsThere, fewest_there, place_in
from carknocker.record.value_reader import NONE_FITTED, NOT_KNOWN
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview, Question, Screen
from carknocker.vocabulary.model import Attribute, Kind
from carknocker.vocabulary.program_names import MOVE_KINDS, TRUCK, WHEELSET, WHEELSET_KINDS

ALL = "all"
Described = dict[str, str]
"""Name of a description → its value, or `not known`."""
Section = dict[str, Described]
"""Position, or `all` → what is said there. A kind of which there is one has the position ""."""


class Reading(msgspec.Struct, frozen=True):
    """One value that somebody read: of the part of a kind at a position."""

    kind: str
    position: str
    name: str
    value: str


class Sheet(msgspec.Struct, frozen=True):
    """What one person read on one day. gauge: its short name; empty where none of the gauges is meant, or several may
    be."""

    by: str
    on: str
    readings: tuple[Reading, ...]
    gauge: str = ""


class Draft(msgspec.Struct, frozen=True):
    """A record before it is written.

    sections: kind → its section. trucks: truck → axle → wheelset. wheelsets: serial → kind of what is in it → what is
    said. people, gauges: short name → the entry in braces. spares: which, and how many.
    """

    mark: str
    name: str
    sections: Mapping[str, Section]
    trucks: Mapping[str, Mapping[str, str]]
    wheelsets: Mapping[str, Mapping[str, Described]]
    carried: tuple[str, ...] = ()
    people: Mapping[str, str] = msgspec.field(default_factory=dict)
    gauges: Mapping[str, str] = msgspec.field(default_factory=dict)
    sheets: tuple[Sheet, ...] = ()
    spares: tuple[tuple[str, str], ...] = ()


def places_draft(answers: Answers, interview: Interview) -> Draft:
    """The draft with the places of the car alone: what stands there only by its number is still to be put in."""
    vocabulary = load_vocabulary()
    about = {question.about: question for question in interview.questions}
    trucks = _trucks(axles_of(answers, interview))
    axles = sum(len(one) for one in trucks.values())
    sections: dict[str, Section] = {}
    for kind in vocabulary.kinds.values():
        if kind.name in MOVE_KINDS or kind.name in WHEELSET_KINDS or kind.positions == "listed":
            continue
        if kind.listed and kind.positions != "single":
            continue
        if kind.listed and not kind.stands:
            continue
        sections[kind.name] = _section(kind, _positions(kind, axles), answers, about)
    spares = answers.by_key.get("spares", {})
    wheelsets, carried = _wheelsets(trucks, spares, answers, about)
    things = {name for name, one in vocabulary.spares.items() if one.thing}
    return Draft(
        answers.said("mark"), answers.said("name"), sections, trucks, wheelsets, carried,
        spares=tuple((name, number) for name, number in spares.items() if name not in things),
    )  # fmt: skip


def whole_draft(places: Draft, rows: tuple[PartsThere, ...], answers: Answers, interview: Interview) -> Draft:
    """The draft with every part. rows: what stands where in a record of the places."""
    about = {question.about: question for question in interview.questions}
    sections = {name: {at: dict(said) for at, said in section.items()} for name, section in places.sections.items()}
    numbers: list[Reading] = []
    usual = interview.kinds_of_car.get(answers.said("kind_of_car"), {})
    for there in rows:
        if there.only_if is False:
            continue
        kind = there.kind
        if not there.row.number:
            if there.only_if and kind.positions != "single":
                sections.setdefault(kind.name, {}).update(
                    {there.container.position: _described(kind, "", answers, about)}
                )
            continue
        said = number_of_row(there, answers, usual)
        if said:
            numbers.append(Reading(there.container.kind, there.container.position, there.row.number, said))
        known = 0 if said == NONE_FITTED else int(said) if said else fewest_there(there) if there.only_if else 0
        _list(kind, there, known, sections.setdefault(kind.name, {}), answers, interview, about)
    order = [name for name in load_vocabulary().kinds if sections.get(name)]
    people, sheets = _sheets(numbers, answers, interview)
    return msgspec.structs.replace(
        places, sections={name: sections[name] for name in order}, people=people, sheets=sheets,
        gauges={short: entry_text(GAUGES, line) for short, line in answers.by_key.get(GAUGES, {}).items()},
    )  # fmt: skip


def number_of_row(there: PartsThere, answers: Answers, usual: Mapping[str, str]) -> str:
    """How many parts of a row there are by the answers; empty where that is not known."""
    said = answers.said(there.row.number, there.container.position)
    if not said and answers.said("numbers") == AS_OFFERED:
        return offered(there, usual)
    return said


def offered(there: PartsThere, usual: Mapping[str, str]) -> str:
    """How many there are as a rule; empty where nobody can say. usual: of the kind of car."""
    row = there.row
    least = fewest_there(there)
    said = usual.get(row.number, "")
    attribute, numbers = row.usually_by
    usually = dict(numbers).get(there.word, 0) if attribute else row.usually
    if said:
        return said if said != NONE_FITTED or not least else str(least)
    return str(max(usually, least)) if usually or least else ""


def _positions(kind: Kind, axles: int) -> tuple[str, ...]:
    match kind.positions:
        case "ends" | "trucks":
            return ENDS
        case "axles":
            return tuple(str(axle) for axle in range(1, axles + 1))
        case "sides of axle":
            return tuple(f"{side}{axle}" for axle in range(1, axles + 1) for side in "LR")
        case "sides of truck":
            return tuple(f"{truck}{side}" for truck in ENDS for side in "LR")
    return ()


def _trucks(axles: Mapping[str, int]) -> dict[str, dict[str, str]]:
    trucks: dict[str, dict[str, str]] = {}
    first = 1
    for truck in ENDS:
        number = axles.get(truck, 0)
        trucks[truck] = {str(axle): f"W-{axle}" for axle in range(first, first + number)}
        first += number
    return trucks


def _section(
    kind: Kind, positions: tuple[str, ...], answers: Answers, about: Mapping[tuple[str, str], Question]
) -> Section:
    """What is alike at all positions is said of `all`, the rest of each."""
    if not positions:
        return {"": _described(kind, "", answers, about)}
    told = {at: _described(kind, at.lstrip("LR") or at, answers, about) for at in positions}
    first = told[positions[0]]
    alike = {name: value for name, value in first.items() if all(one[name] == value for one in told.values())}
    section: Section = {ALL: alike} if alike else {}
    for at, described in told.items():
        own = {name: value for name, value in described.items() if name not in alike}
        if own or kind.name == TRUCK:
            section[at] = own
    return section


def _described(kind: Kind, at: str, answers: Answers, about: Mapping[tuple[str, str], Question]) -> Described:
    return {
        one.name: _answered(one, at, answers, about) for one in kind.attributes.values() if one.description
    }  # fmt: skip


def _answered(attribute: Attribute, at: str, answers: Answers, about: Mapping[tuple[str, str], Question]) -> str:
    question = about.get((attribute.kind, attribute.name))
    return NOT_KNOWN if question is None else answers.said(question.key, at) or NOT_KNOWN


def _wheelsets(
    trucks: Mapping[str, Mapping[str, str]], spares: Mapping[str, str], answers: Answers,
    about: Mapping[tuple[str, str], Question],
) -> tuple[dict[str, dict[str, Described]], tuple[str, ...]]:  # fmt: skip
    vocabulary = load_vocabulary()
    fitted = {serial: axle for axles in trucks.values() for axle, serial in axles.items()}
    number = sum(int(count) for name, count in spares.items() if vocabulary.spares[name].thing == WHEELSET)
    carried = tuple(f"W-{len(fitted) + index}" for index in range(1, number + 1))
    nothing = Answers({})
    wheelsets = {
        serial: {
            name: _described(vocabulary.kinds[name], axle, answers if axle else nothing, about)
            for name in WHEELSET_KINDS
        }
        for serial, axle in {**fitted, **dict.fromkeys(carried, "")}.items()
    }
    return wheelsets, carried


def _list(
    kind: Kind, there: PartsThere, number: int, section: Section, answers: Answers, interview: Interview,
    about: Mapping[tuple[str, str], Question],
) -> None:  # fmt: skip
    """Adds parts of a row to the section of its kind. What the row says tells each from others of the kind; the rest
    is said of all."""
    if not number:
        return
    general = _described(kind, "", answers, about)
    separate = {name for row in kind.stands for name, _ in row.which}
    section.setdefault(ALL, {name: value for name, value in general.items() if name not in separate})
    first = len(section)
    for index, entry in enumerate(entries_of_row(there, number, answers, interview)):
        section[str(first + index)] = entry


def described_parts(kind: Kind) -> Described:
    """The descriptions of a part of which nothing is known."""
    return {one.name: NOT_KNOWN for one in kind.attributes.values() if one.description}


def entries_of_row(there: PartsThere, number: int, answers: Answers, interview: Interview) -> list[Described]:
    """What is written of each of so many parts of a row: what it is in, and what tells it from others of the kind."""
    about = {question.about: question for question in interview.questions}
    told = {name: words[0] for name, words in there.row.which if len(words) == 1}
    places = _containers(there.kind, there, max(number, 0), _described(there.kind, "", answers, about), about)
    return [{**({"at": place} if place else {}), **told} for place in places]


def _containers(
    kind: Kind, there: PartsThere, number: int, general: Described, about: Mapping[tuple[str, str], Question]
) -> Iterator[str]:
    """What each of the parts is in, as `at` says it; empty where it needs no saying."""
    for name, word in general.items():
        question = about.get((kind.name, name))
        into = dict(question.puts_in).get(word) if question is not None else None
        if into is not None:
            for index in range(number):
                yield place_in(kind, into, ENDS[index * len(ENDS) // number])
            return
    for _ in range(number):
        yield place_in(kind, there.container.kind, there.container.position)


def _sheets(numbers: list[Reading], answers: Answers, interview: Interview) -> tuple[dict[str, str], tuple[Sheet, ...]]:
    listed = answers.by_key.get(PEOPLE, {})
    signers = {short: person_line(line) for short, line in listed.items()}
    sheets: list[Sheet] = []
    for screen in interview.screens:
        readings = readings_said(screen, answers)
        if any(question.entry == "numbers" for question in screen.asks):
            readings += numbers
        if readings:
            by = _signer(answers.said(f"{screen.signed}_by"), signers)
            kinds = {short: gauge_kind(line) for short, line in answers.by_key.get(GAUGES, {}).items()}
            on = answers.said(f"{screen.signed}_on")
            sheets.append(Sheet(by, on, tuple(readings), gauge_that_reads(readings, kinds)))
    people = {
        short: entry_text(PEOPLE, listed.get(short, f"{role}; {name}")) for short, (role, name) in signers.items()
    }
    return people, tuple(sheets)


def gauge_that_reads(readings: Iterable[Reading], gauges: Mapping[str, str]) -> str:
    """The one gauge that reads what is read with a gauge among these, such as the scale of a weight. gauges: short name
    → kind."""
    vocabulary = load_vocabulary()
    needed = {one for one in ((reading.kind, reading.name) for reading in readings)} & vocabulary.read_with_gauge
    kinds = vocabulary.gauge_kinds
    can = [short for short, kind in gauges.items() if kind in kinds and needed <= set(kinds[kind].reads)]
    return can[0] if needed and len(can) == 1 else ""


def readings_said(screen: Screen, answers: Answers, known: Answers = NO_ANSWERS) -> list[Reading]:
    """The readings among the answers to a screen that are not known yet. On a screen that nobody signs there is
    none, as the vocabulary is read."""
    vocabulary = load_vocabulary()
    return [
        Reading(attribute.kind, "", attribute.name, said)
        for question in screen.asks
        if (attribute := vocabulary.attribute(*question.about)) is not None
        and not attribute.description
        and (said := answers.said(question.key))
        and not known.said(question.key)
    ]


def _signer(signed: str, people: dict[str, tuple[str, str]]) -> str:
    """The short name under which a person stands in the record, the same for the same person. people: short name →
    role and full name; whoever is new is put in."""
    name, role = signer_of(signed)
    for short, known in people.items():
        if name == short or known == (role, name):
            return short
    short = short_name(name, people)
    people[short] = (role, name)
    return short


def short_name(name: str, taken: Collection[str]) -> str:
    """The first letters of a name, with a number where somebody else has them."""
    letters = "".join(word[0] for word in name.split() if word[0].isalnum()).upper()[:4] or "P"
    return next(one for number in range(1, 10_000) if (one := f"{letters}{number if number > 1 else ''}") not in taken)
