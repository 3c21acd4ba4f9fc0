"""`wheel-order`: the sheet for the wheel shop, for the wheelsets that the car needs."""

from collections.abc import Iterable, Iterator, Mapping

import msgspec
from msgspec.structs import replace

from carknocker.documents import InputRefused, Location, Problem
from carknocker.dossier.blockers import blockers_of
from carknocker.dossier.sheet_head import head_with_outcome
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.page.model import Table
from carknocker.page.sheet import SheetAnswer, SheetSection
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.part_keys import (
    axle_position_key,
    bearing_key,
    serial_of,
    truck_key,
    wheel_key,
    wheelset_key,
)
from carknocker.record.value_words import value_words
from carknocker.record.values import Figure
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary import Attribute, SheetName, load_vocabulary, sheet_lines, work_to
from carknocker.vocabulary.program_names import (
    BEARING,
    STANDARD_JOURNAL_CENTERS,
    STANDARD_JOURNAL_CENTERS_BY,
    TAKES_JOURNAL_CENTERS,
    TAPE_SIZE,
    TRUCK,
    WHEEL,
    WHEELSET,
    WHEELSET_KINDS,
)
from carknocker.whatif.hypothetical_car import as_it_stood, fitted_now
from carknocker.whatif.tape_window import tape_window, window_line
from carknocker.whatif.wheelset_fit import against_spare, stays_refused
from carknocker.whatif.work.least_work import least_work
from carknocker.whatif.work.model import BOUGHT, Job
from carknocker.whatif.work.offers import Offers, spare_wheelsets
from carknocker.whatif.work.prices import Prices
from carknocker.whatif.work.record_after import new_serial
from carknocker.whatif.work.trial import Trials
from carknocker.wording.alike_lines import alike_lines, axles_words
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.limits import requirement_words
from carknocker.wording.parts import car_title, compact_labels
from carknocker.wording.record_lines import RecordLine, listed_lines, may_apply, observed, owner_supplies, record_line
from carknocker.wording.rules import rule_words

_SHEET: SheetName = "papers with a wheelset"


def papers_with(answer: CheckAnswer, axles: Iterable[int]) -> SheetSection:
    """What must come back, the papers first: one column of boxes for each wheelset ordered; and the rules that ask a
    shop to show something of such a wheelset."""
    numbers = tuple(axles)
    one = len(numbers) == 1
    table = Table(
        "To be filled in by the shop, a column for each wheelset",
        ("box", *(f"for axle {number}" for number in numbers)),
        tuple((words, *("" for _ in numbers)) for words in _to_fill_in(answer.judgement, numbers)),
    )
    heading = f"What must come back with {'the wheelset' if one else 'each wheelset'}"
    return SheetSection(heading, (), tuple(map(rule_words, _rules(answer, numbers))), tables=(table,))


def _to_fill_in(judgement: Judgement, axles: tuple[int, ...]) -> Iterator[str]:
    """The papers by their titles, then what else a shop tells of a wheelset that the record has room for."""
    vocabulary = load_vocabulary()
    papers = vocabulary.sheets.get(_SHEET, {})
    for title, lines in papers.items():
        for line in lines:
            attribute = vocabulary.kinds[line.kind].attributes[line.attribute]
            if attribute.type == "test":
                facts = (fact.label for fact in vocabulary.facts_of(attribute).values())
                yield from (f"{title}: {attribute.label}: {one}" for one in ("day", "by whom", "result", *facts))
            else:
                yield from (f"{title}: {where}: {attribute.label}" for where in _sides(line.kind, attribute))
    told_already = {(line.kind, line.attribute) for lines in papers.values() for line in lines}
    for kind in WHEELSET_KINDS:
        for attribute in vocabulary.kinds[kind].attributes.values():
            if attribute.only_where and not any(_may_apply(judgement, axle, attribute) for axle in axles):
                continue
            if attribute.description and "shop" in attribute.read_by and (kind, attribute.name) not in told_already:
                yield from (f"{where}: {attribute.label}" for where in _sides(kind, attribute))


