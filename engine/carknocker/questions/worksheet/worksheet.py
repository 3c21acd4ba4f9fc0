"""`worksheet`: exactly the readings that are missing, stale, void or lapsing for this move, in walking order."""

from collections.abc import Iterator

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Finding
from carknocker.questions.lacking import lacks_of
from carknocker.questions.looks import Looks
from carknocker.questions.worksheet.inputs import further_inputs
from carknocker.questions.worksheet.model import STATIONS, AlsoWanted, WantedReading, WorksheetAnswer
from carknocker.questions.worksheet.places import name_on_a_form, place_along, station_of
from carknocker.record.model import Part
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.vocabulary.model import Attribute
from carknocker.wording.car_title import car_title
from carknocker.wording.evidence import evidence_value
from carknocker.wording.limits import requirement_words
from carknocker.wording.parts import part_words
from carknocker.wording.verdicts import reason_words

_OF_THE_MOVE = frozenset({"move", "train", "leg"})
_WANTED = frozenset({"not shown", "withdrawn", "lapses"})
_NEVER = "never read"
_ACCESS = ("walking round", "pit", "wheel free", "truck out", "wheelset out", "shop", "inside")


class _Want(msgspec.Struct, frozen=True):
    """One value that the move wants, and why. whether: it only tells whether a criterion applies. shop: only what
    someone reads whom the host accepts will do."""

    part: Part
    attribute: Attribute
    label: str
    why: str
    advised: bool
    whether: bool
    shop: bool


def worksheet(answer: CheckAnswer) -> WorksheetAnswer:
    """The sheet of a checked car: what is against it, and what is only advised. A wheelset that rides along is asked
    for as well; what lies on a shelf is not."""
    judgement = answer.judgement
    looks = Looks(judgement)
    wants = list(_wants(looks))
    grouped: dict[tuple[str, str], list[_Want]] = {}
    also: dict[tuple[str, str, str], AlsoWanted] = {}
    for want in wants:
        if _is_reading(want):
            grouped.setdefault((want.part.key, want.attribute.name), []).append(want)
        else:
            told = _also(want)
            also.setdefault((told.sort, told.part, told.label), told)
    limits = _limits(looks)
    rows = [_row(group, limits, looks) for group in grouped.values()]
    car = judgement.car
    return WorksheetAnswer(
        mark=car.mark,
        car=car_title(car),
        file=car.file,
        as_of=answer.day,
        out=judgement.move.out,
        back=judgement.move.back,
        host=judgement.move.host,
        readings=tuple(row for _, row in sorted(rows, key=lambda one: one[0])),
        also=tuple(sorted(also.values(), key=lambda one: one.sort)),
        people=tuple(f"{person.name} ({person.role})" for person in car.people.values()),
        gauges=tuple(f"{gauge.name} ({gauge.kind})" for gauge in car.gauges.values()),
        more_may_follow=any(want.whether for want in wants),
    )


def _wants(looks: Looks) -> Iterator[_Want]:
    carried = {spare.serial for spare in looks.judgement.car.spares if spare.carried and spare.serial}
    for finding in looks.judgement.findings:
        if finding.verdict not in _WANTED or not finding.unmet or finding.relieved:
            continue
        if not finding.part.fitted and thing_key_of_wheelset(finding.part.key) not in carried:
            continue
        advised, shop = finding.criterion.effect == "advise", finding.criterion.shown_by == "accepted shop"
        if finding.verdict == "lapses":
            yield from _lapsing(finding, looks, advised, shop)
            continue
        for lack in lacks_of(finding, looks):
            why = lack.reason or _NEVER
            yield _Want(lack.part, lack.attribute, lack.label, why, advised, lack.decides_whether, shop)
        for part, attribute in further_inputs(finding, looks):
            yield _Want(part, attribute, attribute.label, _NEVER, advised, False, shop)


def _lapsing(finding: Finding, looks: Looks, advised: bool, shop: bool) -> Iterator[_Want]:
    """What is good on departure and not on the last day: the value that decides it."""
    said = looks.explain(finding)
    for path in said.attributes[:1]:
        key = looks.judgement.situation.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        part = looks.judgement.parts.get(key or "")
        if part is not None:
            yield _Want(part, path.attribute, path.attribute.label, reason_words(said.reasons), advised, False, shop)


def _is_reading(want: _Want) -> bool:
    attribute = want.attribute
    plain = not (attribute.description or attribute.derived) and attribute.type not in ("test", "paper")
    return plain and want.part.kind not in _OF_THE_MOVE


def _also(want: _Want) -> AlsoWanted:
    attribute, part = want.attribute, want.part
    why = "not on record" if want.why == _NEVER else want.why
    if part.kind in _OF_THE_MOVE:
        sort, where = "statement", "the move file"
    elif attribute.type in ("test", "paper"):
        sort, where = attribute.type, f"`{attribute.type}s:` of the record"
    elif attribute.derived:
        sort, where = "figure", "worked out from readings, once they are on record"
    else:
        sort, where = "description", "the parts of the record, undated"
    return AlsoWanted(sort, part_words(part), want.label, why, where)


def _limits(looks: Looks) -> dict[tuple[str, str], dict[str, None]]:
    """What the criteria that apply, or may apply, ask of each attribute of each part itself."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    for finding in looks.judgement.findings:
        if finding.verdict == "not applicable":
            continue
        within = finding.criterion.read_within
        for leaf in looks.compiled(finding.criterion).leaves:
            path = leaf.comparison.path
            if path.owner or path.fact is not None:
                continue
            words = found.setdefault((finding.part.key, path.attribute.name), {})
            if leaf.comparison.word != "shown":
                words[requirement_words(leaf.comparison)] = None
            if within is not None:
                words[f"read within {within} of departure"] = None
    return found


def _row(
    group: list[_Want], limits: dict[tuple[str, str], dict[str, None]], looks: Looks
) -> tuple[tuple[int, int, int, int, int], WantedReading]:
    part, attribute = group[0].part, group[0].attribute
    standing = looks.judgement.situation.standing
    station = station_of(part, attribute.access, standing)
    entries = standing.evidence.get(part.key, {}).get(attribute.name, ())
    last = ""
    if entries:
        newest = entries[-1]
        by = f", {newest.by.name}" if newest.by is not None else ""
        last = evidence_value(newest) + (f" ({newest.on.isoformat()}{by})" if newest.on is not None else "")
    reasons = list(dict.fromkeys(want.why for want in group))
    if all(want.advised for want in group):
        reasons.append("advised only")
    row = WantedReading(
        station=station,
        access=attribute.access,
        part=name_on_a_form(part, standing),
        attribute=attribute.name,
        label=attribute.label,
        why=tuple(reasons),
        who=f"someone whom {looks.judgement.move.host} accepts" if any(want.shop for want in group) else "",
        limits=tuple(limits.get((part.key, attribute.name), {})),
        measured=attribute.measured,
        tool=attribute.tool,
        last=last,
    )
    names = list(looks.vocabulary.kinds[part.kind].attributes)
    return (
        STATIONS.index(station),
        _ACCESS.index(attribute.access) if station in ("underneath", "carried spares") else 0,
        place_along(part, station, standing),
        looks.order[part.key],
        names.index(attribute.name),
    ), row
