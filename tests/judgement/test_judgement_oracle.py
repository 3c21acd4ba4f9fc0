"""Whatever the criteria and the car: each finding is the one that a plain second working of the rules gives."""

from __future__ import annotations

import criteria_worlds
from criteria_worlds import TURNED, VOIDED
from example_counts import examples
from hypothesis import given, settings
from oracle import Found, World, find, worse
from random_worlds import OUT, cause, consequence, rulebook

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook.model import Criterion, Voids

VOIDS = consequence("voids", [cause("work", names=(TURNED,))], Voids("", VOIDED, "wheel"))


def only_against(car: CarRecord, judgement: Judgement) -> frozenset[str]:
    """Readings with a gauge that was due for its check; doubtful ones, and all older ones of the attribute."""
    found = {one.id for one in car.evidence if one.gauge and one.gauge.due and one.on and one.gauge.due < one.on}
    for one in (touched for doubt in judgement.doubts for touched in doubt.touched):
        same = [other for other in car.evidence if (other.part, other.attribute) == (one.part, one.attribute)]
        found.update(other.id for other in same[: same.index(one) + 1])
    return frozenset(found)


def made_void(car: CarRecord) -> frozenset[str]:
    """Those of a wheel up to its turning."""
    found = set()
    for job in car.work:
        for one in car.evidence:
            if one.part in job.at and one.attribute in VOIDED and one.on is not None and one.on <= job.on:
                found.add(one.id)
    return frozenset(found)


@settings(max_examples=examples(150))
@given(car=criteria_worlds.cars(), move=criteria_worlds.moves(), criteria=criteria_worlds.criteria())
def test_every_finding_is_what_the_rules_say(car: CarRecord, move: Move, criteria: list[Criterion]) -> None:
    judgement = judge(car, move, rulebook(criteria, [VOIDS]), OUT)
    void, against = made_void(car), only_against(car, judgement)
    looks = [
        (World(car, move, OUT, void | aside), World(car, move, OUT, aside)) for aside in (against, frozenset[str]())
    ]
    assert len(judgement.findings) == sum(part.kind == one.of for one in criteria for part in car.parts)
    for finding in judgement.findings:
        found = Found(finding.verdict, finding.unmet, finding.lapses_on)
        seen = [
            find(world, unvoided, finding.part.key, finding.part.fitted, finding.criterion) for world, unvoided in looks
        ]
        expected = worse(*seen)
        assert found == expected, (finding.criterion, finding.part.key)
