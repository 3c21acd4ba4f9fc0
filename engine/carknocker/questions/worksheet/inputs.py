"""All readings that a figure which is worked out still lacks: a working names one at a time, so it is asked again with
that one taken as read, until it lacks nothing more."""

from collections.abc import Iterator

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.situation import Situation
from carknocker.quantities import DIMENSIONS, Quantity
from carknocker.questions.looks import Looks
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure, Value, Word
from carknocker.vocabulary.model import Attribute
from carknocker.workings.model import Missing

_MOST = 60


def further_inputs(finding: Finding, looks: Looks) -> Iterator[tuple[Part, Attribute]]:
    """The readings beyond the first that the worked-out figures of a finding lack."""
    known = looks.judgement.situation
    for comparison in comparisons_in(finding.criterion.must):
        path = comparison.path
        key = known.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        if key is None or not path.attribute.derived or known.standing.parts[key].kind != path.attribute.kind:
            continue
        yield from _inputs(key, path.attribute, looks)


def _inputs(key: str, asked: Attribute, looks: Looks) -> Iterator[tuple[Part, Attribute]]:
    known = looks.judgement.situation
    assumed: dict[tuple[str, str], ObservedValue] = {}
    for _ in range(_MOST):
        situation = Situation(known.standing, known.move, known.excluded, known)
        for (part, name), held in assumed.items():
            situation.views[part] = {**situation.views[part], name: held}
        told = situation.work_out(key, asked)
        if not isinstance(told, Missing) or not told.unread:
            return
        part_of_it = known.standing.parts.get(told.part)
        attribute = None if part_of_it is None else looks.vocabulary.attribute(part_of_it.kind, told.attribute)
        if part_of_it is None or attribute is None or (told.part, told.attribute) in assumed:
            return
        yield part_of_it, attribute
        value = _any_value(attribute)
        if value is None:
            return
        day = looks.judgement.as_of
        evidence = Evidence(
            f"{told.part} {told.attribute}, assumed", told.attribute, told.part, told.part, value, "reading", day,
            part_of_it.where,
        )  # fmt: skip
        assumed[told.part, told.attribute] = ObservedValue(value, evidence)


def _any_value(attribute: Attribute) -> Value | None:
    """Some value of the attribute's type: only that it is there counts here."""
    if attribute.type in DIMENSIONS:
        return Figure(Quantity.of(attribute.type, 1))
    return Word("assumed") if attribute.type in ("identity", "text") else None
