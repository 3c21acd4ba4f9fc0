"""What is put right in its own place (descriptions, the mark, the name, entries of lists) stands on record as the
correction says that it is right: else the record would say two things at once, and count one of them."""

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from carknocker.documents import Node, nearest, some
from carknocker.record.acceptances import Acceptances
from carknocker.record.entry_words import DAYS, ENTRY, LISTS, NAMED_BY, NEVER_WAS, call_of, entry_called
from carknocker.record.files import RecordReporter
from carknocker.record.model import Correction, Evidence, Person, Work
from carknocker.record.positions import Positions
from carknocker.record.value_words import value_words

MARK_AND_NAME = ("mark", "name")
"""Of the car, which may be put right too."""
_NEW_MARK = "mark, name or owner changed"
_REMEDY = "correct whichever of the two is wrong"


class _Entry(msgspec.Struct, frozen=True):
    """How an entry of a list is called. day: empty where that is not said."""

    what: str
    name: str
    day: str

    def put_right(self, one: Correction) -> "_Entry":
        """How it is called once its name or its day was put right."""
        if one.attribute in (NAMED_BY.get(self.what), "id") and self.name.casefold() == one.said.casefold():
            return _Entry(self.what, one.now, self.day)
        if one.attribute in DAYS and self.day in ("", one.said):
            return _Entry(self.what, self.name, one.now)
        return self

    def may_be(self, other: "_Entry") -> bool:
        """Whether both may be the same entry, as far as they say."""
        alike = self.name.casefold() == other.name.casefold() or "" in (self.name, other.name)
        return self.what == other.what and alike and (self.day == other.day or "" in (self.day, other.day))


