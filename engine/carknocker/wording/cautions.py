"""The cautions that close every page, and those for hazardous work."""

from collections.abc import Collection

from carknocker.judgement.model import Judgement
from carknocker.vocabulary import Hazard, load_vocabulary

ALWAYS = (
    "This is an aid to qualified people and no substitute for them. The host's mechanical department decides, and its "
    "rules and the local rules come first.",
    "Before anyone goes on, under or between equipment: blue-signal protection, or the protection that the local rules "
    "ask for. Only those who put it up take it down.",
)
LIFTING = (
    "Lifting and jacking: rated gear in date, a lifting point that a competent person names for this lift, the load "
    "cribbed at once; nobody under a suspended load; the standing end held by chocks, and by a hand brake only "
    "where one acts on its truck, never by air."
)
AIR = (
    "Air brake work: drain the reservoirs and bleed the cylinders before a part is loosened; stored air can move the "
    "rigging."
)
ELECTRICAL = "Head-end power: off, locked out and proven dead before a jumper or receptacle is touched."

_OF_HAZARDS: dict[Hazard, str] = {"lifting": LIFTING, "air": AIR, "electricity": ELECTRICAL}


def cautions(hazards: Collection[Hazard]) -> tuple[str, ...]:
    """The standing cautions, then those for the hazards."""
    return (*ALWAYS, *(caution for hazard, caution in _OF_HAZARDS.items() if hazard in hazards))


def cautions_for(judgement: Judgement) -> tuple[str, ...]:
    """The standing cautions, and those for the work and tests that would clear what refuses the car."""
    vocabulary = load_vocabulary()
    hazards: set[Hazard] = set()
    for refusal in judgement.refusals:
        if refusal.finding is not None:
            for remedy in refusal.finding.criterion.remedies:
                if remedy.work in vocabulary.work:
                    hazards.update(vocabulary.work[remedy.work].hazards)
        if refusal.duty is not None and refusal.duty.requirement.test in vocabulary.tests:
            hazards.update(vocabulary.tests[refusal.duty.requirement.test].hazards)
    return cautions(hazards)
