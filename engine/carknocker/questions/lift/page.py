"""The lift sheet as a page: the cautions in a box at the top, then each way to lift with its worked lines."""

from fractions import Fraction

from carknocker.dossier.issue_digest import SIGNS
from carknocker.page.model import Block, Box, Bullets, Emphasized, Head, Item, Page, Paragraph, Rows, Section, Tone
from carknocker.questions.lift.ask import LaterWork, LiftAnswer
from carknocker.questions.lift.rounding import clearance_words, load_words, share_words, travel_words
from carknocker.record.model import Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.value_words import value_words
from carknocker.wording.parts import attribute_words, car_title
from carknocker.workings.formula import feet, inches, number, written
from carknocker.workings.lift_sheet import LiftCase
from carknocker.workings.lift_statics import CRITICAL_FROM, StandingEnd

_CHECKS = {
    "agree": "weights agree", "differ": Emphasized("WEIGHTS DIFFER"), "not checked": "not checked",
    "contradict": Emphasized("CONTRADICT"),
}  # fmt: skip
"""Of the weights against each other."""


def taken_rows(answer: LiftAnswer) -> tuple[tuple[str, str], ...]:
    """The data used: weights with their day and who read them, then gear, lengths and files."""
    request, plan = answer.request, answer.plan
    tilting = request.tilting
    rows = [(weight_label(one), _weight_words(one)) for one in answer.weights]
    if answer.estimated:
        rows.insert(
            0, (Emphasized("ESTIMATED"), "the gross weight is no scale weight, as the record says: take it for no more")
        )
    rows.extend((_CHECKS[one.verdict], one.words) for one in answer.checks)
    if request.weights.on_near is None:
        rows.append(("body", "its halves are taken as equal, as the plan says"))
    rows.extend(
        (
            f"lifted at the {point.name}",
            f"{_beyond(point.beyond)}, rated {_weight(point.rating)} by {point.rated_by}",
        )
        for point in request.points
    )
    rows.append(
        ("crane", f"{_weight(request.crane_rating)} at the radius of this lift; rigging {_weight(plan.rigging)}")
    )
    sling = request.sling
    legs = f"{sling.legs} leg{'' if sling.legs == 1 else 's'} at {number(sling.angle)}° from the level"
    carry = "" if sling.carrying == sling.legs else f", of which {sling.carrying} are taken to carry: the load is stiff"
    rows.append(("sling", f"{legs}{carry}, {_weight(sling.rating)} a leg upright"))
    crib = request.crib
    base = f"{inches(crib.height)} high on a base of {inches(crib.base)}"
    rows.append(("crib", f"{crib.count} of {crib.timbers} timbers laid {crib.pattern}, {base}"))
    rows.append(
        ("lengths", f"truck centers {feet(tilting.centers)}, far end {feet(tilting.overhang)} beyond its truck center")
    )
    low = f"under the lowest part, {inches(tilting.outboard_height)} over the rail"
    high = f"truck {inches(tilting.truck_height)} high, by {inches(request.margin)} or more"
    rows.append(("to be cleared", f"{high}, {low}{_named(answer.outboard_thing)}"))
    lowest = f"lowest part {inches(tilting.far_end_height)} over the rail{_named(answer.far_end_thing)}"
    rows.append(("standing end", lowest))
    if tilting.over_wheels is None:
        unknown = "how near the body comes to its outer wheels is not on record: watch them, springs and brake gear too"
        rows.append(("standing truck", unknown))
    if len(request.points) == 1:
        rows.append(("coupler", "not worked out: nobody says in the plan that it may be lifted at for this lift"))
    rows.append(("files", ", ".join(file for file in (answer.car.file, answer.plan_file) if file)))
    return tuple(rows)


def _beyond(amount: Fraction) -> str:
    return f"{inches(amount)} beyond the truck center" if amount else "at the truck center"


def _named(thing: str) -> str:
    return f" ({thing})" if thing else ""


def _weight(amount: object) -> str:
    return written("weight", amount)  # type: ignore[arg-type]


def weight_label(evidence: Evidence) -> str:
    """`truck B: weight of the truck alone`."""
    kind = kind_of_key(evidence.part)
    label = attribute_words(kind, evidence.attribute)
    return label if evidence.part == "car" else f"{evidence.part}: {label}"


def _weight_words(evidence: Evidence) -> str:
    words = [value_words(evidence.value)]
    words.append("per the car's record, undated" if evidence.on is None else evidence.on.isoformat())
    if evidence.by is not None:
        words.append(f"{evidence.by.full_name or evidence.by.name} ({evidence.by.role})")
    return ", ".join(words)


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
        Section(
            "Before anything is lifted",
            (Box("CAUTIONS", (answer.holding.words, *sheet.cautions)), Paragraph(FIGURES_ONLY, strong=True)),
        ),
        *_since(answer),
        Section("Ways to lift", (*(_case(case, answer) for case in sheet.cases), Paragraph(ROUNDED))),
        _crib(answer),
        Section("What was taken", (Rows(taken_rows(answer)),)),
        Section(
            "Worked figures, exact", (Bullets((sheet.body.line,)), *map(_worked, sheet.cases), _crib_worked(answer))
        ),
    ]
    head = Head(name, f"as of {answer.day.isoformat()}", car.digest[:SIGNS])  # no rules are read for a lift
    verdict = _verdict(answer, stopped)
    return Page(f"{name}: lift of the {answer.end} end", verdict, _tone(answer), tuple(sections), head=head)


