"""What a form brings into the lists of a record: tests that someone signed, papers on file, work done, events, moves
made, spares. An entry is a column of a grid; the tests and papers that the move wants stand there by name."""

import re
from collections.abc import Iterable, Iterator, Mapping

import msgspec

from carknocker.forms.against import readings_against
from carknocker.forms.model import GROUPS, Box, BoxKind, Column, Grid, Group, Row, Sheet
from carknocker.forms.names import name_on_a_form
from carknocker.forms.rows import row_for
from carknocker.forms.wants import NEVER, Want
from carknocker.judgement.index import JudgementIndex
from carknocker.record.entries import NO_CONDITION
from carknocker.record.model import Part
from carknocker.record.standing import Standing
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute, TestKind, Vocabulary

ENTRIES = "work, tests and papers"
"""Name of the sheet."""
_MOST_COLUMNS = 4
_NAMED = re.compile(r"(test|paper|permission|correction) “([^”]+)”(?: at (.+))?")
_MOST_PERMISSIONS = 8


class Field(msgspec.Struct, frozen=True):
    """A key of every entry of a sort. words: those allowed. how: how it is written."""

    key: str
    label: str
    box: BoxKind = "text"
    words: tuple[str, ...] = ()
    unit: str = ""
    how: str = ""


class Sort(msgspec.Struct, frozen=True):
    """A sort of entry. word: how a form names one, `job 1`. section: its list in the record. named_by: the key that
    says which it is, with its label; empty where the entry is of one kind. blank: how many may be written that nobody
    asked for. numbered: the beginning of the id that each entry gets; empty where it has none. alone: its section is
    one entry, not a list."""

    word: str
    heading: str
    section: str
    fields: tuple[Field, ...]
    named_by: tuple[str, str] = ("", "")
    blank: int = 2
    numbered: str = ""
    alone: bool = False

    def kinds(self, vocabulary: Vocabulary) -> Mapping[str, Mapping[str, Attribute]]:
        """What the entry may be, with the further facts of each."""
        if self.section == "tests":
            return {name: {**_own_gauge(test), **test.facts} for name, test in vocabulary.tests.items()}
        if self.section == "papers":
            return {name: paper.facts for name, paper in vocabulary.papers.items()}
        if self.section == "spares":
            return {name: spare.facts for name, spare in vocabulary.spares.items()}
        known = {"work": vocabulary.work, "events": vocabulary.events}.get(self.section, {})
        return {name: kind.facts for name, kind in known.items()}


def _own_gauge(test: TestKind) -> Mapping[str, Attribute]:
    """The gauge that a test has to name, as a fact of it."""
    if not test.gauge:
        return {}
    return {"gauge": Attribute("gauge", test.on, "identity", "gauge: its short name on record")}


