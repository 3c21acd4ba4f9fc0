"""`tag`: the bad-order tag of a car, with every item that the text for its train lists. Nobody's name is signed."""

from collections.abc import Iterator

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.explanation import explain
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.reliefs import left_by
from carknocker.judgement.restrictions import restriction_words
from carknocker.questions.sheets.tag_texts import TAG_TEXTS, TagText
from carknocker.rulebook.model import Source
from carknocker.vocabulary import TagGroup, load_vocabulary
from carknocker.wording.car_title import car_title
from carknocker.wording.parts import part_words
from carknocker.wording.verdicts import finding_words


class Defect(msgspec.Struct, frozen=True):
    """One thing seen on one or more parts alike, beyond what refuses the car. parts: labels."""

    parts: tuple[str, ...]
    title: str
    measured: str
    required: str
    seen: str
    source: Source
    group: TagGroup


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
    def groups(self) -> frozenset[TagGroup]:
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
        car=car_title(judgement.car),
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


def _defects(findings: list[Finding], judgement: Judgement) -> Iterator[Defect]:
    """Findings that say the same of several parts, as one defect, in the order of the walk."""
    kinds = load_vocabulary().kinds
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        said = finding_words(explain(judgement, finding))
        margin = f", {said.margin}" if said.margin else ""
        key = (finding.criterion.id, f"{said.measured}{margin}", said.required, _seen(finding))
        alike.setdefault(key, []).append(finding)
    for (_, measured, required, seen), own in alike.items():
        criterion = own[0].criterion
        labels = tuple(part_words(finding.part) for finding in own)
        yield Defect(
            labels, criterion.title, measured, required, seen, criterion.source, kinds[criterion.of].tag_group
        )  # fmt: skip


def _seen(finding: Finding) -> str:
    """When and by whom it was seen; "" for what the record only describes."""
    evidence = finding.evidence
    if evidence is None or evidence.on is None:
        return ""
    by = "" if evidence.by is None else f" by {evidence.by.full_name or evidence.by.name} ({evidence.by.role})"
    return f"{evidence.on.isoformat()}{by}"
