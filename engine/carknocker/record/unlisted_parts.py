"""Parts that stand on the car though its record does not list them: a part that must be there is there, mentioned or
not. What stands where is in the vocabulary; how many, the record says of the container."""

from collections.abc import Collection, Iterator, Mapping
from typing import Protocol

import msgspec

from carknocker.documents import ProblemReporter
from carknocker.record.model import Evidence, Part, Unlisted
from carknocker.record.values import Count, NotAccessible, Opinion, Word, Words
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind, Stands, Stated


class ListedCar(Protocol):
    """The parts that a record lists, and what it says of them; as in `Standing`."""

    @property
    def parts(self) -> Mapping[str, Part]: ...
    @property
    def by_kind(self) -> Mapping[str, tuple[Part, ...]]: ...
    @property
    def evidence(self) -> Mapping[str, Mapping[str, tuple[Evidence, ...]]]: ...
    def inside_of(self, part: str, kind: str) -> tuple[str, ...]: ...
    def reach(self, part: str, kind: str) -> tuple[str, ...]: ...


class PartsThere(msgspec.Struct, frozen=True):
    """What a record says of the parts of one row in one container.

    listed: those listed that surely are of the row. number: what says how many there are. only_if: whether they stand
    at all, None where that is not known; told_by: what decides that they do not. looked_at: all evidence that was
    looked at. undecided: as in `Unlisted`. word: of the description of the container by which the fewest
    are told, or else the usual number.
    """

    kind: Kind
    row: Stands
    container: Part
    listed: tuple[Part, ...]
    number: Evidence | None
    only_if: bool | None
    told_by: Evidence | None
    looked_at: tuple[Evidence, ...]
    undecided: tuple[tuple[str, str], ...]
    word: str = ""

    @property
    def stated(self) -> int | None:
        """How many there are by the record; None where no number counts."""
        return self.number.value.number if self.number is not None and isinstance(self.number.value, Count) else None

    @property
    def unlisted(self) -> Unlisted | None:
        """What is known of those not listed; None where there are none."""
        row = self.row
        if self.only_if is False:
            return None
        if not row.number:
            return None if self.listed else Unlisted(row.called, "", 1, None, self.undecided)
        stated = self.stated
        if stated is None or self.only_if is None:
            return Unlisted(row.called, row.number, None, stated, self.undecided)
        missing = stated - len(self.listed)
        return Unlisted(row.called, row.number, missing, stated) if missing > 0 else None


def parts_there(car: ListedCar, without: Collection[str] = ()) -> Iterator[PartsThere]:
    """What the record says of every row of the vocabulary in every container of a car. without: ids of evidence that
    does not count."""
    for kind in load_vocabulary().kinds.values():
        for row in kind.stands:
            for container in car.by_kind.get(row.container, ()):
                if container.fitted:
                    yield _there(kind, row, container, car, without)


def unlisted_part(there: PartsThere) -> Part | None:
    """The part that stands for those that are not listed; None where there are none."""
    unlisted = there.unlisted
    if unlisted is None:
        return None
    container, kind = there.container, there.kind
    where = container.where if there.number is None else there.number.where
    if not unlisted.number:  # there is one at most: it is known by its place, as if it were listed
        position = container.position
        key, label = f"{kind.name} {position}".strip(), f"{kind.label} {position}".strip()
        return Part(key, kind.name, position, label, container.key, True, where, unlisted)
    of = "" if container.kind == "car" else f" of {container.label}"
    key = unlisted_key(kind, there.row, container.key)
    return Part(key, kind.name, "", f"unlisted {unlisted.called}{of}", container.key, True, where, unlisted)


def unlisted_key(kind: Kind, row: Stands, container: str) -> str:
    """The key of the part that stands for those of a row in a container that are not listed."""
    return f"{kind.name} not on record, {row.called} of {container}"


def told_of(part: Part, there: PartsThere) -> dict[str, tuple[Evidence, ...]]:
    """What is known of an unlisted part: what tells the parts of its row from others of the kind, and no more."""
    return {
        name: (
            Evidence(f"{part.key} {name}", name, part.key, part.key, Word(words[0]), "description", None, part.where),
        )
        for name, words in there.row.which
        if len(words) == 1
    }


def _there(kind: Kind, row: Stands, container: Part, car: ListedCar, without: Collection[str]) -> PartsThere:
    looked_at: list[Evidence] = []
    listed = tuple(
        car.parts[key]
        for key in car.inside_of(container.key, kind.name)
        if all(_says(Stated(kind.name, name, words), key, car, without, looked_at) for name, words in row.which)
    )
    number = _newest(container.key, row.number, car, without) if row.number else None
    if number is not None:
        looked_at.append(number)
    only_if, told_by, undecided = _stand_at_all(row, container, car, without, looked_at)
    decides = row.at_least_by[0] or row.usually_by[0]
    by = _newest(container.key, decides, car, without) if decides else None
    word = by.value.text if by is not None and isinstance(by.value, Word) else ""
    return PartsThere(kind, row, container, listed, number, only_if, told_by, tuple(looked_at), undecided, word)


