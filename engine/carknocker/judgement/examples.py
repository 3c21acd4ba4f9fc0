"""Worked examples of a criterion, judged by the same functions as a car."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from types import MappingProxyType

from carknocker.documents import Location
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import compile_criterion
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import UNKNOWN
from carknocker.record.model import NO_END, CarRecord, Evidence, Fitting, LogStatement, Move, MoveMade, Part, Person
from carknocker.record.standing import Standing
from carknocker.record.values import Day, Value, Word
from carknocker.rulebook.clauses import AttributePath, ByTable, Clause, Comparison, FromPart
from carknocker.rulebook.model import ConsequenceExample, Criterion, Example, Verdict, name_inside
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute, Vocabulary

HOST = "the host of the example"
OUT = date(2030, 6, 15)
"""The day of departure in every example. Only the distance of other days from it matters."""
_NOWHERE = Location("example", 1, 1)
INSPECTOR = Person("inspector", "host's inspector", "", (HOST,), NO_END, _NOWHERE)
_ALWAYS_FITTED = Fitting("wheelset", 1, None, None, "", "", False)
_NOTHING: Mapping[str, Value] = MappingProxyType({})


def example_standing(criterion: Criterion, example: Example, vocabulary: Vocabulary) -> tuple[Standing, Move, str]:
    """The standing that an example describes, its move, and the key of the part that it is about."""
    return standing_of(criterion.of, (criterion.when, criterion.unless, criterion.must), example, vocabulary)


def standing_of(
    subject: str, clauses: Iterable[Clause | None], example: Example | ConsequenceExample, vocabulary: Vocabulary
) -> tuple[Standing, Move, str]:
    """The same for a part of the kind `subject`, at which some clauses look."""
    back = example.move_lasts.after(OUT)
    move = Move(
        HOST, "passenger", OUT, back, "nobody", (), _NOTHING, _NOTHING, {}, True, "example", "", _NOWHERE
    )  # fmt: skip
    paths = {str(path): path for path in _paths(clauses)}
    owners = {path.owner for path in paths.values()}
    parts, inside = _parts(subject, owners, vocabulary)
    evidence: dict[str, dict[str, list[Evidence]]] = {}
    for name in dict.fromkeys((*example.given, *example.ages, *example.left, *example.miles_ago)):
        value = example.given.get(name, Word("yes"))
        path = paths.get(name) or _parse(name, subject, vocabulary)
        if path is not None and path.fact is None:
            facts = _facts(name, example)
            key = _key_of(path.owner or subject)
            entry = _evidence(path.attribute, key, name, value, example, facts)
            evidence.setdefault(key, {}).setdefault(path.attribute.name, []).append(entry)
    for number, (kind, given) in enumerate(example.parts, start=1):
        key = f"{kind} inside {number}"
        parts[key] = Part(key, kind, str(number), f"{kind} {number}", _key_of(subject), True, _NOWHERE)
        inside.setdefault(_key_of(subject), []).append(key)
        for name, value in given.items():
            attribute = vocabulary.attribute(kind, name)
            if attribute is not None:
                entry = _evidence(attribute, key, name_inside(kind, number, name), value, example, {})
                evidence.setdefault(key, {}).setdefault(name, []).append(entry)
    car = CarRecord(
        mark="example", name="", file="example", digest="", parts=tuple(parts.values()), axle_trucks={},
        fittings=(_ALWAYS_FITTED,), evidence=(), work=(), moves_made=_moves_made(example), spares=(), leaves=(),
        people={}, gauges={}, log=LogStatement(date.min, INSPECTOR, _NOWHERE),
    )  # fmt: skip
    by_kind: dict[str, tuple[Part, ...]] = {}
    for part in parts.values():
        by_kind[part.kind] = (*by_kind.get(part.kind, ()), part)
    standing = Standing(
        car=car, move=move, as_of=OUT, parts=parts, by_kind=by_kind,
        inside={key: tuple(keys) for key, keys in inside.items()},
        evidence={key: {name: tuple(found) for name, found in own.items()} for key, own in evidence.items()},
        work=(), later=0,
    )  # fmt: skip
    return standing, move, _key_of(subject)


def _paths(clauses: Iterable[Clause | None]) -> Iterator[AttributePath]:
    """Every path that clauses look at, those of their limits included."""
    for clause in clauses:
        for comparison in comparisons_in(clause):
            yield comparison.path
            limit = _limit_path(comparison)
            if limit is not None:
                yield limit


def _limit_path(comparison: Comparison) -> AttributePath | None:
    return comparison.limit.path if isinstance(comparison.limit, (ByTable, FromPart)) else None


def _parse(name: str, subject: str, vocabulary: Vocabulary) -> AttributePath | None:
    """A path that no clause names: an attribute of the part, or of a container."""
    owner, _, last = name.rpartition(".")
    attribute = vocabulary.attribute(owner.replace("_", " ") or subject, last)
    return None if attribute is None else AttributePath(owner.replace("_", " "), attribute)


def _key_of(kind: str) -> str:
    return kind


def _parts(subject: str, owners: set[str], vocabulary: Vocabulary) -> tuple[dict[str, Part], dict[str, list[str]]]:
    """The part, everything it is in up to the car, and car, move and train, which any clause may ask about."""
    chain = [subject]
    while containers := vocabulary.kinds[chain[-1]].inside:
        chain.append(next((kind for kind in containers if kind in owners), containers[0]))
    parts: dict[str, Part] = {}
    inside: dict[str, list[str]] = {}
    for kind, container in zip(chain, [*chain[1:], None], strict=True):
        parts[kind] = Part(kind, kind, "", kind, container, True, _NOWHERE)
        if container is not None:
            inside.setdefault(container, []).append(kind)
    for kind, container in (("car", None), ("move", None), ("train", "move")):
        if kind not in parts:
            parts[kind] = Part(kind, kind, "", kind, container, True, _NOWHERE)
            if container is not None:
                inside.setdefault(container, []).append(kind)
    return parts, inside


def _facts(name: str, example: Example | ConsequenceExample) -> dict[str, Value]:
    """Further facts of a test or paper: `single_car_test.device` belongs to `single_car_test`."""
    return {
        given.removeprefix(f"{name}."): value for given, value in example.given.items() if given.startswith(f"{name}.")
    }


def _evidence(
    attribute: Attribute,
    part: str,
    name: str,
    value: Value,
    example: Example | ConsequenceExample,
    facts: Mapping[str, Value],
) -> Evidence:
    on = example.ages[name].before(OUT) if name in example.ages else OUT
    if name in example.miles_ago and name not in example.ages:
        on = OUT - timedelta(days=1)
    if attribute.type == "date" and not isinstance(value, Day):
        value = Day(on, on, on.isoformat())
    sort = {"test": "test", "paper": "paper"}.get(attribute.type, "description" if attribute.description else "reading")
    until = example.left[name].after(OUT) if name in example.left else None
    return Evidence(
        id=name, attribute=attribute.name, part=part, place=part, value=value, sort=sort,  # type: ignore[arg-type]
        on=None if sort == "description" else on, where=_NOWHERE, until=until, by=INSPECTOR, facts=facts,
    )  # fmt: skip


def _moves_made(example: Example | ConsequenceExample) -> tuple[MoveMade, ...]:
    """One move on the day before departure for each figure of miles."""
    moves = []
    for name, miles in example.miles_ago.items():
        start = example.ages[name].before(OUT) if name in example.ages else OUT - timedelta(days=1)
        moves.append(MoveMade(start + timedelta(days=1), max(start + timedelta(days=1), OUT), miles, HOST, _NOWHERE))
    return tuple(moves)


def judge_example(criterion: Criterion, example: Example) -> Verdict:
    """The verdict of a criterion on a worked example. An example that leaves open what `when` or `unless` asks is
    about a part to which the criterion applies; it knows no gauge, so that nothing is borderline."""
    return example_finding(criterion, example)[0].verdict


def example_finding(criterion: Criterion, example: Example) -> tuple[Finding, PartView, Move]:
    """The finding of which `judge_example` gives the verdict, a look at the part that it is about, and the move."""
    standing, move, key = example_standing(criterion, example, load_vocabulary())
    situation = Situation(standing, move, {})
    one = compile_criterion(criterion)
    sight = PartView(situation, key, situation.values_of(key), move.out)
    if one.when is not None and one.when(sight) == UNKNOWN:
        one = one.applying(when=False)
    if one.unless is not None and one.unless(sight) == UNKNOWN:
        one = one.applying(unless=False)
    return judge_part(one, standing.parts[key], situation, lambda: None), sight, move
