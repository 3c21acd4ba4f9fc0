"""The cautions that close every page, and those for work that can hurt someone."""

from carknocker.judgement.model import Judgement

ALWAYS = (
    "This is an aid to qualified people and no substitute for them. The host's mechanical department decides, and its "
    "rules and the local rules come first.",
    "Before anyone goes on, under or between equipment: blue-signal protection, or the protection that the local rules "
    "ask for. Only those who put it up take it down.",
)
LIFTING = (
    "Lifting and jacking: rated gear in date, a lifting point that a competent person names for this lift, the load "
    "cribbed at once; nobody under a suspended load; the standing end held by hand brake and chocks, never by air "
    "alone."
)
AIR = (
    "Air brake work: drain the reservoirs and bleed the cylinders before a part is loosened; stored air can move the "
    "rigging."
)
ELECTRICAL = "Trainline power: off, locked out and proven dead before a jumper or receptacle is touched."

_LIFTED = ("wheelset", "wheels", "truck", "bearing", "axle", "spring", "center", "bolster", "equalizer", "shim", "tire")
_AIR = ("valve", "portion", "brake", "cylinder", "reservoir", "hose", "cock", "relay", "pipe", "rigging", "travel")
_ELECTRICAL = ("jumper", "trainline power", "electrical")


def cautions_for(judgement: Judgement) -> tuple[str, ...]:
    """The standing cautions, and those for the work that would clear what refuses the car."""
    work = " ".join(_named_work(judgement))
    cautions = list(ALWAYS)
    for caution, words in ((LIFTING, _LIFTED), (AIR, _AIR), (ELECTRICAL, _ELECTRICAL)):
        if any(word in work for word in words):
            cautions.append(caution)
    return tuple(cautions)


def _named_work(judgement: Judgement) -> list[str]:
    names: list[str] = []
    for refusal in judgement.refusals:
        if refusal.finding is not None:
            names.extend(remedy.work for remedy in refusal.finding.criterion.remedies)
        if refusal.duty is not None:
            names.append(refusal.duty.requirement.test)
    return names