_DONE_ON = Field("on", "done on", "day")
_BY = Field("by", "by whom", how="the short name on record")
_AFTER = Field("after", "if another job or event is of that day: after which", how="its id, or `job 1` of this form")
_OR_NONE = f"write {NO_CONDITION} if the letter does not ask for it"
_AT = Field("at", "where", how="the positions, such as `L1, R1`, `truck B`, or `all`")
_SAID = Field("said", "as it stands on record")
_PUT_RIGHT = (
    Field("is", "what is right", how="with its unit"),
    _BY,
    Field("on", "put right on", "day"),
    Field("why", "how it came about", how="such as: the 8 was read as a 3"),
)
"""Of a correction whose name says what it is about."""
SORTS = {
    sort.word: sort
    for sort in (
        Sort("test", "Tests and inspections, as they were signed", "tests",
             (_AT, _DONE_ON, _BY, Field("result", "result", "word", ("passed", "failed")), _AFTER), ("test", "test")),
        Sort("paper", "Papers on file", "papers",
             (Field("on", "signed on, if it says so", "day"), Field("from", "holds from", "day"),
              Field("until", "holds until", how="a day, or `no end`")), ("paper", "paper")),
        Sort("job", "Work done", "work",
             (_AT, _DONE_ON, _BY, Field("off", "wheelset taken off", how="its serial"),
              Field("fitted", "wheelset put in", how="its serial"),
              Field("end_for_end", "turned end for end", "word", ("yes", "no")), _AFTER), ("did", "work"), 4, "J"),
        Sort("event", "Events", "events", (_AT, Field("on", "day", "day"), _BY, _AFTER), ("happened", "event"), 2, "E"),
        Sort("move made", "Moves made", "moves_made",
             (Field("from", "day out", "day"), Field("to", "day back", "day"),
              Field("miles", "miles", "figure", (), "mi"), Field("host", "host railroad"))),
        Sort("spare", "Spares", "spares",
             (Field("serial", "serial, if it has one"), Field("carried", "how many are aboard", "number"),
              Field("shelf", "how many lie on the shelf", "number")), ("spare", "spare")),
        Sort("log", "The log", "log",
             (Field("complete_since", "every event, job and move made is on record since", "day"), _BY),
             blank=1, alone=True),
        Sort("permission", "The host's written permissions", "leaves",
             (Field("host", "host railroad", "word"), Field("at", "on which part", "words"),
              Field("for", "for the move, or to move for repair only", "word", ("move", "repair")),
              Field("from", "holds from", "day"), Field("until", "holds until", "day"),
              Field("signed_by", "who signed for the host", how="name and office"),
              Field("signed_on", "signed on", "day"), Field("paper", "letter or number"),
              Field("speed", "only up to a speed of", "figure", (), "mph", _OR_NONE),
              Field("place", "only at this place in the train", "word", (), "", _OR_NONE),
              Field("riders", "only with these riders", "word", ("passengers", "crew", "nobody", NO_CONDITION),
                    "", _OR_NONE),
              Field("tag", "only with this tag", how=_OR_NONE)), ("criterion", "requirement"), 0, "P"),
        Sort("correction", "What was written down wrongly", "corrections",
             (Field("of", "of which part or entry",
                    how="as this form calls it: wheel L3, truck B, car; test hand brake test, job J-2, paper liability "
                        "insurance"),
              Field("reading", "what", 
                    how="such as flange thickness; of an entry result, done on, holds until; `entry` to take it out, "
                        "and then `never was` under what is right"),
              Field("read_on", "day of the reading or entry, if it has one", "day"),
              _SAID, *_PUT_RIGHT)),
    )
}  # fmt: skip
CONDITIONS_OF_A_PERMISSION = ("speed", "place", "riders", "tag")
"""What a permission leaves the car restricted to. One that says neither what nor `none` of each relieves nothing."""
PEOPLE_AND_GAUGES = {
    sort.word: sort
    for sort in (
        Sort("person", "People", "people",
             (Field("name", "short name", how="such as RE"), Field("role", "role", "word"),
              Field("full_name", "full name"), Field("telephone", "telephone"))),
        Sort("gauge", "Gauges", "gauges",
             (Field("name", "short name", how="such as G-1"), Field("kind", "kind of gauge", "word"),
              Field("reads_to", "reads to", how="its smallest step, such as 1/64 in"),
              Field("checked", "last checked", "day"), Field("due", "next check due", "day"))),
    )
}  # fmt: skip
"""Of the sheet that says who read, and with what."""
_OF_WHEELSET_CHANGES = ("off", "fitted", "end_for_end")


class EntryName(msgspec.Struct, frozen=True):
    """What a form calls an entry, read. kind: which test or paper it is, empty where the entry itself says so. at: the
    one place that it stands on, empty where that is said, or there is none."""

    sort: Sort
    kind: str = ""
    at: str = ""


def entry_named(part: str) -> EntryName | None:
    """What a form means by `job 1` or `test “class I brake test”`; None for a part of the car."""
    named = _NAMED.fullmatch(part)
    if named is not None:
        return EntryName(SORTS[named[1]], named[2], named[3] or "")
    word, _, number = part.rpartition(" ")
    sort = SORTS.get(word) or PEOPLE_AND_GAUGES.get(word)
    return EntryName(sort) if sort is not None and number.isdigit() else None


