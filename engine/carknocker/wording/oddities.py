"""What is odd about a reading, a description or another entry, in words, and what settles it."""

from datetime import date

from carknocker.judgement.oddities import (
    AllAlike,
    BadFact,
    ClauseFails,
    Condemned,
    EntryOddity,
    FinerThanGauge,
    FinerThanTool,
    FirstWheels,
    GotBetter,
    LongDrop,
    MountedAndChecked,
    Moved,
    NotAsCut,
    OddAcceptance,
    OddDrop,
    OddDue,
    OddFact,
    Oddity,
    OddNumber,
    OddPaper,
    OneCertificate,
    OutOfReach,
    OutsideUsual,
    PassedAfterFailed,
    ReadBeforeMade,
    ReconditionedAfterMounting,
    TestedBeforeWork,
    TruckAndCarApart,
    TrucksApart,
    UnderTheCarAlready,
    UnknownGauge,
    WornTooFast,
)
from carknocker.judgement.refused_tests import RefusedTest
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import NO_END, Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.possible_values import in_range
from carknocker.record.value_words import value_words
from carknocker.record.values import PressureDrop
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import MAINTENANCE_DONE_ON, MOUNTING_CHECK
from carknocker.wording.parts import attribute_words

_READ_AGAIN = "read it again"
_MOST_JOBS = 3


def settled_by(odd: Oddity) -> str:
    """What settles a doubt. What was certain before damage was found can only be read again."""
    if isinstance(odd, ClauseFails) and odd.found_since:
        return _READ_AGAIN
    if isinstance(odd, PassedAfterFailed):
        return (
            f"put it right{_jobs(odd.jobs)} and test it again; or `sure: WHY` beside the passed test, which says what "
            "failed it"
        )
    if isinstance(odd, GotBetter) and odd.attribute.defect and not odd.attribute.wears:
        return (
            f"put down the job that mended it{_jobs(odd.jobs)}, or have it mended and read it again; or write "
            "`sure: WHY`, which says what it was (by somebody whom the host accepts, where such a person found it)"
        )
    if isinstance(odd, Condemned):
        return (
            f"put down the job that changed it{_jobs(odd.jobs)}, have it read by somebody whom the host "
            "accepts or by a second reader, or write `sure: WHY`"
        )
    return f"{_READ_AGAIN}, or have a second reader read it, or write `sure: WHY`"


def _jobs(jobs: tuple[str, ...]) -> str:
    """The first jobs that do it: ` (seal renewed, bearing renewed or bearing reconditioned)`."""
    named = [f"`{job}`" for job in jobs[:_MOST_JOBS]]
    if not named:
        return ""
    most = f"{', '.join(named[:-1])} or {named[-1]}" if len(named) > 1 else named[0]
    return f" ({most})" if len(jobs) <= len(named) else f" ({', '.join(named)} or other work on it)"