ROUNDED = (
    "Figures as a crane or a rule shows them: loads up to the next 10 lb, ways to go up and clearances down to the "
    "next 1/16 in. The exact ones stand under Worked figures."
)


def _verdict(answer: LiftAnswer, stopped: int) -> str:
    cases = len(answer.sheet.cases)
    if stopped == cases:
        said = f" with this gear: each of the {cases} ways goes past what is allowed."
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
    return Emphasized("DO NOT LIFT", said) if stopped == cases else Emphasized("LIFT SHEET", f": {said}")


def _since(answer: LiftAnswer) -> tuple[Section, ...]:
    """Work and events after a weighing, listed for a person to judge: no rules are read for a lift. Weights that all of
    them came after are told once."""
    if not answer.since:
        return ()
    told = [(one, _weights_before(one)) for one in answer.since]
    alike = len({weights for _, weights in told}) == 1
    lines = []
    for one, weights in told:
        at = f" ({', '.join(one.at)})" if one.at else ""
        after = "" if alike else f": after {weights}"
        lines.append(f"{one.entry.on.isoformat()}, {one.entry.id}: {one.entry.name}{at}{after}")
    taken = f" Taken before it: {told[0][1]}." if alike else ""
    asked = f"Weigh again, or have a competent person say that the weights still hold after this.{taken}"
    return (Section("Since it was weighed", (Paragraph(asked, strong=True), Bullets(tuple(lines)))),)


def _weights_before(one: LaterWork) -> str:
    return ", ".join(dict.fromkeys(f"{weight_label(weight)} of {weight.on}" for weight in one.weights))


def _tone(answer: LiftAnswer) -> Tone:
    sheet = answer.sheet
    return "bad" if sheet.crib_stops or all(case.stops for case in sheet.cases) else "care"


def _heading(case: LiftCase) -> str:
    truck = "truck released, left on the rail" if case.truck == "released" else "truck locked on, lifted with the body"
    return f"At the {case.point.name}, {truck}"


def _case(case: LiftCase, answer: LiftAnswer) -> Item:
    rows: list[tuple[str, str]] = [(Emphasized("MUST NOT"), f"{stop[:1].upper()}{stop[1:]}.") for stop in case.stops]
    if case.critical:
        rows.append(
            ("critical", f"over {number(CRITICAL_FROM * 100)} % of the crane's rating: plan it as a critical lift")
        )
    rows.extend(_rounded(case, answer))
    blocks: list[Block] = [Rows(tuple(rows))]
    return Item(_heading(case), tuple(blocks))


def _rounded(case: LiftCase, answer: LiftAnswer) -> list[tuple[str, str]]:
    request = answer.request
    rows = [
        ("at the hook", f"{load_words(case.load)}, rigging not counted"),
        ("far truck", f"{load_words(case.standing)} on the rail"),
        ("crane", f"{share_words(case.crane_share)} of {_weight(request.crane_rating)}, rigging included"),
        (
            "sling leg",
            f"{load_words(case.leg_tension)}, {share_words(case.leg_share)} of {_weight(request.sling.rating)}",
        ),
        ("pulls in by", load_words(case.pull_inwards)),
    ]
    if case.rise is not None:
        rows.append(("rise", f"{travel_words(case.rise)} at the {case.point.name}"))
    if case.far_end is not None:
        rows.append(("far end dips", travel_words(case.far_end.dip)))
        rows.append(("leaves", f"{clearance_words(case.far_end.left)} over the rail"))
        if case.far_end.over_wheels is not None:
            rows.append(("its truck", f"{clearance_words(case.far_end.over_wheels)} over the outer wheels"))
        rows.append(("touches", _touches(case.far_end)))
    return rows


def _worked(case: LiftCase) -> Item:
    """The worked lines of one way to lift."""
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
    return Item(_heading(case), (Rows(tuple(rows)),))


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
    rows: list[tuple[str, str]] = [
        (Emphasized("MUST NOT"), f"{stop[:1].upper()}{stop[1:]}.") for stop in sheet.crib_stops
    ]
    rows.extend(
        (
            ("share", f"{share_words(sheet.crib_share)} of its capacity, each crib, the heaviest way"),
            ("height", f"{inches(answer.request.crib.height)} planned, at most {clearance_words(sheet.crib_limit)}"),
            ("reach", f"{travel_words(sheet.crib_reach)} or more, blocking included"),
        )
    )
    return Section("Crib", (Rows(tuple(rows)),))


def _crib_worked(answer: LiftAnswer) -> Item:
    sheet = answer.sheet
    rows = (("share", sheet.crib_share.line), ("height", sheet.crib_limit.line), ("reach", sheet.crib_reach.line))
    return Item("Crib", (Rows(rows),))
