"""The lift sheet as a page: the cautions in a box on top, then each way to lift with its worked lines."""

from carknocker.dossier.writing.page import Block, Box, Bullets, Item, Page, Paragraph, Rows, Section, Tone
from carknocker.judgement.wording import value_words
from carknocker.questions.lift.lift import LiftAnswer
from carknocker.questions.why.words import attribute_words
from carknocker.record.model import Evidence
from carknocker.workings.lift_statics import CRITICAL_FROM
from carknocker.workings.lifting import LiftCase
from carknocker.workings.result import inches, number, written

FIGURES_ONLY = (
    "These are figures. They allow no lift: a competent person does, who has looked at the car, the gear and the "
    "ground."
)


def lift_page(answer: LiftAnswer) -> Page:
    """The sheet of one end."""
    sheet, car = answer.sheet, answer.car
    stopped = sum(bool(case.stops) for case in sheet.cases)
    name = " ".join(word for word in (car.mark, car.name) if word)
    sections = [
        Section("Before anything is lifted", (Box("CAUTIONS", sheet.cautions), Paragraph(FIGURES_ONLY, strong=True))),
        Section("What was taken", (Rows(_taken(answer)),)),
        Section("Ways to lift", (Bullets((sheet.body.line,)), *(_case(case) for case in sheet.cases))),
        _crib(answer),
    ]
    return Page(
        f"Lift sheet, {answer.end} end of {name}", _verdict(len(sheet.cases), stopped), _tone(answer), tuple(sections)
    )


def _verdict(cases: int, stopped: int) -> str:
    if not stopped:
        return f"Figures for {cases} ways to lift. None of them goes past a rating."
    if stopped == cases:
        return f"DO NOT LIFT with this gear: each of the {cases} ways goes past what is allowed."
    return f"{stopped} of {cases} ways to lift go past what is allowed: they are marked MUST NOT."


def _tone(answer: LiftAnswer) -> Tone:
    sheet = answer.sheet
    return "bad" if sheet.crib_stops or all(case.stops for case in sheet.cases) else "care"


def _taken(answer: LiftAnswer) -> tuple[tuple[str, str], ...]:
    request, plan = answer.request, answer.plan
    tilting = request.tilting
    rows = [(_weight_label(one), _weight_words(one)) for one in answer.weights]
    if request.weights.on_near is None:
        rows.append(("body", "its halves are taken as equal, as the plan says"))
    rows.extend(
        (
            f"lifted at the {point.name}",
            f"{inches(point.beyond)} beyond the truck center, rated {_weight(point.rating)} by {point.rated_by}",
        )
        for point in request.points
    )
    rows.append(
        ("crane", f"{_weight(request.crane_rating)} at the radius of this lift; rigging {_weight(plan.rigging)}")
    )
    sling = request.sling
    legs = f"{sling.legs} leg{'' if sling.legs == 1 else 's'} at {number(sling.angle)}° from the level"
    rows.append(("sling", f"{legs}, {_weight(sling.rating)} a leg upright"))
    crib = request.crib
    base = f"{inches(crib.height)} high on a base of {inches(crib.base)}"
    rows.append(("crib", f"{crib.count} of {crib.timbers} timbers laid {crib.pattern}, {base}"))
    rows.append(
        ("lengths", f"truck centers {inches(tilting.centers)}, far end {inches(tilting.overhang)} beyond its truck")
    )
    rows.append(("to be cleared", f"truck {inches(tilting.truck_height)} high, by {inches(request.margin)} or more"))
    if len(request.points) == 1:
        rows.append(("coupler", "not worked out: nobody says in the plan that it may be lifted at for this lift"))
    rows.append(("files", ", ".join(file for file in (answer.car.file, answer.plan_file) if file)))
    return tuple(rows)


def _weight(amount: object) -> str:
    return written("weight", amount)  # type: ignore[arg-type]


def _weight_label(evidence: Evidence) -> str:
    kind = evidence.part.split(" ")[0]
    label = attribute_words(kind, evidence.attribute)
    return label if evidence.part == "car" else f"{evidence.part}: {label}"


def _weight_words(evidence: Evidence) -> str:
    words = [value_words(evidence.value)]
    if evidence.on is not None:
        words.append(evidence.on.isoformat())
    if evidence.by is not None:
        words.append(f"{evidence.by.full_name or evidence.by.name} ({evidence.by.role})")
    return ", ".join(words)


def _case(case: LiftCase) -> Item:
    truck = "truck released, left on the rail" if case.truck == "released" else "truck locked on, lifted with the body"
    rows: list[tuple[str, str]] = [("MUST NOT", f"{stop[:1].upper()}{stop[1:]}.") for stop in case.stops]
    if case.critical:
        rows.append(
            ("critical", f"over {number(CRITICAL_FROM * 100)} % of the crane's rating: plan it as a critical lift")
        )
    rows.extend(_labelled(case))
    blocks: list[Block] = [Rows(tuple(rows))]
    return Item(f"At the {case.point.name}, {truck}", tuple(blocks))


def _labelled(case: LiftCase) -> list[tuple[str, str]]:
    rows = [
        ("at the hook", case.load.line),
        ("far truck", case.standing.line),
        ("crane", case.crane_share.line),
        ("sling leg", case.leg_tension.line),
        ("leg's share", case.leg_share.line),
        ("pulls in by", case.pull_inwards.line),
    ]
    if case.rise is not None:
        rows.append(("rise", case.rise.line))
    if case.far_end is not None:
        rows.append(("far end dips", case.far_end.dip.line))
        rows.append(("leaves", case.far_end.left.line))
    return rows


def _crib(answer: LiftAnswer) -> Section:
    sheet = answer.sheet
    rows = [("MUST NOT", f"{stop[:1].upper()}{stop[1:]}.") for stop in sheet.crib_stops]
    rows.extend((("share", f"heaviest way, each crib: {sheet.crib_share.line}"), ("height", sheet.crib_limit.line)))
    return Section("Crib", (Rows(tuple(rows)),))