def is_of_people_and_gauges(part: str) -> bool:
    """Whether a form names a person or a gauge by it: `person 1`."""
    named = entry_named(part)
    return named is not None and named.sort.word in PEOPLE_AND_GAUGES


def entry_sheet(wants: Iterable[Want], index: JudgementIndex) -> Sheet:
    """The sheet of a form for what is no reading. wants: the tests and papers that the move wants."""
    by_kind: dict[tuple[str, str], list[Want]] = {}
    for want in wants:
        by_kind.setdefault((want.attribute.type, want.attribute.label), []).append(want)
    maker = _Maker(index.vocabulary)
    blocks: list[Grid] = []
    for sort in SORTS.values():
        wanted = [maker.wanted(sort, kind, own, index) for (word, kind), own in by_kind.items() if word == sort.word]
        for start in range(0, len(wanted), _MOST_COLUMNS):
            blocks.append(maker.grid(f"{sort.heading}, as the move wants them", wanted[start : start + _MOST_COLUMNS]))
        if sort.word == "permission":
            blocks.extend(maker.permissions(sort, index))
            continue
        if sort.word == "correction":
            blocks.extend(maker.corrections(sort, index))
        other = "Other " + sort.heading[:1].lower() + sort.heading[1:] if wanted else sort.heading
        blocks.append(maker.grid(other, [maker.blank(sort, number) for number in range(1, sort.blank + 1)]))
    return Sheet(ENTRIES, ENTRIES[:1].upper() + ENTRIES[1:], tuple(blocks))


class _Entry(msgspec.Struct, frozen=True):
    """A column, with the rows of its keys before they are numbered. why: empty where nobody asked for it."""

    part: str
    column: Column
    group: Group
    rows: tuple[Row, ...]
    why: tuple[str, ...] = ()


