"""The answer to *plan* as a page: what to do, in which order, by when; and what is lacking if that is not enough."""

from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction

from carknocker.documents import listed
from carknocker.dossier.looked_at import LookedAt, not_yet_looked_at, outcome_word
from carknocker.dossier.restrictions import restricted_to
from carknocker.dossier.sheet_head import head_with_outcome
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.restrictions import restriction_words
from carknocker.page.model import Blanks, Block, Bullets, Emphasized, Item, Page, Paragraph, Rows, Section
from carknocker.questions.plan.model import Plan, Step, TruckOut
from carknocker.vocabulary import Hazard
from carknocker.wording.cautions import cautions
from carknocker.wording.next_steps import BY_COMMAND, NextSteps
from carknocker.wording.outcomes import limits_sentence, outcome_words
from carknocker.wording.parts import car_title, compact_labels
from carknocker.wording.phrases import counted
from carknocker.wording.sources import cite

_AIR_STAGES = ("brakes", "adjust heights, clearances and travel")


def number_words(amount: Fraction) -> str:
    """`1,200`, `7.5`: at most two decimal places."""
    if amount.denominator == 1:
        return f"{amount.numerator:,}"
    hundredths = round(amount * 100)
    return f"{hundredths // 100:,}.{hundredths % 100:02}".rstrip("0").rstrip(".")


def money_words(amount: Fraction, currency: str) -> str:
    """`1,200 dollars`; without a currency the number alone."""
    return f"{number_words(amount)} {currency}".rstrip()


def days_words(first: date, last: date) -> str:
    """One day, or the first and the last."""
    return first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"


def cautions_of(steps: Iterable[Step]) -> tuple[str, ...]:
    """The standing cautions, and those for the work of these steps."""
    hazards: set[Hazard] = set()
    for step in steps:
        hazards.update(step.hazards)
        if step.stage in _AIR_STAGES:
            hazards.add("air")
    return cautions(hazards)


def verdict_words(plan: Plan) -> str:
    """The answer in one line. It never begins with what the car might be: a plan is no clearance."""
    index = JudgementIndex(plan.check.judgement)
    looked_at, now = not_yet_looked_at(index), outcome_word(index)
    if looked_at is not None:
        now = f"{now} ({looked_at.settled} of {looked_at.of} systems settled)"
    return Emphasized("PLAN", f": the car is {now}; {_said(plan, looked_at)}.")


def _said(plan: Plan, looked_at: LookedAt | None) -> str:
    number = len(plan.lacks)
    items = f"{number} item{plural(number)}"
    if not plan.suffices and plan.car_ready:
        can = f"it can be ready {_when(plan)}{_if(plan)}" if plan.steps else "the car itself needs nothing"
        keep = f"keep{'s' if number == 1 else ''}"
        return f"{can}; NOT ON THIS MOVE: {items} about the move as stated {keep} it from moving"
    if not plan.suffices and plan.steps and (plan.only_not_shown or looked_at is not None):
        are = "is" if number == 1 else "are"
        first = "LOOK, MEASURE AND WRITE DOWN FIRST: no part is known to be bad"
        left = "still not shown" if plan.only_not_shown else "still open"
        return f"{first}; after the steps below {items} {are} {left}"
    if not plan.suffices:
        return f"NO WORK ON OFFER SUFFICES: {items} would still keep it from moving"
    if not plan.steps:
        return "NOTHING TO DO"
    said = f"{_outcome_after(plan)} {_when(plan)}{_if(plan)}"
    days = abs((plan.check.judgement.move.out - plan.ready_on).days)
    if plan.too_late:
        return f"{said}: {days} day{plural(days)} after departure, TOO LATE for this move"
    if plan.ends_on_departure:
        return f"{said}: ON THE DAY OF DEPARTURE, in time only if {_last_day_steps(plan)} done before the car leaves"
    return f"{said}: {days} day{plural(days)} before departure" if plan.dated else said


def _outcome_after(plan: Plan) -> str:
    """`READY`, `READY WITH RESTRICTIONS (70 mph)`."""
    restricted = restricted_to(JudgementIndex(plan.after))
    return f"{plan.outcome.upper()} ({restricted})" if restricted else plan.outcome.upper()


