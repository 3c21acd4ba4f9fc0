"""The car as if somebody had looked, counted and written down the parts that must be there and are not on record."""

from collections.abc import Iterator
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.judgement.chain.fixed_point import PlainEvaluator
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record.model import CarRecord, Evidence, Move, Part
from carknocker.record.standing import listed_now
from carknocker.record.unlisted_parts import PartsThere, fewest_there, parts_there, unlisted_part
from carknocker.record.value_words import value_words
from carknocker.record.values import Count, Value, Word, Words
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, CountOf, EachOf, Fixed, Unanswered
from carknocker.rulebook.model import Rulebook, Source
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Stands
from carknocker.whatif.hypothetical_car import NOWHERE, with_evidence
from carknocker.whatif.missing_evidence import lacks_of
from carknocker.wording.parts import attribute_words, label_of

_MOST_ROUNDS = 8


class PutOnRecord(msgspec.Struct, frozen=True):
    """Parts of one row of the vocabulary in a container that are to be looked at and written down.

    keys: of the parts that are assumed to be found. words: `1 of 4 equalizer springs`. rules: the sources of the
    criteria that ask for them. first: descriptions that tell whether there are any, in words. taken: what they are
    taken to be.
    """

    container: str
    label: str
    called: str
    words: str
    keys: tuple[str, ...]
    rules: tuple[Source, ...]
    first: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()


class CarPutOnRecord(msgspec.Struct, frozen=True):
    """The car with these parts listed, described as far as the vocabulary tells them apart."""

    car: CarRecord
    put: tuple[PutOnRecord, ...] = ()

    @property
    def keys(self) -> frozenset[str]:
        """The keys of all parts that are assumed to be found."""
        return frozenset(key for one in self.put for key in one.keys)


def put_on_record(car: CarRecord, move: Move, rulebook: Rulebook, day: date) -> CarPutOnRecord:
    """The car with every part on record without which it is refused, whatever else is. day: on which it is judged.

    Raises CannotJudge.
    """
    put: list[PutOnRecord] = []
    said: dict[str, dict[str, None]] = {}
    labels: dict[str, str] = {}
    why: dict[str, dict[Source, None]] = {}
    for _ in range(_MOST_ROUNDS):
        judged = judge(car, move, rulebook, day, evaluator=PlainEvaluator())
        asked = _asked(judged)
        lacking = [
            (one, tuple(asked[part.key]))
            for one in parts_there(listed_now(judged.car), judged.situation.excluded)
            if (part := unlisted_part(one)) is not None and part.key in asked
        ]
        if not lacking:
            break
        undecided = {one.undecided[0]: one for one, _ in reversed(lacking) if one.undecided}
        if undecided:  # whether there are any is to be found out first: it may bring others, or none
            told: list[Evidence] = []
            for one in undecided.values():
                described, words = _decided(one, judged)
                told.append(described)
                said.setdefault(one.container.key, {})[words] = None
                labels[one.container.key] = label_of(one.container)
            for one, sources in lacking:
                why.setdefault(one.container.key, {}).update(dict.fromkeys(sources))
            car = with_evidence(car, tuple(told))
            continue
        for one, sources in lacking:
            parts, evidence = _found(one, car, rulebook)
            first = tuple(said.get(one.container.key, ()))
            put.append(_words(one, parts, sources, first, _taken_words(one, parts, evidence)))
            car = with_evidence(replace(car, parts=(*car.parts, *parts)), evidence)
    listed = {one.container for one in put}
    put.extend(  # what is on record suffices once these descriptions are
        PutOnRecord(container, labels[container], "", "; ".join(words), (), tuple(why.get(container, ())))
        for container, words in said.items()
        if container not in listed
    )
    return CarPutOnRecord(car, tuple(put))


def _asked(judged: Judgement) -> dict[str, dict[Source, None]]:
    """The unlisted parts for want of which the car is refused, each with the sources of the criteria that ask."""
    index = JudgementIndex(judged)
    unlisted = [part for part in judged.parts.values() if part.unlisted is not None]
    asked: dict[str, dict[Source, None]] = {}
    for refusal in judged.refusals if unlisted else ():
        finding = refusal.finding
        if finding is None or finding.verdict != "not shown":
            continue
        if finding.part.unlisted is not None:
            asked.setdefault(finding.part.key, {})[finding.criterion.source] = None
            continue
        lacks = {(lack.part.key, lack.attribute.name) for lack in lacks_of(finding, index)}
        named = {key for key, _ in lacks}
        for part in unlisted:
            own = part.unlisted
            if part.key in named or (own is not None and (part.container or "", own.number) in lacks):
                asked.setdefault(part.key, {})[finding.criterion.source] = None
    return asked


def _decided(there: PartsThere, judged: Judgement) -> tuple[Evidence, str]:
    """The first description that is missing, as the first word by which such parts are there says it; and its label."""
    key, name = there.undecided[0]
    parts = judged.parts
    holder = key if key in parts else next(iter(judged.situation.standing.reach(there.container.key, key)), key)
    words = (one.words[0] for conditions in there.row.only_if for one in conditions if one.attribute == name)
    word = next(words, "yes")
    attribute = load_vocabulary().attribute(parts[holder].kind if holder in parts else key, name)
    value: Value = Words((word,)) if attribute is not None and attribute.type == "list of" else Word(word)
    return _described(holder, name, value), name.replace("_", " ") if attribute is None else attribute.label


