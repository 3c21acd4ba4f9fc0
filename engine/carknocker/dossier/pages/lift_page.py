"""The lift sheet as a page: the cautions in a box on top, then each way to lift with its worked lines."""

from carknocker.dossier.pages.lift_taken import taken_rows, weight_label
from carknocker.dossier.writing.page import Block, Box, Bullets, Item, Page, Paragraph, Rows, Section, Tone
from carknocker.questions.lift.lift import LiftAnswer
from carknocker.wording.car_title import car_title
from carknocker.workings.lift_geometry import StandingEnd
from carknocker.workings.lift_statics import CRITICAL_FROM
from carknocker.workings.lifting import LiftCase
from carknocker.workings.result import number

FIGURES_ONLY = (
    "These are figures. They allow no lift: a competent person does, who has looked at the car, the gear and the "
    "ground."
)


def lift_page(answer: LiftAnswer) -> Page:
    """The sheet of one end."""
    sheet, car = answer.sheet, answer.car
    stopped = sum(bool(case.stops) for case in sheet.cases)
    name = car_title(car)
    sections = [
        Section("Before anything is lifted", (Box("CAUTIONS", sheet.cautions), Paragraph(FIGURES_ONLY, strong=True))),
        *_since(answer),
        Section("What was taken", (Rows(taken_rows(answer)),)),
        Section("Ways to lift", (Bullets((sheet.body.line,)), *(_case(case) for case in sheet.cases))),
        _crib(answer),
    ]
    return Page(f"Lift sheet, {answer.end} end of {name}", _verdict(answer, stopped), _tone(answer), tuple(sections))


def _verdict(answer: LiftAnswer, stopped: int) -> str:
    cases = len(answer.sheet.cases)
    if stopped == cases:
        said = f"DO NOT LIFT with this gear: each of the {cases} ways goes past what is allowed."
    elif stopped == 1:
        said = f"1 of {cases} ways to lift goes past what is allowed: it is marked MUST NOT."
    elif stopped:
        said = f"{stopped} of {cases} ways to lift go past what is allowed: they are marked MUST NOT."
    else:
        said = f"Figures for {cases} ways to lift. None of them goes past a rating."
    if answer.sheet.crib_stops:
        said += " NOT WITH THIS CRIB."
    if answer.since:
        said += " The car was worked on since it was weighed."
    return said


def _since(answer: LiftAnswer) -> tuple[Section, ...]:
    """Dated weights say nothing of what came after them, and no rules are read that would."""
    if not answer.since:
        return ()
    lines = []
    for one in answer.since:
        at = f" ({', '.join(one.at)})" if one.at else ""
        weights = dict.fromkeys(f"{weight_label(weight)} of {weight.on}" for weight in one.weights)
        lines.append(f"{one.entry.on.isoformat()}, {one.entry.id}: {one.entry.name}{at}: after {', '.join(weights)}")
    asked = "Weigh again, or have a competent person say that the weights below still hold after this:"
    return (Section("Since it was weighed", (Paragraph(asked, strong=True), Bullets(tuple(lines)))),)


def _tone(answer: LiftAnswer) -> Tone:
    sheet = answer.sheet
    return "bad" if sheet.crib_stops or all(case.stops for case in sheet.cases) else "care"


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
        if case.far_end.over_wheels is not None:
            rows.append(("its truck", case.far_end.over_wheels.line))
        rows.append(("touches", _touches(case.far_end)))
    return rows


def _touches(end: StandingEnd) -> str:
    touched = [
        words
        for words, touches in (("the rail", end.touches), ("the outer wheels of its truck", end.touches_wheels))
        if touches
    ]
    if touched:
        return " and ".join(touched)
    return "nothing" if end.over_wheels is not None else "not the rail; its truck's wheels are not worked out"


def _crib(answer: LiftAnswer) -> Section:
    sheet = answer.sheet
    rows = [("MUST NOT", f"{stop[:1].upper()}{stop[1:]}.") for stop in sheet.crib_stops]
    rows.extend(
        (
            ("share", f"heaviest way, each crib: {sheet.crib_share.line}"),
            ("height", f"at most: {sheet.crib_limit.line}"),
            ("reach", f"blocking included, no less than: {sheet.crib_reach.line}"),
        )
    )
    return Section("Crib", (Rows(tuple(rows)),))