def _last_day_steps(plan: Plan) -> str:
    """`step 4 is`, `steps 14, 15 are`: those that are done on the last day."""
    numbers = [str(step.number) for step in plan.steps if step.last == plan.ready_on]
    return f"step{plural(len(numbers))} {', '.join(numbers)} {'is' if len(numbers) == 1 else 'are'}"


def beside_verdict(plan: Plan) -> tuple[str, ...]:
    """What limits the answer, one sentence each: parts that must arrive, law that is not at hand, who decides."""
    said: list[str] = []
    if not plan.dated:
        said.extend(_after_arrival(plan))
        if not plan.too_late and not plan.ends_on_departure:
            out = plan.check.judgement.move.out.isoformat()
            said.append(f"In time for departure on {out} only if {_arrive_by(plan)}.")
    limited = limits_sentence(plan.check.judgement.rulebook)
    if limited and (plan.suffices or plan.car_ready):
        said.append(f"Ready: {limited[:1].lower()}{limited[1:]}")
    return (*said, "A plan, not a clearance: the host decides.")


def _when(plan: Plan) -> str:
    return (
        f"{'on' if plan.dated else 'not before'} {plan.ready_on.isoformat()}{' at the earliest' if plan.dated else ''}"
    )


def _after_arrival(plan: Plan) -> tuple[str, ...]:
    """`Lead time of the wheelsets is not on record: from the day they arrive, the work takes 5 days.`"""
    by_days: dict[int, list[str]] = {}
    for part, days in plan.after_arrival:
        by_days.setdefault(days, []).append(_counted(plan, part))
    return tuple(
        f"Lead time of {_listed(parts)} is not on record: from the day "
        f"{'it arrives' if _single(parts) else 'they arrive'}, the work takes {counted(days, 'day')}."
        for days, parts in by_days.items()
    )


def _arriving(parts: Sequence[str]) -> str:
    """`the wheelset arrives`, `the wheelsets arrive`, `the air hose and the marker batteries arrive`."""
    return f"{_listed(parts)} arrive{'s' if _single(parts) else ''}"


def _listed(parts: Sequence[str]) -> str:
    return listed(f"the {part}" for part in parts)


def _single(parts: Sequence[str]) -> bool:
    return len(parts) == 1 and not parts[0].endswith("s")


def _counted(plan: Plan, part: str) -> str:
    waiting = sum(part in step.waits_on for step in plan.steps)
    return part if waiting < 2 or part.endswith("s") else f"{part}s"


def _arrive_by(plan: Plan) -> str:
    """The last day on which each part may arrive, for all to be done the day before departure."""
    week = plan.work_days
    last = week.before(plan.check.judgement.move.out)
    return " and ".join(
        f"{_arriving((_counted(plan, part),))} by {week.first_of(last, days).isoformat()}"
        for part, days in plan.after_arrival
    )


def _if(plan: Plan) -> str:
    """What the day depends on."""
    sorts = {step.sort for step in plan.steps}
    jobs = [f"{len(plan.jobs)} job{plural(len(plan.jobs))} {'is' if len(plan.jobs) == 1 else 'are'} done"]
    found = [word for word, sort in (("found", "look"), ("read", "reading"), ("tested", "test")) if sort in sorts]
    good = f"all that is {' and '.join((', '.join(found[:-1]), found[-1])) if len(found) > 1 else found[0]} is good"
    told = (jobs if plan.jobs else []) + ([good] if found else [])
    return f", if {' and '.join(told)}" if told else ""


def plural(number: int) -> str:
    """The plural ending for this number of things: `s` or nothing."""
    return "" if number == 1 else "s"


def plan_page(plan: Plan, steps: NextSteps = BY_COMMAND) -> Page:
    """The page of a plan. Empty sections are left out. steps: where it sends its reader on."""
    car = plan.check.judgement.car
    title = f"{car_title(car)}: plan of work"
    sections = (
        _short(plan, steps),
        _steps(plan),
        _to_fill_in(plan),
        _lacks(plan),
        *(_truck(one) for one in plan.trucks_out),
        _after(plan),
        _texts("As good by number and price", (", ".join(words) for words in plan.others)),
        _texts("Looked at and not offered", (f"{o.work} at {o.label}: {o.reason}" for o in plan.not_offered)),
        _texts("Not priced", plan.unpriced),
        _texts("Notes on this plan", (*plan.provisos, *plan.notes)),
        Section("Cautions", (Bullets(cautions_of(plan.steps)),)),
    )
    shown = tuple(section for section in sections if section is not None)
    # never the color of a finding: a plan clears no car
    return Page(
        title, verdict_words(plan), "care", shown, beside=beside_verdict(plan), head=head_with_outcome(plan.check)
    )


