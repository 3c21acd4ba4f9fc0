"""The answer to *plan* as a page: what to do, in which order, by when; and what is lacking if that is not enough."""

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from carknocker.dossier.looked_at import not_yet_looked_at
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.restrictions import restriction_words
from carknocker.page.model import Block, Bullets, Emphasized, Item, Page, Paragraph, Rows, Section, Tone, tone_of
from carknocker.questions.plan.model import Plan, Step, TruckOut
from carknocker.vocabulary import Hazard
from carknocker.wording.cautions import cautions
from carknocker.wording.outcomes import limits_sentence, outcome_words
from carknocker.wording.parts import car_title, compact_labels

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
    """The answer in one line."""
    move = plan.check.judgement.move
    if not plan.suffices and plan.car_ready:
        car = f"by {plan.ready_on.isoformat()}" if plan.steps else "as it stands"
        number = len(plan.lacks)
        things = "a thing about it stands" if number == 1 else f"{number} things about it stand"
        return Emphasized(
            "NOT ON THIS MOVE",
            f": the car can be ready {car}, but the move as stated can't be made; {things} in the way.",
        )
    if not plan.suffices and plan.steps and plan.only_not_shown:
        number = len(plan.lacks)
        lacking = "1 item is" if number == 1 else f"{number} items are"
        return Emphasized(
            "LOOK, MEASURE AND WRITE DOWN FIRST",
            f": no part is known to be bad; after the steps below {lacking} still not shown.",
        )
    if not plan.suffices:
        return Emphasized(
            "NO WORK ON OFFER SUFFICES",
            f": {len(plan.lacks)} thing{plural(len(plan.lacks))} would still stand in the way.",
        )
    limited = limits_sentence(plan.check.judgement.rulebook)
    limits = f" {limited}" if limited else ""
    if not plan.steps:
        return Emphasized("NOTHING TO DO", f": {plan.outcome.upper()} as it stands; the host decides.{limits}")
    jobs = f"{len(plan.jobs)} job{plural(len(plan.jobs))}" if plan.jobs else "no work, but readings, tests or papers"
    jobs += _if_good(plan)
    if plan.in_time:
        spare = (move.out - plan.ready_on).days
        left = f"{spare} day{plural(spare)} before departure" if spare else "the day of departure"
        ready = f"{plan.outcome.upper()} ON {plan.ready_on.isoformat()}"
        return Emphasized(ready, f", {left}: {jobs}; the host decides.{limits}")
    late = (plan.ready_on - move.out).days
    ready = f"{plan.outcome} on {plan.ready_on.isoformat()}"
    return Emphasized("TOO LATE", f": {ready}, {late} day{plural(late)} after departure: {jobs}.{limits}")


def plural(number: int) -> str:
    """The plural ending for this number of things: `s` or nothing."""
    return "" if number == 1 else "s"


def plan_page(plan: Plan) -> Page:
    """The page of a plan. Empty sections are left out."""
    car = plan.check.judgement.car
    title = car_title(car)
    sections = (
        _short(plan),
        _steps(plan),
        _lacks(plan),
        *(_truck(one) for one in plan.trucks_out),
        _after(plan),
        _texts("As good by number and price", (", ".join(words) for words in plan.others)),
        _texts("Looked at and not offered", (f"{o.work} at {o.label}: {o.reason}" for o in plan.not_offered)),
        _texts("Not priced", plan.unpriced),
        _texts("To be known about this plan", (*plan.provisos, *plan.notes)),
        Section("Cautions", (Bullets(cautions_of(plan.steps)),)),
    )
    return Page(title, verdict_words(plan), _tone(plan), tuple(section for section in sections if section is not None))


def _tone(plan: Plan) -> Tone:
    if not plan.suffices:
        return "bad"
    return tone_of(plan.outcome, complete=plan.check.complete) if plan.in_time else "care"


