"""`order`: the sheet for the wheel shop, for a wheelset that the car needs."""

from carknocker.documents import InputRefused, Location, Problem
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Finding, Judgement
from carknocker.questions.fit import THINGS, stays_refused
from carknocker.questions.hypothetical.hypothetical import fitted_now
from carknocker.questions.sheets.order_lines import for_axle
from carknocker.questions.sheets.order_papers import papers_with
from carknocker.questions.sheets.sheet_model import SheetAnswer, SheetSection
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.vocabulary import work_to
from carknocker.wording.car_title import car_title


def order(answer: CheckAnswer, axle: int | None = None) -> SheetAnswer:
    """The sheet for a wheelset for one axle, or for each axle whose wheelset is breached in a way that another wheelset
    clears. Raises InputRefused for an axle that the car has not got."""
    judgement = answer.judgement
    car = judgement.car
    fitted = fitted_now(car)
    if axle is not None and axle not in fitted:
        found = f"axle {axle}, which the car has not got"
        expected = f"an axle from 1 to {max(fitted)}" if fitted else "a car with wheelsets on record"
        raise InputRefused((Problem(Location(car.file, 1, 1), found, expected),))
    needed = needed_at(judgement)
    axles = [axle] if axle is not None else sorted(needed)
    sections = [section for one in axles for section in for_axle(judgement, one, needed.get(one, ()))]
    sections.append(papers_with(answer, axles) if axles else _none_needed(judgement))
    move = judgement.move
    return SheetAnswer(
        title=f"{car_title(car)}: order for the wheel shop",
        for_whom=f"For a move with {move.host} from {move.out.isoformat()}; as on record on {answer.day.isoformat()}",
        as_of=answer.day,
        sections=tuple(sections),
    )


def needed_at(judgement: Judgement) -> dict[int, tuple[Finding, ...]]:
    """Axle → what refuses its wheelset for good and lists a renewal of the wheelset among its remedies: a breach, or a
    date of its build, not of a reading, that runs out before the return."""
    at = {serial: axle for axle, serial in fitted_now(judgement.car).items()}
    found: dict[int, list[Finding]] = {}
    for refusal in judgement.refusals:
        finding = refusal.finding
        if finding is None or not stays_refused(finding):
            continue
        axle = at.get(thing_key_of_wheelset(finding.part.key) or "")
        if axle is not None and _may_be_renewed(finding):
            found.setdefault(axle, []).append(finding)
    return {axle: tuple(findings) for axle, findings in sorted(found.items())}


def _may_be_renewed(finding: Finding) -> bool:
    renewed = work_to("renew a wheelset")
    return any(remedy.work == renewed for remedy in finding.criterion.remedies)


def _none_needed(judgement: Judgement) -> SheetSection:
    """That nothing is breached is no proof of a sound wheelset: what is not shown is counted."""
    notes = [
        "Nothing of a fitted wheelset that another would clear is breached, nor runs out before the return for good. "
        "Name an axle to see its sheet."
    ]
    between = [
        f"{refusal.finding.part.label}: {refusal.finding.criterion.title} ({refusal.finding.verdict}): another "
        "wheelset may clear it. `plan` and `arrange` tell at which axle."
        for refusal in judgement.refusals
        if refusal.finding is not None
        and stays_refused(refusal.finding)
        and thing_key_of_wheelset(refusal.finding.part.key) is None
        and _may_be_renewed(refusal.finding)
    ]
    notes += between
    open_ = {
        (refusal.finding.criterion.id, refusal.finding.part.key)
        for refusal in judgement.refusals
        if refusal.finding is not None and refusal.finding.part.kind in THINGS
    }
    if open_:
        number = f"{len(open_):,} thing{' is' if len(open_) == 1 else 's are'}"
        notes.append(
            f"{number} not shown yet to hold for the move on the fitted wheelsets: `worksheet` lists what to read."
        )
    heading = "No wheelset is shown to be needed" if open_ or between else "No wheelset is needed"
    return SheetSection(heading, (), tuple(notes))
