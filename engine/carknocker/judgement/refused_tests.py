"""Tests that say `passed` beside something that says otherwise: shoes that drag, a leakage that a limit refuses. Such a
test failed, whatever it calls its result."""

from collections.abc import Iterable, Iterator

import msgspec
from msgspec.structs import replace

from carknocker.judgement.comparisons import decision
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.record.model import Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.standing import Standing
from carknocker.record.values import Value, Word
from carknocker.rulebook.clauses import comparisons
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute, TestKind

_PASSED, _FAILED = Word("passed"), Word("failed")


class RefusedTest(msgspec.Struct, frozen=True):
    """A test that is no passed one. fact: what it says that is bad. limit: the criterion that refuses the figure; None
    where the vocabulary knows the word as bad."""

    test: Evidence
    fact: Attribute
    limit: Criterion | None = None


def refused_tests(situation: Situation, criteria: Iterable[CompiledCriterion]) -> tuple[RefusedTest, ...]:
    """The passed tests of a car that are none, each with the first fact that says so. A limit counts where its
    criterion applies or may, and where the part does not meet it in another way."""
    kinds = load_vocabulary().tests.values()
    found: list[RefusedTest] = []
    for kind in kinds:
        for part in situation.standing.by_kind.get(kind.on, ()):
            for test in situation.standing.evidence.get(part.key, {}).get(kind.attribute, ()):
                if test.value == _PASSED and test.facts:
                    found.extend(list(_refused(test, kind, situation, criteria))[:1])
    return tuple(found)


def with_failed(standing: Standing, refused: Iterable[RefusedTest]) -> Standing:
    """The same, in which these tests failed. Of one day a failed test is the one that counts."""
    ids = {one.test.id for one in refused}
    if not ids:
        return standing
    evidence = dict(standing.evidence)
    for key in {one.test.part for one in refused}:
        attributes = dict(evidence[key])
        for name, entries in attributes.items():
            if any(one.id in ids for one in entries):
                now = [replace(one, value=_FAILED) if one.id in ids else one for one in entries]
                attributes[name] = tuple(sorted(now, key=lambda one: (one.on, len(one.after), one.value == _FAILED)))
        evidence[key] = attributes
    return msgspec.structs.replace(standing, evidence=evidence, _by_id={})


def _refused(
    test: Evidence, kind: TestKind, situation: Situation, criteria: Iterable[CompiledCriterion]
) -> Iterator[RefusedTest]:
    for name, value in test.facts.items():
        fact = kind.facts.get(name)
        if fact is None:
            continue
        if isinstance(value, Word) and value.text in fact.bad and name not in kind.named_alone:
            yield RefusedTest(test, fact)
        shown = kind.shows.get(name)
        limit = None if shown is None else _limit_against(shown, test, value, situation, criteria)
        if limit is not None:
            yield RefusedTest(test, fact, limit)


def _limit_against(
    shown: tuple[str, str], test: Evidence, value: Value, situation: Situation, criteria: Iterable[CompiledCriterion]
) -> Criterion | None:
    """The first criterion that refuses or restricts by a limit of the attribute, which the value breaks."""
    kind, name = shown
    held = ObservedValue(value, None)
    for one in criteria:
        criterion = one.criterion
        if criterion.of != kind or criterion.effect == "advise" or (one.attributes and name not in one.attributes):
            continue
        broken = [
            decision(comparison)
            for inside, comparison in comparisons(criterion.must, kind)
            if inside == kind and not comparison.path.owner and comparison.path.attribute.name == name
        ]
        for key in _parts(kind, test, situation) if broken else ():
            view = PartView(situation, key, {**situation.values_of(key), name: held}, situation.move.out)
            applies = not one.conditional or one.applies(view) != FAILS
            if applies and any(decide(held, view) == FAILS for decide in broken) and one.must(view) < NEAR:
                return criterion
    return None


def _parts(kind: str, test: Evidence, situation: Situation) -> tuple[str, ...]:
    standing = situation.standing
    return (test.part,) if kind_of_key(test.part) == kind else standing.inside_of(test.part, kind)