def oddity_words(odd: Oddity) -> str:
    """What is odd: `rim thickness was 1-1/4 in on 2025-09-01 and is 1-1/2 in on 2026-09-01, with no work between`."""
    match odd:
        case ClauseFails(says):
            return says
        case GotBetter(attribute, earlier, later):
            mends = " that mends it" if attribute.defect else ""
            was, now = _on_its_day(earlier), _on_its_day(later)
            return f"{attribute.short_label} was {was} and is {now}, with no work{mends} between"
        case Condemned(attribute, earlier, later):
            was, now = f"{_on_its_day(earlier)}{_by(earlier)}", f"{_on_its_day(later)}{_by(later)}"
            return (
                f"{attribute.short_label} was {was}, past its limit, and is {now}, with no work between that changes it"
            )
        case PassedAfterFailed(attribute, earlier, later):
            was, now = (f"{_on_its_day(one)}{_method(one)}" for one in (earlier, later))
            return f"{attribute.short_label} {was}, and {now}, with no work between that puts it right"
        case Moved(attribute, earlier, later):
            was, now = _on_its_day(earlier), _on_its_day(later)
            return f"{attribute.short_label} was {was} and is {now}, with no work between; or a wheel moved on its axle"
        case NotAsCut(attribute, earlier, later, job, cut):
            was, now = _on_its_day(earlier), _on_its_day(later)
            return f"{attribute.short_label} was {was} and is {now}, after a cut of {write_quantity(cut)} ({job.id})"
        case WornTooFast(attribute, earlier, later, miles):
            was, now = _on_its_day(earlier), _on_its_day(later)
            run = write_quantity(Quantity.of("distance", miles, "mi"))
            return f"{attribute.short_label} {was}, {now}: no wheel wears so in {run}; misread, or work is missing"
        case OutOfReach(reading, attribute):
            figure = f"{attribute.short_label} {_on_its_day(reading)}"
            return f"{figure} can't be read with access `{', '.join(reading.access)}`; it takes `{attribute.access}`"
        case FinerThanGauge(reading, gauge):
            step = "" if gauge.reads_to is None else write_quantity(gauge.reads_to)
            return f"{_named(reading)} {_on_its_day(reading)} is finer than gauge {gauge.name} reads, {step}"
        case FinerThanTool(reading, attribute):
            step = "" if attribute.reads_to is None else write_quantity(attribute.reads_to)
            figure = f"{attribute.short_label} {_on_its_day(reading)}"
            if reading.gauge is not None:
                name = reading.gauge.name
                return (
                    f"{figure} is finer than the usual tool reads, {step}: say what gauge {name} reads to (`reads_to`)"
                )
            return f"{figure} is finer than is read without a gauge of its own, {step}: name the gauge"
        case OutsideUsual(reading, attribute, usual, days):
            return f"{attribute.short_label} {_on_its_day(reading)}; usual is {in_range(usual, days)}"
        case LongDrop(reading, attribute):
            minutes = write_quantity(reading.value.minutes) if isinstance(reading.value, PressureDrop) else ""
            return f"{attribute.short_label} taken over {minutes}; one is usual"
        case OddDrop(reading, attribute):
            before = write_quantity(reading.value.before) if isinstance(reading.value, PressureDrop) else ""
            return f"{attribute.short_label} taken from {before}; from 50 psi to 130 psi is usual"
        case MountedAndChecked(mounted, check):
            checked = "" if check.on is None else check.on.isoformat()
            return f"mounted {value_words(mounted.value)}, and its mounting check is of {checked}"
        case UnderTheCarAlready(told, on, since):
            what = "its mounting check is" if told.attribute == MOUNTING_CHECK else "its wheels were mounted"
            day = f"of {on.isoformat()}" if told.attribute == MOUNTING_CHECK else on.isoformat()
            return f"{what} {day}, and the log has it under the car since {since.isoformat()}"
        case ReconditionedAfterMounting(reconditioned, mounted):
            was, wheels = value_words(reconditioned.value), value_words(mounted.value)
            return f"reconditioned {was}, after its wheels were mounted {wheels}; nothing says when it was put on"
        case ReadBeforeMade(reading, mark):
            seen = "" if reading.on is None else reading.on.isoformat()
            return f"{_named(reading)} read {seen}, and {_named(mark)} is {value_words(mark.value)}"
        case TestedBeforeWork(test, work):
            made, done = "" if test.on is None else test.on.isoformat(), value_words(work.value)
            if work.attribute == MAINTENANCE_DONE_ON:
                return f"made {made}, and brake maintenance was done {done}: the brake is tested anew after it"
            return f"made {made}, and the car was rebuilt {done}: a rebuilt car is tested anew"
        case TrucksApart(this, other):
            return f"this truck was built {value_words(this.value)}, the other {value_words(other.value)}"
        case TruckAndCarApart(truck, car):
            return f"the truck was built {value_words(truck.value)}, the car {value_words(car.value)}"
        case FirstWheels(mounted, car):
            return f"no replacement, and mounted {value_words(mounted.value)} under a car of {value_words(car.value)}"