def _sides(kind: str, attribute: Attribute) -> tuple[str, ...]:
    """Where a box is: for a serial or a day of a wheel or a bearing on each side, else once."""
    label = load_vocabulary().kinds[kind].label
    sided = kind in (WHEEL, BEARING) and attribute.type in ("identity", "date")
    return (f"{label}, left", f"{label}, right") if sided else (label,)


def _may_apply(judgement: Judgement, axle: int, attribute: Attribute) -> bool:
    """Whether an attribute may be told of a wheelset like the one at the axle, or of one side of it."""
    fitted = wheelset_key(fitted_now(judgement.car)[axle])
    parts = (fitted, *judgement.situation.standing.inside.get(fitted, ()))
    own = [key for key in parts if judgement.parts[key].kind == attribute.kind]
    return any(may_apply(judgement, key, attribute) for key in own)


def _rules(answer: CheckAnswer, axles: tuple[int, ...]) -> tuple[Criterion, ...]:
    """Those that apply to the wheelset as it would be: rules about plain journals not, where no plain bearing may
    come."""
    judged = answer.judgement
    day = max(judged.move.out, answer.day)
    trials = Trials(as_it_stood(judged.car, answer.day), judged.move, judged.rulebook, day)
    renewed = work_to("renew a wheelset")
    jobs = [Job(renewed, (axle_position_key(axle),), BOUGHT) for axle in axles]
    new = {new_serial(job) for job in jobs}
    applying = {
        finding.criterion.id
        for finding in trials.trial(frozenset(jobs)).judgement.findings
        if finding.verdict != "not applicable" and serial_of(finding.part.key) in new
    }
    return tuple(
        criterion
        for criterion in judged.rulebook.criteria
        if criterion.id in applying and (criterion.shown_by == "accepted shop" or _asks_for_paper(criterion))
    )


def _asks_for_paper(criterion: Criterion) -> bool:
    return any(one.path.attribute.type in ("test", "paper") for one in comparisons_in(criterion.must))


def instead_of_a_new_one(judgement: Judgement, axle: int, why: tuple[Finding, ...]) -> Iterator[RecordLine]:
    """Lines, none where nothing may do instead. why: what calls for the wheelset; other work is told only where there
    is some for each of them."""
    offers = Offers(judgement)
    works: dict[str, None] = {}
    for finding in why:
        found = [
            f"{offer.job.work} ({offer.proviso})" if offer.proviso else offer.job.work
            for offer in offers.against(finding)
            if not offer.job.serial
        ]
        if not found:
            works.clear()
            break
        works.update(dict.fromkeys(found))
    if works:
        yield RecordLine("other work may do", "; ".join(works))
    for serial in spare_wheelsets(judgement.situation.standing):
        if not against_spare(judgement, axle_position_key(axle), serial):
            yield RecordLine("on record already", f"{serial}, against which nothing speaks here")


class Ordered(msgspec.Struct, frozen=True):
    """For which axles a wheelset is to be bought, what calls for each, and what is done at the other axles instead."""

    axles: tuple[int, ...]
    needed: Mapping[int, tuple[Finding, ...]]
    instead: tuple[RecordLine, ...] = ()


def ordered(answer: CheckAnswer) -> Ordered:
    """The axles to which the least work brings a wheelset that is to be bought, and those whose wheelset it leaves
    refused. Where it turns wheels, or fits a wheelset that is on record, none is ordered."""
    needed = needed_at(answer.judgement)
    if not needed and not _between_wheelsets(answer.judgement):
        return Ordered((), needed)
    least = least_work(answer, Prices())
    at = {axle_position_key(number): number for number in answer.judgement.car.axle_trucks}
    renewals = {at[job.at[0]]: job for job in sorted(least.trial.jobs) if job.serial}
    calls = dict(needed)
    for refusal in least.trials.tried(frozenset()).result.left:
        for axle, job in renewals.items():
            finding = refusal.finding
            if axle not in needed and finding is not None and job in least.trials.answering(finding):
                calls[axle] = (*calls.get(axle, ()), finding)
    instead: dict[int, str] = {}
    for axle, findings in needed.items():
        if (renewal := renewals.get(axle)) is not None:
            if not renewal.bought:
                instead[axle] = _clearing(f"{renewal.serial}, on record, goes there", findings, answer.judgement)
            continue
        works = [sorted(one.work for one in least.trials.answering(finding) & least.trial.jobs) for finding in findings]
        if all(works):
            words = " and ".join(dict.fromkeys(work for own in works for work in own))
            instead[axle] = _clearing(words, findings, answer.judgement)
    bought = {axle for axle, job in renewals.items() if job.bought}
    return Ordered(
        tuple(sorted(bought | (needed.keys() - instead.keys()))),
        calls,
        tuple(RecordLine(f"axle {axle}", words) for axle, words in sorted(instead.items())),
    )