def _found(there: PartsThere, car: CarRecord, rulebook: Rulebook) -> tuple[tuple[Part, ...], tuple[Evidence, ...]]:
    """The parts that are assumed to be found, what they are taken to be, and their number."""
    unlisted = unlisted_part(there)
    assert unlisted is not None
    assert unlisted.unlisted is not None
    row, container = there.row, there.container
    if not row.number:
        return (replace(unlisted, unlisted=None, where=NOWHERE),), _taken_to_be(unlisted.key, there, car, rulebook)
    missing = unlisted.unlisted.missing
    if missing is None:
        least = max(fewest_there(there), _most_asked(there, rulebook), 1)
        missing = max(least - len(there.listed), 0 if there.listed else 1)
    label = row.called if container.kind == "car" else f"{row.called} of {container.label}"
    parts = tuple(
        Part(f"{unlisted.key} {number}", unlisted.kind, "", label, container.key, True, NOWHERE)
        for number in range(1, missing + 1)
    )
    evidence = [one for part in parts for one in _taken_to_be(part.key, there, car, rulebook)]
    if there.stated is None:
        number = len(there.listed) + missing
        evidence.append(_described(container.key, row.number, Count(number)))
    return parts, tuple(evidence)


_ALIKE = frozenset(("one of", "yes or no", "count"))


def _taken_to_be(key: str, there: PartsThere, car: CarRecord, rulebook: Rulebook) -> tuple[Evidence, ...]:
    """What a part that is assumed to be found is taken to be: what tells it from others of its kind; else like those
    that are listed; else, where a criterion asks for its kind, the first word that no criterion leaves unanswered."""
    described: dict[str, Value] = {name: Word(words[0]) for name, words in there.row.which}
    beside = (*there.listed, *(part for part in car.parts if part.kind == there.kind.name and part.fitted))
    for part in beside:
        own = car.by_part.get(part.key, {})
        if any(name in own and own[name][-1].value != value for name, value in described.items()):
            continue
        for name, found in own.items():
            attribute = there.kind.attributes.get(name)
            if attribute is not None and attribute.description and attribute.type in _ALIKE:
                described.setdefault(name, found[-1].value)
        break
    for name, unanswered in _asked_of_kind(there.kind.name, rulebook).items():
        attribute = there.kind.attributes[name]
        words = (word for word in attribute.one_of if word not in unanswered and word not in attribute.left_open)
        word = next(words, "")
        if word:
            described.setdefault(name, Word(word))
    return tuple(_described(key, name, value) for name, value in described.items())


def _asked_of_kind(kind: str, rulebook: Rulebook) -> dict[str, set[str]]:
    """The choices of a kind on which it depends whether a criterion applies; of each the words that none answers."""
    found: dict[str, set[str]] = {}
    for criterion in rulebook.criteria:
        for clause in (criterion.when, criterion.unless) if criterion.of == kind else ():
            for one in comparisons_in(clause, parts_inside=False):
                attribute = one.path.attribute
                if one.path.owner or not attribute.description or attribute.type != "one of":
                    continue
                words = found.setdefault(attribute.name, set())
                if isinstance(criterion.must, Unanswered) and isinstance(one.limit, Fixed):
                    words.update(value.text for value in one.limit.values if isinstance(value, Word))
    return found


def _described(part: str, attribute: str, value: Value) -> Evidence:
    return Evidence(f"planned {part} {attribute}", attribute, part, part, value, "description", None, NOWHERE)


def _most_asked(there: PartsThere, rulebook: Rulebook) -> int:
    """The most of such parts that any criterion counts on."""
    return max(
        (
            clause.number + (clause.word == "over")
            for criterion in rulebook.criteria
            for clause in _counts(criterion.must)
            if clause.kind == there.kind.name
            and clause.word in ("at_least", "over", "is")
            and _of_row(clause, there.row)
        ),
        default=0,
    )


def _counts(clause: Clause) -> Iterator[CountOf]:
    match clause:
        case CountOf():
            yield clause
        case AllOf(clauses) | AnyOf(clauses):
            for member in clauses:
                yield from _counts(member)
        case EachOf():
            yield from _counts(clause.must)


def _of_row(clause: CountOf, row: Stands) -> bool:
    """Whether the parts of a row may be among those that the clause counts."""
    which = dict(row.which)
    return all(
        any(isinstance(value, Word) and value.text in which[comparison.path.attribute.name] for value in limit.values)
        for comparison in comparisons_in(clause.when)
        if isinstance(limit := comparison.limit, Fixed) and comparison.path.attribute.name in which
    )


def _words(
    there: PartsThere,
    parts: tuple[Part, ...],
    rules: tuple[Source, ...],
    first: tuple[str, ...],
    taken: tuple[str, ...],
) -> PutOnRecord:
    container, called = there.container, there.row.called
    stated = there.stated
    if stated is not None:
        isnt = f"{len(parts)} of {stated} {called}"
    else:
        isnt = f"{called}, and how many" if there.row.number else called
    return PutOnRecord(
        container.key, label_of(container), called, isnt, tuple(part.key for part in parts), rules, first, taken
    )


def _taken_words(there: PartsThere, parts: tuple[Part, ...], evidence: tuple[Evidence, ...]) -> tuple[str, ...]:
    """`kind of spring coil`, of all of them; without what tells them from others of the kind."""
    told = {name for name, _ in there.row.which}
    return tuple(
        f"{attribute_words(there.kind.name, one.attribute)} {value_words(one.value)}"
        for one in evidence
        if parts and one.part == parts[0].key and one.attribute not in told
    )