def _on_its_day(evidence: Evidence) -> str:
    """A value with its day: `1-1/4 in on 2025-09-01`."""
    on = "" if evidence.on is None else f" on {evidence.on.isoformat()}"
    return f"{value_words(evidence.value)}{on}"


def _method(test: Evidence) -> str:
    """How a test was made, where its facts say so: ` (ultrasonic)`."""
    attribute = load_vocabulary().attribute(kind_of_key(test.part), test.attribute)
    choices = {} if attribute is None else load_vocabulary().facts_of(attribute)
    said = [value_words(value) for name, value in test.facts.items() if name in choices and choices[name].one_of]
    return f" ({', '.join(said)})" if said else ""


def _by(evidence: Evidence) -> str:
    return "" if evidence.by is None else f" ({evidence.by.name})"


def _named(evidence: Evidence) -> str:
    return evidence.attribute.replace("_", " ")


def entry_oddity_words(odd: EntryOddity) -> str:
    """What is odd or bad about an entry beside the readings: `gauge G-2: due 2037-03-01; usual is …`."""
    match odd:
        case OddDue(gauge, usual, days):
            due = "" if gauge.due is None else "never" if gauge.due == NO_END else gauge.due.isoformat()
            return f"gauge {gauge.name}: due {due}; usual is {in_range(usual, days)}"
        case UnknownGauge(gauge, near):
            like = f" (nearest: {near})" if near else ""
            return f"gauge {gauge.name}: `{gauge.kind}` is no kind that is known{like}, so that it passes for any tool"
        case OddAcceptance(person, usual, days):
            until = "" if person.until is None else _last_day(person.until)
            return f"{person.name}: accepted {until}; usual is {in_range(usual, days)}"
        case OddPaper(paper, usual, days):
            start = value_words(paper.facts["from"])
            until = "" if paper.until is None else _last_day(paper.until)
            return f"the {_entry_label(paper)}: from {start} {until}; usual is {in_range(usual, days)}"
        case OddFact(test, fact, usual, days):
            said = value_words(test.facts[fact.name])
            return f"{_of_test(test)}: {fact.short_label} {said}; usual is {in_range(usual, days)}"
        case BadFact(test, fact):
            return f"{_of_test(test)}: {fact.short_label} {value_words(test.facts[fact.name])}"
        case OneCertificate(test, fact, other):
            said = f"{fact.short_label} {value_words(test.facts[fact.name])}"
            return f"{_of_test(test)}: {said}, the same as that of {other.on}"
        case OddNumber(spare, key, number, usual):
            return f"the spare {spare.name}: {number} {key}; usual is {in_range(usual)}"
        case AllAlike(reading, wheels):
            said = value_words(reading.value)
            return f"{reading.sheet}: all {wheels} wheels have a rim of {said}, and one and the same flange"


def refused_test_words(one: RefusedTest) -> str:
    """`the single-car brake test of 2026-05-20 says passed, and leakage on test 30 psi/min: counted as failed, by
    us-federal/brake-pipe-leakage`."""
    said = f"{one.fact.short_label} {value_words(one.test.facts[one.fact.name])}"
    by = "" if one.limit is None else f", by {one.limit.id}"
    return f"{_of_test(one.test)} says passed, and {said}: counted as failed{by}"


def entry_remedy(odd: EntryOddity) -> str:
    """What settles the doubt about an entry beside the readings."""
    if isinstance(odd, AllAlike):
        return "measured, or copied? If they are alike, write them once, under `all`"
    return "correct it, or write `sure: WHY`"


def _last_day(until: date) -> str:
    return "with no end" if until == NO_END else f"until {until.isoformat()}"


def _of_test(test: Evidence) -> str:
    return f"the {_entry_label(test)}" + ("" if test.on is None else f" of {test.on.isoformat()}")


def _entry_label(entry: Evidence) -> str:
    return attribute_words(kind_of_key(entry.part), entry.attribute)