class _Maker:
    """Makes the grids of the sheet and numbers their rows."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.count = 0

    def wanted(self, sort: Sort, kind: str, wants: list[Want], index: JudgementIndex) -> _Entry:
        places = dict.fromkeys(place_on_a_form(want.part, index.standing) for want in wants)
        one_place = next(iter(places)) if len(places) == 1 else ""
        group = next(one for one in GROUPS if any(want.group == one for want in wants))
        facts = sort.kinds(self.vocabulary)[kind]
        rows = [
            entry_row(sort.word, field, group, words=tuple(places) if field.key == "at" else ())
            for field in sort.fields
            if field.key != "at" or len(places) > 1
        ]
        rows += [row_for(0, sort.word, fact, group, "entry") for fact in facts.values()]
        part = f"{sort.word} “{kind}”{f' at {one_place}' if one_place else ''}"
        head = f"{kind}{f', {one_place}' if one_place else ''}"
        return _Entry(part, Column(head), group, tuple(rows), tuple(dict.fromkeys(_why(want) for want in wants)))

    def blank(self, sort: Sort, number: int) -> _Entry:
        kinds = sort.kinds(self.vocabulary)
        rows: list[Row] = []
        if sort.named_by[0]:
            rows.append(entry_row(sort.word, Field(*sort.named_by, "word", tuple(kinds)), GROUPS[0]))
        changes = tuple(name for name, kind in self.vocabulary.work.items() if kind.moves_wheelsets)
        for field in sort.fields:
            only = changes if field.key in _OF_WHEELSET_CHANGES else ()
            rows.append(entry_row(sort.word, field, GROUPS[0], only_for=only))
        facts: dict[str, list[str]] = {}
        known: dict[str, Attribute] = {}
        for name, own in kinds.items():
            for fact in own.values():
                known.setdefault(fact.name, fact)
                facts.setdefault(fact.name, []).append(name)
        for key, names in facts.items():
            row = row_for(0, sort.word, known[key], GROUPS[0], "entry")
            rows.append(msgspec.structs.replace(row, only_for=tuple(names)))
        return _Entry(f"{sort.word} {number}", Column(f"{sort.word} {number}"), GROUPS[0], tuple(rows))

    def permissions(self, sort: Sort, index: JudgementIndex) -> Iterator[Grid]:
        """A column for each requirement that the host may let pass, of what is known to be wrong."""
        by_rule: dict[str, list[str]] = {}
        for refusal in index.judgement.refusals:
            known = refusal.finding is not None and refusal.finding.verdict != "not shown"
            if known and refusal.finding is not None and index.permissions.of(refusal) is not None:
                name = name_on_a_form(refusal.finding.part, index.standing)
                by_rule.setdefault(refusal.finding.criterion.id, []).append(name)
        train = index.vocabulary.attribute("train", "place")
        words = {
            "host": (index.judgement.move.host,),
            "place": (*(() if train is None else train.one_of), NO_CONDITION),
        }
        entries = [
            _Entry(
                f"{sort.word} “{rule}”", Column(rule), GROUPS[0],
                tuple(
                    entry_row(sort.word, msgspec.structs.replace(field, words=words.get(field.key, field.words)),
                              GROUPS[0], words=tuple(dict.fromkeys(parts)) if field.key == "at" else ())
                    for field in sort.fields
                ),
            )
            for rule, parts in list(by_rule.items())[:_MOST_PERMISSIONS]
        ]  # fmt: skip
        for start in range(0, len(entries), _MOST_COLUMNS):
            yield self.grid(sort.heading, entries[start : start + _MOST_COLUMNS])

    def corrections(self, sort: Sort, index: JudgementIndex) -> Iterator[Grid]:
        """A column for each reading that stands against the car, which may have been written down wrongly."""
        entries = [
            _Entry(
                f"{sort.word} “{one.named.name}”", Column(f"put right: {one.words}"), GROUPS[0],
                tuple(
                    entry_row(sort.word, field, GROUPS[0])
                    for field in ((_SAID, *_PUT_RIGHT) if one.several else _PUT_RIGHT)
                ),
            )
            for one in readings_against(index)
        ]  # fmt: skip
        for start in range(0, len(entries), _MOST_COLUMNS):
            yield self.grid(sort.heading, entries[start : start + _MOST_COLUMNS])

    def grid(self, heading: str, entries: list[_Entry]) -> Grid:
        """Entries beside each other: a row for each key that any of them has, of several where the words that may be
        chosen differ."""
        numbers: dict[tuple[str, tuple[str, ...]], int] = {}
        rows: list[Row] = []
        boxes: list[Box] = []
        for entry in entries:
            for row in entry.rows:
                key = (row.attribute, row.words)
                if key not in numbers:
                    self.count += 1
                    numbers[key] = self.count
                    rows.append(msgspec.structs.replace(row, number=self.count))
                place = numbers[key]
                boxes.append(Box(place, entry.column.head, entry.part, row.attribute, entry.group, entry.why))
        return Grid(heading, tuple(entry.column for entry in entries), tuple(rows), tuple(boxes), by_column=True)


def entry_row(
    word: str, field: Field, group: Group, *, words: tuple[str, ...] = (), only_for: tuple[str, ...] = ()
) -> Row:  # fmt: skip
    """The row of a key of an entry. words: the places, some of which are chosen."""
    box: BoxKind = "words" if words else field.box
    how = "" if words else field.how
    return Row(
        0, word, field.key, field.label, box, group, "entry", words or field.words, field.unit, how, only_for=only_for
    )


def _why(want: Want) -> str:
    why = "not on record" if want.why == NEVER else want.why
    conditions = [one.text for one in want.only_if]
    return "; ".join(conditions if conditions and want.why == NEVER else [*conditions, why])


def place_on_a_form(part: Part, standing: Standing) -> str:
    """The position by which an entry finds a part; empty where there is but one such part."""
    name = name_on_a_form(part, standing)
    kind = load_vocabulary().kinds[part.kind]
    return "" if kind.positions == "single" else name.removeprefix(kind.name).strip()