def _stand_at_all(
    row: Stands, container: Part, car: ListedCar, without: Collection[str], looked_at: list[Evidence]
) -> tuple[bool | None, Evidence | None, tuple[tuple[str, str], ...]]:
    """Whether the parts of a row stand in a container, what decides that they don't, and what is not known for it."""
    if not row.only_if:
        return True, None, ()
    told_by: Evidence | None = None
    undecided: dict[tuple[str, str], None] = {}
    for conditions in row.only_if:
        unknown: list[tuple[str, str]] = []
        fails: Evidence | None = None
        for one in conditions:
            seen: list[Evidence] = []
            keys = car.reach(container.key, one.kind) or (one.kind,)
            answers = {key: _says(one, key, car, without, seen) for key in keys}
            looked_at += seen
            if any(answers.values()):
                continue
            missing = [(key, one.attribute) for key, says in answers.items() if says is None]
            unknown += missing
            if not missing and fails is None:
                fails = seen[0]
        if fails is not None:
            told_by = told_by or fails
        elif unknown:
            undecided.update(dict.fromkeys(unknown))
        else:
            return True, None, ()
    return (None, None, tuple(undecided)) if undecided else (False, told_by, ())


def _says(one: Stated, key: str, car: ListedCar, without: Collection[str], looked_at: list[Evidence]) -> bool | None:
    """Whether the newest word that counts is one of those; None where there is none."""
    found = _newest(key, one.attribute, car, without)
    if found is None:
        return None
    looked_at.append(found)
    match found.value:
        case Word(text):
            return text in one.words
        case Opinion(word):
            return word in one.words
        case Words(texts):
            return not set(one.words).isdisjoint(texts)
    return None


def _newest(key: str, attribute: str, car: ListedCar, without: Collection[str]) -> Evidence | None:
    """The newest value that counts. Of a reading that was void nothing older comes back in its place."""
    for evidence in reversed(car.evidence.get(key, {}).get(attribute, ())):
        if evidence.id in without:
            return None
        if not isinstance(evidence.value, NotAccessible):
            return evidence
    return None


def prove_numbers(car: ListedCar, reporter: ProblemReporter) -> None:
    """Reports what can't be: more parts listed than there are, fewer than every car has, and parts where there are
    none. Of each number the newest on record is looked at."""
    for there in parts_there(car):
        _prove_number(there, reporter)


def _prove_number(there: PartsThere, reporter: ProblemReporter) -> None:
    row, number, stated = there.row, there.number, there.stated
    of = "the car" if there.container.kind == "car" else there.container.label
    if there.only_if is False and row.no_others and there.told_by is not None:
        told = f"{there.told_by.attribute}: {_text(there.told_by)}"
        why = f"`{told}` (line {there.told_by.where.line})"
        for part in there.listed:
            found = f"{part.label} at {of}, where {why} says that there can be none"
            reporter.note(part.where, found, "a part that the car has", remedy="correct one of the two lines")
        if number is not None and stated:
            found = f"`{row.number}: {stated}` of {of}, where {why} says that there can be none"
            reporter.note(number.where, found, "`none fitted`", remedy="correct one of the two lines")
        return
    if number is None or stated is None or there.only_if is False:
        return
    if len(there.listed) > stated:
        beyond = there.listed[stated]
        found = (
            f"{beyond.label}: the record lists {len(there.listed)} {row.called} of {of}, "
            f"and `{row.number}: {_text(number)}` stands in line {number.where.line}"
        )
        expected = f"at most {stated}" if stated else f"no {row.called}"
        reporter.note(
            beyond.where, found, expected, remedy="take the part out, or count again and write the new number"
        )
    least = fewest_there(there)
    if stated < least and there.only_if and not row.bad_news and (stated == 0 or not number.sure):
        found = f"`{row.number}: {_text(number)}` of {of}"
        expected = f"at least {least}: every such car has them"
        remedy = "" if stated == 0 else "count again; if it is right, say so with `sure: WHY`"
        reporter.note(number.where, found, expected, remedy=remedy)


def fewest_there(there: PartsThere) -> int:
    """The fewest that there can be in the container, by what the record says of it."""
    attribute, numbers = there.row.at_least_by
    by_word = dict(numbers)
    return by_word.get(there.word, there.row.at_least) if attribute else there.row.at_least


def place_in(kind: Kind, container: str, position: str) -> str:
    """`B` is a place in the first kind of container that a part may be in; one in another says which."""
    if not position or container not in kind.inside:
        return ""
    return position if container == kind.inside[0] else f"{container} {position}"


def _text(evidence: Evidence) -> str:
    match evidence.value:
        case Word(text):
            return text
        case Words(texts):
            return f"[{', '.join(texts)}]"
        case Count(number, written):
            return written or str(number)
    return "…"