def _clearing(words: str, findings: Iterable[Finding], judgement: Judgement) -> str:
    return f"{words}; it clears: {'; '.join(_faults(findings, judgement))}"


def _faults(findings: Iterable[Finding], judgement: Judgement) -> tuple[str, ...]:
    """The findings as the items of the dossier: the parts of one fault together, and what law and host say of one
    reading."""
    index = JudgementIndex(judgement)
    wanted = {one.fact: one for one in findings}
    own = [one for one in judgement.refusals if one.finding is not None and one.finding.fact in wanted]
    known = {one.finding.fact for one in own if one.finding is not None}
    others = (fault_of_findings([one], index).text for fact, one in wanted.items() if fact not in known)
    return (*(blocker.fault.text for blocker in blockers_of(own, index)), *others)


def why_needed(judgement: Judgement, needed: Mapping[int, tuple[Finding, ...]]) -> Iterator[RecordLine]:
    """What calls for the wheelsets, as the fault; the parts of one fault together."""
    for fault in _faults((one for findings in needed.values() for one in findings), judgement):
        yield RecordLine("why", fault)


def lines_for_axle(
    judgement: Judgement, axle: int, together: tuple[int, ...], why: tuple[Finding, ...]
) -> Iterator[RecordLine]:
    """What the wheelset for an axle must be: as the truck takes it, else as the one that comes off. together: all axles
    of its truck for which one is ordered. why: the breaches that call for it."""
    serial, own = fitted_now(judgement.car)[axle], truck_key(judgement.car.axle_trucks[axle])
    measures = load_vocabulary().kinds[WHEELSET].attributes
    for measure, taken in load_vocabulary().spares[WHEELSET].fits.items():
        yield record_line(judgement, own, taken.name, f"{measures[measure].short_label}: the truck takes")
    if observed(judgement, own, STANDARD_JOURNAL_CENTERS) is not None:
        yield record_line(judgement, own, STANDARD_JOURNAL_CENTERS, "journal centers of a standard axle of that class")
        yield record_line(judgement, own, STANDARD_JOURNAL_CENTERS_BY, "stated by")
    yield _difference(judgement, own)
    yield from _bearings(judgement, serial)
    there = listed_lines(judgement, sheet_lines("order", "wheelset there now"), wheelset_key(serial))
    yield from (replace(one, label=f"comes off: {one.label}") for one in there)
    yield window_line(tape_window(judgement, *together))
    yield from _wheels_that_stay(judgement, together)
    yield from instead_of_a_new_one(judgement, axle, why)


def _difference(judgement: Judgement, truck: str) -> RecordLine:
    """How far the journal centers that the truck takes are from those of a standard axle. No figure is taken from
    elsewhere: the record has it from the shop or the maker, or it is missing."""
    label = "difference from the standard"
    takes, standard = (observed(judgement, truck, name) for name in (TAKES_JOURNAL_CENTERS, STANDARD_JOURNAL_CENTERS))
    if takes is None or standard is None:
        lacking = TAKES_JOURNAL_CENTERS if takes is None else STANDARD_JOURNAL_CENTERS
        attribute = load_vocabulary().kinds[TRUCK].attributes[lacking]
        words = f"can't be told: the {attribute.label} are not on record"
        return RecordLine(label, words, False, owner_supplies=owner_supplies(attribute))
    if not isinstance(takes.value, Figure) or not isinstance(standard.value, Figure):
        return RecordLine(label, "can't be told: it takes two figures", False)
    apart = takes.value.quantity.amount - standard.value.quantity.amount
    if apart == 0:
        return RecordLine(label, "none: as the standard")
    words = write_quantity(Quantity.of("length", abs(apart), "in"))
    than = f"than the standard {write_quantity(standard.value.quantity)}: not interchangeable"
    return RecordLine(label, f"{words} {'more' if apart > 0 else 'less'} {than}")


