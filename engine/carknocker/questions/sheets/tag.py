"""`tag`: the bad-order tag of a car, with every item that the text for its train lists. Nobody's name is signed."""

from collections.abc import Iterator
from typing import Literal

import msgspec

from carknocker.judgement.explanation.explain import explain
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.reliefs import left_by
from carknocker.judgement.restrictions import restriction_words
from carknocker.questions.check import CheckAnswer
from carknocker.questions.sheets.tag_texts import TAG_TEXTS, TagText
from carknocker.questions.why.words import part_words
from carknocker.rulebook.model import Source

Group = Literal["brake", "running gear", "safety appliance", "other"]
_GROUPS: dict[Group, tuple[str, ...]] = {
    "brake": ("brake system", "brake cylinder", "brake shoe", "brake rigging", "reservoir", "air hose", "cock"),
    "running gear": (
        "truck", "center plate", "center pin", "bolster", "side bearing", "spring", "equalizer", "shock absorber",
        "axle position", "box", "wheelset", "wheel", "axle", "bearing", "coupler", "draft gear",
    ),
    "safety appliance": ("safety appliance", "hand brake"),
}  # fmt: skip
"""Running gear as 49 CFR 238.5 defines its defects: a truck component, a draft system component, a wheel."""


class Defect(msgspec.Struct, frozen=True):
    """One thing seen on one or more parts alike, beyond what refuses the car. parts: labels."""

    parts: tuple[str, ...]
    title: str
    measured: str
    required: str
    seen: str
    source: Source
    group: Group


class TagGiven(msgspec.Struct, frozen=True):
    """What whoever asks for the tag already knows; "" is left blank on it."""

    inspector: str = ""
    location: str = ""
    inspected_on: str = ""
    destination: str = ""


class BadOrderTag(msgspec.Struct, frozen=True):
    """A tag. text: what its train's text asks of it. restrictions: that are in force, in words. unseen: how many other
    things stand against the car that are no defect that someone has seen, and so stand on no tag."""

    car: str
    railroad: str
    text: TagText
    given: TagGiven
    defects: tuple[Defect, ...]
    restrictions: tuple[str, ...]
    unseen: int
    answer: CheckAnswer

    @property
    def groups(self) -> frozenset[Group]:
        return frozenset(defect.group for defect in self.defects)


def tag_of(answer: CheckAnswer, given: TagGiven = TagGiven()) -> BadOrderTag:  # noqa: B008 (frozen)
    """The tag for a car as it was judged: its defects are the breached findings that refuse it."""
    judgement = answer.judgement
    breached = [
        refusal.finding for refusal in judgement.refusals
        if refusal.finding is not None and refusal.finding.verdict == "breached"
        and refusal.finding.part.kind not in ("move", "train", "leg")
    ]  # fmt: skip
    return BadOrderTag(
        car=" ".join(word for word in (judgement.car.mark, judgement.car.name) if word),
        railroad=judgement.move.host,
        text=TAG_TEXTS[judgement.move.train],
        given=given,
        defects=tuple(_defects(breached, judgement)),
        restrictions=_restrictions(judgement),
        unseen=len(judgement.refusals) - len(breached),
        answer=answer,
    )


def _restrictions(judgement: Judgement) -> tuple[str, ...]:
    """What is restricted as the car was judged, and what a leave for repair puts in the place of a refusal."""
    for_repair = left_by(judgement.reliefs, judgement.findings, "repair")
    listed = [one.restriction for one in (*judgement.restrictions, *for_repair)]
    return tuple(dict.fromkeys(restriction_words(one) for one in listed if one.sort != "tag"))


def group_of(kind: str) -> Group:
    """Which of the law's groups of defects a defect of this kind of part belongs to."""
    return next((group for group, kinds in _GROUPS.items() if kind in kinds), "other")


def _defects(findings: list[Finding], judgement: Judgement) -> Iterator[Defect]:
    """Findings that say the same of several parts, as one defect, in the order of the walk."""
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        said = explain(judgement, finding)
        margin = f", {said.margin}" if said.margin else ""
        key = (finding.criterion.id, f"{said.measured}{margin}", said.required, _seen(finding))
        alike.setdefault(key, []).append(finding)
    for (_, measured, required, seen), own in alike.items():
        criterion = own[0].criterion
        labels = tuple(part_words(finding.part) for finding in own)
        yield Defect(
            labels, criterion.title, measured, required, seen, criterion.source, group_of(criterion.of)
        )  # fmt: skip


def _seen(finding: Finding) -> str:
    """When and by whom it was seen; "" for what the record only describes."""
    evidence = finding.evidence
    if evidence is None or evidence.on is None:
        return ""
    by = "" if evidence.by is None else f" by {evidence.by.full_name or evidence.by.name} ({evidence.by.role})"
    return f"{evidence.on.isoformat()}{by}"
