"""Whatever the criteria and the car: each finding is the one that a plain second working of the rules gives."""

from __future__ import annotations

import criteria_worlds
from criteria_worlds import TURNED, VOIDED
from example_counts import examples
from hypothesis import given, settings
from oracle import Found, World, find
from random_worlds import OUT, cause, consequence, rulebook

from carknocker.judgement.judge import judge
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook.model import Criterion, Withdraws

VOIDS = consequence("voids", [cause("work", names=(TURNED,))], Withdraws("", VOIDED, "wheel"))


def set_aside(car: CarRecord, *, void: bool) -> frozenset[str]:
    """Readings with a gauge that was due for its check; with `void`, also those of a wheel up to its turning."""
    found = {one.id for one in car.evidence if one.gauge and one.gauge.due and one.on and one.gauge.due < one.on}
    for job in car.work if void else ():
        for one in car.evidence:
            if one.part in job.at and one.attribute in VOIDED and one.on is not None and one.on <= job.on:
                found.add(one.id)
    return frozenset(found)


@settings(max_examples=examples(150))
@given(car=criteria_worlds.cars(), move=criteria_worlds.moves(), criteria=criteria_worlds.criteria())
def test_every_finding_is_what_the_rules_say(car: CarRecord, move: Move, criteria: list[Criterion]) -> None:
    judgement = judge(car, move, rulebook(criteria, [VOIDS]), OUT)
    world = World(car, move, OUT, set_aside(car, void=True))
    unvoided = World(car, move, OUT, set_aside(car, void=False))
    assert len(judgement.findings) == sum(part.kind == one.of for one in criteria for part in car.parts)
    for finding in judgement.findings:
        found = Found(finding.verdict, finding.unmet, finding.lapses_on)
        expected = find(world, unvoided, finding.part.key, finding.part.fitted, finding.criterion)
        assert found == expected, (finding.criterion, finding.part.key)