def _bearings(judgement: Judgement, serial: str) -> Iterator[RecordLine]:
    """The class that is wanted, and that of the wheelset that comes off, which is matched unless it is refused."""
    bearing = bearing_key(serial, "left")
    rules = _class_rules(judgement)
    wanted = [
        requirement_words(one)
        for criterion in rules
        for one in comparisons_in(criterion.must)
        if one.path.attribute.name == "class"
    ]
    if wanted:
        yield RecordLine("class of bearing wanted", "; and ".join(dict.fromkeys(wanted)))
    else:
        yield RecordLine("class of bearing wanted", "no rule of this move names the classes that are accepted")
    refused = any(
        finding.verdict == "breached" and finding.part.key == bearing and finding.criterion in rules
        for finding in judgement.findings
    )
    held = observed(judgement, bearing, "class")
    told = record_line(judgement, bearing, "class", "comes off: class of bearing")
    yield (
        told
        if held is None
        else replace(told, text=value_words(held.value) + (", which is not accepted" if refused else ""))
    )
    if not refused:
        there = listed_lines(judgement, sheet_lines("order", "bearings there now"), bearing)
        yield from (replace(one, label=f"comes off: {one.label}") for one in there)


def _wheels_that_stay(judgement: Judgement, together: tuple[int, ...]) -> Iterator[RecordLine]:
    """The tape sizes of the other wheels of the truck, once for those that are alike."""
    truck = judgement.car.axle_trucks[together[0]]
    alike: dict[RecordLine, list[str]] = {}
    for number, other in sorted(fitted_now(judgement.car).items()):
        if number in together or judgement.car.axle_trucks[number] != truck:
            continue
        for key in (wheel_key(other, "left"), wheel_key(other, "right")):
            line = record_line(judgement, key, TAPE_SIZE, "tape size of {part}, which stays")
            alike.setdefault(line, []).append(judgement.parts[key].label)
    for line, labels in alike.items():
        yield replace(line, label=line.label.replace("{part}", compact_labels(labels)))


def _class_rules(judgement: Judgement) -> tuple[Criterion, ...]:
    """The rules of the move about the class of a bearing."""
    return tuple(
        criterion
        for criterion in judgement.rulebook.criteria
        if criterion.of == BEARING
        and any(
            one.path.attribute.name == "class" and not one.path.owner for one in comparisons_in(criterion.must)
        )
    )  # fmt: skip


def wheel_order(answer: CheckAnswer, axle: int | None = None) -> SheetAnswer:
    """The sheet for a wheelset for one axle, or for each axle whose wheelset is breached in a way that another wheelset
    clears. Raises InputRefused for an axle that the car has not got."""
    judgement = answer.judgement
    car = judgement.car
    fitted = fitted_now(car)
    if axle is not None and axle not in fitted:
        found = f"axle {axle}, which the car has not got"
        expected = f"an axle from 1 to {max(fitted)}" if fitted else "a car with wheelsets on record"
        raise InputRefused((Problem(Location(car.file, 1, 1), found, expected),))
    chosen = ordered(answer) if axle is None else Ordered((axle,), needed_at(judgement))
    axles = chosen.axles
    move = judgement.move
    number = f"{len(axles)} wheelset{'' if len(axles) == 1 else 's'}, for {axles_words(axles)}" if axles else "none"
    return SheetAnswer(
        title=f"{car_title(car)}: order for the wheel shop",
        for_whom=f"{number}; for a move with {move.host} from {move.out.isoformat()}; as on record on "
        f"{answer.day.isoformat()}",
        as_of=answer.day,
        head=head_with_outcome(answer),
        sections=tuple(_sections(answer, chosen)) if axles else (_none_needed(judgement, chosen),),
        word="ORDER",
    )


MATCH = "What comes off is to be matched, but for what is not accepted."
PURCHASER = ("quantity", "order number", "purchaser, telephone", "ship to", "wanted by", "signature and date")
"""What the purchaser fills in by hand."""