def _short(plan: Plan) -> Section:
    move, check = plan.check.judgement.move, plan.check
    looked_at = not_yet_looked_at(JudgementIndex(check.judgement))
    begin = "no fault was found so far: start with this sheet, `carknocker worksheet CAR`"
    rows = [
        *([] if looked_at is None else [("first", begin)]),
        ("now", f"{outcome_words(check.judgement)}, as of {check.day.isoformat()}"),
        ("move", f"{move.host}, out {move.out.isoformat()}, back {move.back.isoformat()}"),
        ("work", "; ".join(_jobs(plan)) or "none"),
        (
            "ready" if plan.car_ready else "all this done",
            f"{plan.ready_on.isoformat()} at the end of the day{_if_good(plan)}, with hands for all that can be done "
            "at once",
        ),
    ]
    if plan.notice:
        rows.append(("notice", f"the host wants {plan.notice} days between request and departure"))
    if plan.car_ready:
        rows.append(("first departure", f"{plan.earliest_departure.isoformat()}, by work and notice"))
    if plan.hours is not None:
        rows.append(("hours", f"{number_words(plan.hours)}, of what is priced"))
    if plan.cost is not None:
        rows.append(("cost", f"{money_words(plan.cost, plan.currency)}, of what is priced"))
    clears = "suffices" if plan.suffices else "clears as much"
    minimal = f"no smaller set of the work on offer {clears}" if plan.proven else "not proven to be the smallest"
    rows.append(("judged", f"{plan.judged} hypothetical cars: {minimal}"))
    return Section("In short", (Rows(tuple(rows)),))


def _if_good(plan: Plan) -> str:
    """What the day depends on where parts are not on record."""
    return ", if what is found is good" if any(step.sort == "look" for step in plan.steps) else ""


def _jobs(plan: Plan) -> Iterable[str]:
    counted: dict[str, int] = {}
    for job in plan.jobs:
        counted[job.work] = counted.get(job.work, 0) + 1
    return (f"{number} × {work}" if number > 1 else work for work, number in counted.items())


def _steps(plan: Plan) -> Section | None:
    if not plan.steps:
        return None
    path = [str(step.number) for step in plan.steps if step.critical]
    blocks: list[Block | Item] = [_step(step, plan.currency) for step in plan.steps]
    blocks.append(Paragraph(f"The steps that decide the day: {', '.join(path)}.", strong=True))
    return Section("What to do, in this order", tuple(blocks))


def _step(step: Step, currency: str) -> Item:
    rows = [("when", days_words(step.first, step.last) + (": it decides the day" if step.critical else ""))]
    if step.after:
        rows.append(("after", "step" + plural(len(step.after)) + " " + ", ".join(map(str, step.after))))
    if step.lead:
        rows.append(("wait", f"{step.lead:,} day{plural(step.lead)} until the part or the shop is there"))
    if step.not_before is not None:
        rows.append(
            ("not before", f"{step.not_before.isoformat()}: earlier, it would be too old by the end of the move")
        )
    rows.extend(("clears" if step.sort == "job" else "for", why) for why in step.why)
    rows.extend(("detail", detail) for detail in step.details)
    if step.hours is not None or step.cost is not None:
        told = [f"{number_words(step.hours)} hours"] if step.hours is not None else []
        told += [f"cost {money_words(step.cost, currency)}"] if step.cost is not None else []
        rows.append(("price", ", ".join(told)))
    where = "" if step.where and step.where in step.what else f" ({step.where})"
    return Item(f"{step.what[:1].upper()}{step.what[1:]}{where}", (Rows(tuple(rows)),), step.number)


def _lacks(plan: Plan) -> Section | None:
    if not plan.lacks:
        return None
    alike: dict[tuple[str, str], list[str]] = {}
    for one in plan.lacks:
        alike.setdefault((one.title, one.reason), []).append(one.label)
    lines = (f"{', '.join(labels)}: {title}: {reason}" for (title, reason), labels in alike.items())
    return _texts("What is lacking even then", lines)


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
    return _texts("What stays after it", lines)


def _texts(heading: str, texts: Iterable[str]) -> Section | None:
    lines = tuple(texts)
    return Section(heading, (Bullets(lines),)) if lines else None