class CorrectedInPlace:
    """Proves the corrections of a record against what it says."""

    def __init__(self, root: Node, people: Mapping[str, Person], acceptances: Acceptances,
                 reporter: RecordReporter) -> None:  # fmt: skip
        self._root = root
        self._people = people
        self._acceptances = acceptances
        self._reporter = reporter

    def prove_entries(self, corrections: Iterable[Correction]) -> None:
        """Reports each correction of an entry of a list that stands otherwise, that is not on record, or that was to be
        taken out and is on record; and one by somebody who may not make it. What was put right again later, or taken
        out, is asked of the last correction alone."""
        renamed: list[tuple[_Entry, _Entry]] = []
        settled: list[tuple[_Entry, str]] = []
        for one in _latest_first(corrections):
            called = entry_called(one.of)
            if called is None or one.read_on is not None:
                continue
            entry = _Entry(*called)
            after = entry.put_right(one)
            for before, now in renamed:
                if after == before:
                    after = now
            if after != entry:
                renamed.insert(0, (entry, after))
            if any(key in (one.attribute, ENTRY) and after.may_be(other) for other, key in settled):
                continue
            settled.append((after, one.attribute))
            self._prove_entry(one, after)

    def _prove_entry(self, one: Correction, entry: _Entry) -> None:
        nodes = self._nodes(entry)
        if one.attribute == ENTRY:
            if one.now.casefold() != NEVER_WAS:
                self._reporter.note(one.where, f"`is: {one.now[:40]}` of an entry", f"`{NEVER_WAS}`: it was taken out")
            elif nodes:
                found = f"a correction by which {one.of[:80]} never was, but it is on record (line {_line(nodes[0])})"
                self._reporter.note(one.where, found, "the entry taken out", remedy=_REMEDY)
            return
        if not nodes:
            names = tuple(call_of(other.what, other.name, other.day) for other in self._called(entry.what))
            expected = f"one of {some(names)}" if names else f"a {entry.what} on record: there is none"
            self._reporter.note(one.where, f"a correction of {one.of[:80]}, which is not on record", expected,
                                nearest(one.of, names), "call it as it stands, with its day")  # fmt: skip
            return
        right = [node for node in nodes if _says(node, one.attribute, one.now)]
        if not right:
            keys = tuple(dict.fromkeys(key for node in nodes for key in node.keys()))
            stands = some(tuple(f"`{_text(node, one.attribute) or 'nothing'}`" for node in nodes))
            found = f"a correction of {one.of[:80]} by which `{one.attribute[:40]}` is `{one.now[:60]}`"
            near = "" if one.attribute in keys else nearest(one.attribute, keys)
            expected = f"what stands there (line {_line(nodes[0])}): {stands}"
            self._reporter.note(one.where, found, expected, near, _REMEDY)
            return
        self._prove_who(one, right)

    def _prove_who(self, one: Correction, nodes: Sequence[Node]) -> None:
        """What somebody signed whom a host accepts is put right by him, or by one whom that host accepts. Who puts
        right who signed it may not take it from such a person, nor give it to one."""
        names = [_text(node, "by") for node in nodes]
        if one.attribute == "by":
            names.append(one.said)
        for signer in filter(None, (self._people.get(name) for name in dict.fromkeys(names))):
            host = self._acceptances.who_does_not(signer, one.by, one.on)
            if host:
                by = one.by.name
                found = f"what {signer.name} signed, put right by {by}, whom {host} does not accept on that day"
                expected = f"{signer.name}, or one whom {host} accepts"
                self._reporter.note(one.where, found, expected, remedy="let who signed it say what is right")
                return

    def prove_descriptions(
        self, corrections: Iterable[Correction], evidence: Sequence[Evidence], names: tuple[str, str],
        work: Sequence[Work], positions: Positions,
    ) -> None:  # fmt: skip
        """Reports each correction of a description, of the mark or of the name that stands otherwise. What the part is
        after a job on it, or the car after it was renamed, is no matter of an earlier correction. names: mark and
        name."""
        settled: set[tuple[str, str]] = set()
        for one in _latest_first(corrections):
            asked = (one.of, one.attribute)
            if one.read_on is not None or entry_called(one.of) is not None or asked in settled:
                continue
            settled.add(asked)
            if one.of == "car" and one.attribute in MARK_AND_NAME:
                if not any(job.name == _NEW_MARK and job.on >= one.on for job in work):
                    self._prove_same(one, (names[MARK_AND_NAME.index(one.attribute)],))
                continue
            kind = positions.kind_named_in(one.of)
            if kind is None:
                continue  # told where it was read
            bare = one.of.removeprefix(kind.name).strip() or kind.name
            days = [day for day in (one.on, None) if positions.knows(kind, bare, day)]
            if not days:
                positions.find(kind, bare, one.where, None)  # says which there are
                continue
            parts = {key: place for day in days for key, place in positions.find(kind, bare, one.where, day)}
            since = [job for job in work if not job.event and job.on >= one.on]
            if not any(key in job.at or place in job.at for job in since for key, place in parts.items()):
                own = [told for told in evidence if told.part in parts and told.attribute == one.attribute]
                self._prove_same(one, tuple(value_words(told.value) for told in own if told.sort == "description"))

    def _prove_same(self, one: Correction, stands: Sequence[str]) -> None:
        if one.now not in stands:
            found = f"a correction by which `{one.attribute[:40]}` of {one.of[:60]} is `{one.now[:60]}`"
            told = some(tuple(f"`{words or 'nothing'}`" for words in stands or ("",)))
            self._reporter.note(one.where, found, f"what stands there: {told}", remedy=_REMEDY)

    def _called(self, what: str) -> list[_Entry]:
        return [entry for node in self._list(what) for entry in _names_of(node, what)[:1]]

    def _nodes(self, wanted: _Entry) -> list[Node]:
        found = self._list(wanted.what)
        return [node for node in found if any(wanted.may_be(one) for one in _names_of(node, wanted.what))]

    def _list(self, what: str) -> list[Node]:
        listed = self._root.get(LISTS[what])
        nodes = () if listed is None or listed.kind != "sequence" else listed.nodes
        return [node for node in nodes if node.kind == "mapping"]


def _latest_first(corrections: Iterable[Correction]) -> list[Correction]:
    return sorted(corrections, key=lambda one: one.on)[::-1]


def _names_of(node: Node, what: str) -> list[_Entry]:
    """By its id, where it has one, and by what it is."""
    day = next((text for key in DAYS if (text := _text(node, key))), "")
    own = [text for key in ("id", NAMED_BY.get(what, "")) if (text := _text(node, key))]
    return [_Entry(what, name, day) for name in own or [""]]


def _text(node: Node, key: str) -> str:
    given = node.get(key) if key else None
    if given is None or given.is_empty or given.kind == "mapping":
        return ""
    return ", ".join(" ".join(one.text.split()) for one in given.as_sequence() if one.kind == "scalar")


def _says(node: Node, key: str, words: str) -> bool:
    told, said = (", ".join(" ".join(one.split()) for one in text.split(",")) for text in (words, _text(node, key)))
    return told.casefold() == (said.casefold() or "nothing")


def _line(node: Node) -> int:
    return node.where.line