def _sections(answer: CheckAnswer, chosen: Ordered) -> Iterator[SheetSection]:
    """The purchaser's lines, what calls for the wheelsets, what is alike in them and what is not, what comes back."""
    judgement, axles, needed = answer.judgement, chosen.axles, chosen.needed
    trucks = judgement.car.axle_trucks
    yield SheetSection("To be filled in by the purchaser", (), blanks=PURCHASER)
    why = {axle: needed[axle] for axle in axles if axle in needed}
    if why:
        yield SheetSection("Why", tuple(why_needed(judgement, why)))
    if chosen.instead:
        yield _not_ordered(chosen)
    together = {axle: tuple(one for one in axles if trucks[one] == trucks[axle]) for axle in axles}
    told = alike_lines(
        {
            axle: tuple(lines_for_axle(judgement, axle, together[axle], needed.get(axle, ())))
            for axle in axles
        }
    )  # fmt: skip
    if told.common:
        yield SheetSection("All of them", told.common, (MATCH,))
    fitted = fitted_now(judgement.car)
    for numbers, lines in told.groups:
        off = ", ".join(f"{fitted[one]} at axle {one}" for one in numbers)
        own = ", ".join(dict.fromkeys(truck_key(trucks[one]) for one in numbers))
        notes = () if told.common else (MATCH,)
        yield SheetSection(f"For {axles_words(numbers)} ({own})", (RecordLine("comes off", off), *lines), notes)
    windows = [tape_window(judgement, *one) for one in dict.fromkeys(together.values())]
    rules = dict.fromkeys(rule for window in windows for rule in (*window.because, *window.mates))
    rules.update(dict.fromkeys(map(rule_words, _class_rules(judgement))))
    yield SheetSection("Rules behind it", (), tuple(rules))
    yield papers_with(answer, axles)


def _not_ordered(chosen: Ordered) -> SheetSection:
    """The axles at which other work clears what keeps the car from moving."""
    return SheetSection(
        "No wheelset is ordered for", chosen.instead, ("By the least work on offer, counted in jobs without prices.",)
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
        axle = at.get(serial_of(finding.part.key) or "")
        if axle is not None and _may_be_renewed(finding):
            found.setdefault(axle, []).append(finding)
    return {axle: tuple(findings) for axle, findings in sorted(found.items())}


def _may_be_renewed(finding: Finding) -> bool:
    renewed = work_to("renew a wheelset")
    return any(remedy.work == renewed for remedy in finding.criterion.remedies)


def _between_wheelsets(judgement: Judgement) -> list[Finding]:
    """What refuses for good what several wheelsets are together, and lists a renewal of a wheelset as its remedy."""
    return [
        refusal.finding
        for refusal in judgement.refusals
        if refusal.finding is not None
        and stays_refused(refusal.finding)
        and serial_of(refusal.finding.part.key) is None
        and _may_be_renewed(refusal.finding)
    ]


def _none_needed(judgement: Judgement, chosen: Ordered) -> SheetSection:
    """That nothing is breached is no proof of a sound wheelset: what is not shown is counted."""
    if chosen.instead:
        return replace(_not_ordered(chosen), heading="No wheelset is to be bought")
    notes = [
        "Nothing of a fitted wheelset that another would clear is breached, nor runs out before the return for good. "
        "Name an axle to see its sheet."
    ]
    index = JudgementIndex(judgement)
    between = [
        f"{fault_of_findings([finding], index).text}. Another wheelset may clear it: `carknocker plan` and "
        "`carknocker place-wheels` tell at which axle."
        for finding in _between_wheelsets(judgement)
    ]
    notes += between
    open_ = {
        (refusal.finding.criterion.id, refusal.finding.part.key)
        for refusal in judgement.refusals
        if refusal.finding is not None and refusal.finding.part.kind in WHEELSET_KINDS
    }
    if open_:
        number = f"{len(open_):,} thing{' is' if len(open_) == 1 else 's are'}"
        notes.append(
            f"{number} not shown yet to hold for the move on the fitted wheelsets: `carknocker worksheet` lists what "
            "to read."
        )
    heading = "No wheelset needed, as far as the record shows" if open_ or between else "No wheelset is needed"
    return SheetSection(heading, (), tuple(notes))