def _short(plan: Plan, steps: NextSteps) -> Section:
    move, check = plan.check.judgement.move, plan.check
    index = JudgementIndex(check.judgement)
    looked_at = not_yet_looked_at(index)
    now = outcome_words(check.judgement) if looked_at is None else outcome_word(index).lower()
    rows = [
        *([] if looked_at is None else [("first", first_sheet_words(check, steps))]),
        ("now", f"{now}, as of {check.day.isoformat()}"),
        ("move", f"{move.host}, out {move.out.isoformat()}, back {move.back.isoformat()}"),
        ("work", "; ".join(_jobs(plan)) or "none"),
        (
            "ready" if plan.car_ready else "all this done",
            f"{_when(plan)}, at the end of the day; assuming crews in parallel" if plan.steps else "now",
        ),
    ]
    if not plan.work_days.every_day:
        rows.append(("work days", f"{plan.work_days}; lead times and notice in calendar days"))
    wanted = _on_hand(plan)
    if wanted:
        rows.append(("on hand", wanted))
    if plan.notice:
        rows.append(("notice", f"the host wants {counted(plan.notice, 'day')} between request and departure"))
    if plan.car_ready:
        earliest = "" if plan.dated else "not before "
        rows.append(("first departure", f"{earliest}{plan.earliest_departure.isoformat()}, by work and notice"))
    if plan.hours is not None:
        rows.append(("hours", f"{number_words(plan.hours)}, of what is priced"))
    if plan.cost is not None:
        rows.append(("cost", f"{money_words(plan.cost, plan.currency)}, of what is priced"))
    clears = "is enough" if plan.suffices else "clears as much"
    minimal = f"no smaller set of work on offer {clears}" if plan.proven else "not proven to be the smallest"
    rows.append(("judged", f"{plan.judged:,} alternatives tried: {minimal}"))
    return Section("In short", (Rows(tuple(rows)),))


def first_sheet_words(check: CheckAnswer, steps: NextSteps = BY_COMMAND) -> str:
    """Where to begin with a car that nobody has looked at: one sheet of the form."""
    from carknocker.forms import form_of  # of no use to a car that was looked at

    first = next((sheet.name for sheet in form_of(check).sheets), None)
    return f"no fault was found so far: start with this sheet, {steps.to_sheet(first)}"


def _on_hand(plan: Plan) -> str:
    """Which wheelsets that go on are there already, and how many are not."""
    on_hand = [job.serial for job in plan.jobs if job.serial and not job.bought]
    bought = sum(job.bought for job in plan.jobs)
    wheelsets = len(on_hand) + bought
    if not wheelsets:
        return ""
    have = f"{len(on_hand)} of {wheelsets} wheelset{plural(wheelsets)}"
    have += f", {', '.join(on_hand)}" if on_hand else ""
    return have + (f"; {bought} to be bought" if bought else "")


def _to_fill_in(plan: Plan) -> Section | None:
    """What no record holds of a change of wheelsets, blank to be filled in."""
    if not any(job.serial for job in plan.jobs):
        return None
    blanks = [("renewed at (shop, place)", ""), ("by whom", "")]
    if any(job.bought for job in plan.jobs):
        blanks += [("ordered from", ""), ("arrives on", "")]
    return Section("Wheelsets: to be filled in", (Blanks(tuple(blanks)),))


def _jobs(plan: Plan) -> Iterable[str]:
    counted: dict[str, int] = {}
    for job in plan.jobs:
        counted[job.work] = counted.get(job.work, 0) + 1
    return (f"{number} × {work}" if number > 1 else work for work, number in counted.items())


