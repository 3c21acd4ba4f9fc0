"""`worksheet`: exactly the readings that are missing, stale, void or lapsing for this move, in walking order."""

import re

from carknocker.forms.names import name_on_a_form
from carknocker.forms.wants import NEVER, Want, wants_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.worksheet.model import STATIONS, AlsoWanted, WantedReading, WorksheetAnswer
from carknocker.record.model import Part
from carknocker.record.standing import Standing
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import MOVE_KINDS, TRUCK
from carknocker.wording.evidence import evidence_value
from carknocker.wording.limits import requirement_words
from carknocker.wording.parts import car_title, part_words

_SIDES = {"L": "left side", "R": "right side"}
_ENDS = {"B": "B end", "A": "A end"}
_SIDE_OF_AXLE = re.compile(r"([LR])\d+")
_SIDE_OF_TRUCK = re.compile(r"[AB]([LR])")


def station_of(part: Part, access: str, standing: Standing) -> str:
    """The station of a reading: by what one must have access to, else by where the part is.

    A truck, an axle or what is in the middle of one is come to on the left side, which is walked first.
    """
    if not part.fitted:
        return "carried spares"
    if access == "inside":
        return "inside"
    if access != "walking round":
        return "underneath"
    kinds = load_vocabulary().kinds
    for key in (part.key, *standing.containers(part.key)):
        own = standing.parts[key]
        side = _SIDE_OF_AXLE.fullmatch(own.position) or _SIDE_OF_TRUCK.fullmatch(own.position)
        if side is not None:
            return _SIDES[side[1]]
        if kinds[own.kind].positions in ("trucks", "axles", "serials"):
            return "left side"
        if own.position in _ENDS:
            return _ENDS[own.position]
    return "the car as a whole"


def place_along(part: Part, station: str, standing: Standing) -> int:
    """How far along the walk a part is: from the B end to the A end, on the right side the other way round."""
    numbers = [_number(standing.parts[key], standing) for key in (part.key, *standing.containers(part.key))]
    number = next((one for one in numbers if one is not None), 0)
    return -number if station == "right side" else number


def _number(part: Part, standing: Standing) -> int | None:
    """Twice the number of an axle; for a truck and what is on it one less than its first axle's."""
    axles = standing.car.axle_trucks
    digits = re.fullmatch(r"[LR]?(\d+)", part.position)
    kind = load_vocabulary().kinds[part.kind]
    if digits is not None and (kind.positions == "sides of axle" or (kind.positions == "axles" and not kind.thing)):
        return 2 * int(digits[1])
    if part.kind == TRUCK or _SIDE_OF_TRUCK.fullmatch(part.position):
        return min((2 * axle - 1 for axle, truck in axles.items() if truck == part.position[:1]), default=0)
    return None


_ACCESS = ("walking round", "pit", "wheel free", "truck out", "wheelset out", "shop", "inside")


def worksheet(answer: CheckAnswer) -> WorksheetAnswer:
    """The sheet of a checked car: what is against it, and what is only advised. A wheelset aboard is asked
    for as well; what lies on a shelf is not."""
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    wants = list(wants_of(index))
    grouped: dict[tuple[str, str], list[Want]] = {}
    also: dict[tuple[str, str, str], AlsoWanted] = {}
    for want in wants:
        if want.is_reading:
            grouped.setdefault((want.part.key, want.attribute.name), []).append(want)
        else:
            told = _also(want)
            also.setdefault((told.sort, told.part, told.label), told)
    limits = _limits(index)
    rows = [_row(group, limits, index) for group in grouped.values()]
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


def _also(want: Want) -> AlsoWanted:
    attribute, part = want.attribute, want.part
    why = "not on record" if want.why == NEVER else want.why
    if part.kind in MOVE_KINDS:
        sort, where = "statement", "the move file"
    elif attribute.type in ("test", "paper"):
        sort, where = attribute.type, f"`{attribute.type}s:` of the record"
    elif attribute.derived:
        sort, where = "figure", "worked out from readings, once they are on record"
    else:
        sort, where = "description", "the parts of the record, undated"
    return AlsoWanted(sort, part_words(part), want.label, why, where)


def _limits(index: JudgementIndex) -> dict[tuple[str, str], dict[str, None]]:
    """What the criteria that apply, or may apply, ask of each attribute of each part itself."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    for finding in index.judgement.findings:
        if finding.verdict == "not applicable":
            continue
        within = finding.criterion.read_within
        for leaf in index.compiled(finding.criterion).leaves:
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
    group: list[Want], limits: dict[tuple[str, str], dict[str, None]], index: JudgementIndex
) -> tuple[tuple[int, int, int, int, int], WantedReading]:
    part, attribute = group[0].part, group[0].attribute
    standing = index.judgement.situation.standing
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
        who=f"someone whom {index.judgement.move.host} accepts" if any(want.shop for want in group) else "",
        limits=tuple(limits.get((part.key, attribute.name), {})),
        measured=attribute.measured,
        tool=attribute.tool,
        last=last,
    )
    names = list(index.vocabulary.kinds[part.kind].attributes)
    return (
        STATIONS.index(station),
        _ACCESS.index(attribute.access) if station in ("underneath", "carried spares") else 0,
        place_along(part, station, standing),
        index.order[part.key],
        names.index(attribute.name),
    ), row