def _steps(plan: Plan) -> Section | None:
    if not plan.steps:
        return None
    path = [str(step.number) for step in plan.steps if step.critical]
    blocks: list[Block | Item] = [step_item(step, plan) for step in plan.steps]
    arrived = "" if plan.dated else ", with all parts there"
    blocks.append(Paragraph(f"Critical path{arrived}: step{plural(len(path))} {', '.join(path)}.", strong=True))
    return Section("What to do, in this order", tuple(blocks))


def step_item(step: Step, plan: Plan) -> Item:
    """A step: when, after which, what it clears, and what is to be known for it."""
    critical = "; critical path" if step.critical else ""
    earliest = "not before " if step.earliest else ""
    rows = [("when", f"{earliest}{days_words(step.first, step.last)}{critical}")]
    if step.after:
        rows.append(("after", "step" + plural(len(step.after)) + " " + ", ".join(map(str, step.after))))
    if step.waits_on:
        rows.append(("wait", f"until {_arriving(step.waits_on)}; lead time not on record"))
    elif step.lead:
        rows.append(("wait", f"{step.lead:,} day{plural(step.lead)} until the part or the shop is there"))
    if step.not_before is not None:
        rows.append(
            ("not before", f"{step.not_before.isoformat()}: earlier, it would be too old by the end of the move")
        )
    rows.extend(("clears" if step.sort == "job" else "for", why) for why in step.why)
    if step.rules:
        rows.append(("asked by", cite(step.rules)))
    rows.extend(("detail", detail) for detail in step.details)
    if step.hours is not None or step.cost is not None:
        told = [f"{number_words(step.hours)} hours"] if step.hours is not None else []
        told += [f"cost {money_words(step.cost, plan.currency)}"] if step.cost is not None else []
        rows.append(("price", ", ".join(told)))
    where = "" if step.where and step.where in step.what else f" ({step.where})"
    return Item(f"{step.what[:1].upper()}{step.what[1:]}{where}", (Rows(tuple(rows)),), step.number)


def _lacks(plan: Plan) -> Section | None:
    if not plan.lacks:
        return None
    alike: dict[tuple[str, str], list[str]] = {}
    for one in plan.lacks:
        alike.setdefault((one.fault.words, one.reason), []).append(one.fault.subject)
    lines = (f"{compact_labels(subjects)}: {fault}: {reason}" for (fault, reason), subjects in alike.items())
    return _texts("Still lacking after this work", lines)


def _truck(one: TruckOut) -> Section:
    label = one.label[:1].upper() + one.label[1:]
    connections = one.disconnect
    if connections is None:
        words: str = Emphasized(
            "NOT RECORDED", " (`connections_to_body` of the truck): look before the lift, and write it down"
        )
    else:
        words = ", ".join(connections) or "nothing, by the record: look before the lift"
    blocks: list[Block | Item] = [
        Rows((("out for", "; ".join(one.because) or "its own inspection"), ("disconnect", words)))
    ]
    if one.due:
        blocks.append(Item("Not asked for, but due", (Bullets(one.due),)))
    if one.look_at:
        blocks.append(Item("Since it is out, look at", (Bullets(one.look_at),)))
    return Section(f"{label} out", tuple(blocks))


def _after(plan: Plan) -> Section | None:
    restrictions = dict.fromkeys(
        f"{one.restriction.sort} {restriction_words(one.restriction)}" for one in plan.after.restrictions
    )
    lines = [f"restricted: {words}" for words in restrictions]
    on_the_way: dict[tuple[str, str], list[str]] = {}
    for duty in plan.after.on_the_way:
        if duty.duty is not None:
            wanted = duty.duty.requirement
            what = wanted.test or wanted.spare or wanted.words
            on_the_way.setdefault((f"on the way: {what}", ""), []).append(duty.duty.part.label)
        elif duty.finding is not None:
            days = ", ".join(day.isoformat() for day in duty.due)
            told = (f"on the way, by {duty.by}: {duty.finding.criterion.title}", f", by {days}")
            on_the_way.setdefault(told, []).append(duty.finding.part.label)
    lines.extend(f"{words} ({compact_labels(labels)}){when}" for (words, when), labels in on_the_way.items())
    return _texts("Still in force after this work", lines)


def _texts(heading: str, texts: Iterable[str]) -> Section | None:
    lines = tuple(texts)
    return Section(heading, (Bullets(lines),)) if lines else None
