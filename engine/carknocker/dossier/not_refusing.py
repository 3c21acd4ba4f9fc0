"""What is shown though it does not refuse the car: borderline readings, advice, spares, reliefs, void evidence."""

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from carknocker.dossier.blockers import MeasuredOnParts, clears_of, measured_of
from carknocker.judgement.facts import EventFact
from carknocker.judgement.finer_gauge import SettlingReading, settling_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Duty, Finding, Relief, Voided
from carknocker.page.model import Entry
from carknocker.quantities import write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.value_words import value_words
from carknocker.wording.causes import fact_words
from carknocker.wording.evidence import work_words
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.limits import read_again_words, settling_words
from carknocker.wording.parts import named
from carknocker.wording.phrases import counted
from carknocker.wording.sources import place_words, source_words
from carknocker.wording.verdicts import must_be_words, reason_words, required_words


def borderline_of(index: JudgementIndex) -> tuple[Entry, ...]:
    """Findings met by less than the gauge resolves, to be measured again with a finer gauge."""
    entries = []
    for group in _by_criterion(f for f in index.judgement.findings if f.verdict == "borderline" and f.part.fitted):
        resolutions = {
            _reads_to(f.evidence) for f in group if f.evidence is not None and f.evidence.resolution is not None
        }
        reads_to = f" The gauge reads to {', '.join(sorted(resolutions))}." if resolutions else ""
        lines = [*(_measured_line(one) for one in measured_of(group, index)),
                 f"{must_be_words(index.explain(group[0]).required)}.{reads_to}",
                 *_settling_lines(group, index),
                 source_words(group[0].criterion.source)]  # fmt: skip
        entries.append(Entry(fault_of_findings(group, index).text, tuple(lines)))
    return tuple(entries)


def _reads_to(evidence: Evidence) -> str:
    if evidence.resolution is None:
        return ""
    read, unsure = write_quantity(evidence.resolution), evidence.gauge_uncertainty
    if unsure is None:
        return read
    if evidence.gauge is not None and evidence.gauge.uncertainty is not None:
        return f"{read} with an uncertainty of {write_quantity(unsure)}"
    return f"{read} and may be off by {write_quantity(unsure)} (its own uncertainty is not stated)"


def _settling_lines(group: Iterable[Finding], index: JudgementIndex) -> tuple[str, ...]:
    """How to settle borderline findings of one criterion; one line for parts that are to be read again alike."""
    parts, lines = index.judgement.parts, dict[str, None]()
    alike: dict[str, tuple[SettlingReading, list[Part]]] = {}
    for finding in group:
        settled = settling_of(finding, index.compiled(finding.criterion), index.view(finding))
        if settled is None:
            continue
        only = settled.readings[0] if len(settled.readings) == 1 else None
        if only is None or only.evidence.part not in parts:
            lines.update(dict.fromkeys(settling_words(settled, parts)))
            continue
        part = parts[only.evidence.part]
        _, places = alike.setdefault(f"{part.kind} {read_again_words(only, '', parts)}", (only, []))
        if part not in places:
            places.append(part)
    merged = (read_again_words(one, named(places, index), parts) for one, places in alike.values())
    return (*merged, *lines)


def advice_of(findings: Iterable[Finding], index: JudgementIndex) -> tuple[Entry, ...]:
    """Measured values that do not follow advice. They never change the outcome."""
    entries = []
    for group in _by_criterion(findings):
        first = index.explain(group[0])
        reasons = dict.fromkeys(reason_words(index.explain(finding).reasons) for finding in group)
        lines = [
            *(_measured_line(one) for one in measured_of(group, index)),
            *(reason for reason in reasons if reason),
            f"advised: {required_words(first.required)}; {source_words(group[0].criterion.source)}",
        ]
        if group[0].criterion.remedies:
            lines.append("clears: " + "; ".join(clears_of(group, index)))
        fault = replace(fault_of_findings(group, index), must="")  # it need not be so: a line says what is advised
        entries.append(Entry(fault.text, tuple(lines)))
    return tuple(entries)


def advised_duties(index: JudgementIndex) -> tuple[Entry, ...]:
    """What a rule advises to have or to do before departure and is not there, one entry for each rule."""
    by_rule: dict[str, list[Duty]] = {}
    for duty in index.judgement.duties:
        if duty.state == "open" and duty.requirement.effect == "advise":
            by_rule.setdefault(duty.consequence.id, []).append(duty)
    return tuple(
        Entry(
            f"{own[0].consequence.title}: {'; '.join(_short_of(own))}",
            (f"advised: {place_words(own[0].consequence.source)}",),
        )
        for own in by_rule.values()
    )


def _short_of(duties: Iterable[Duty]) -> Iterator[str]:
    """What is short, those of which the same is to be said together: `fuses, knuckle pin (none on record)`."""
    alike: dict[str, dict[str, None]] = {}
    for duty in duties:
        asked = duty.requirement
        alike.setdefault(duty.note, {})[asked.spare or asked.test or asked.words] = None
    for note, what in alike.items():
        yield f"{', '.join(what)} ({note})"


def spares_of(index: JudgementIndex) -> tuple[Entry, ...]:
    """Refusing findings on spares. They do not stop the car, but such a spare is of no use."""
    found = (
        finding
        for finding in index.judgement.findings
        if not finding.part.fitted and finding.unmet and finding.verdict != "not shown"
        if finding.effect == "refuse"
    )
    return tuple(
        Entry(
            fault_of_findings(group, index).text,
            (*(_measured_line(one) for one in measured_of(group, index)),
             must_be_words(index.explain(group[0]).required)),
        )
        for group in _by_criterion(found)
    )  # fmt: skip


def _measured_line(one: MeasuredOnParts) -> str:
    margin = f" ({one.margin})" if one.margin else ""
    evidence = f"; {one.evidence}" if one.evidence else ""
    return f"{one.parts}: {one.measured}{margin}{evidence}"


def _by_criterion(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Findings of one criterion and one verdict together."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.criterion.id, finding.verdict), []).append(finding)
    return list(groups.values())


def relieved_of(index: JudgementIndex) -> tuple[Entry, ...]:
    """Unmet findings whose effect is cancelled, and consequences that are stopped: by what, and why."""
    unmet = {(f.criterion.id, f.part.key): f for f in index.judgement.findings if f.unmet and f.part.fitted}
    groups: dict[tuple[str, ...], list[Relief]] = {}
    for relief in index.judgement.reliefs:
        if relief.criterion and (relief.criterion, relief.part) not in unmet:
            continue
        key = (relief.criterion, relief.stopped, relief.consequence.id, relief.relieves.purpose, _leave_of(relief))
        groups.setdefault(key, []).append(relief)
    entries = []
    for group in groups.values():
        first = group[0]
        parts = [index.judgement.parts[one.part] for one in group if one.part in index.judgement.parts]
        lines = []
        if first.criterion:
            found = [unmet[one.criterion, one.part] for one in group]
            title = fault_of_findings(found, index).text
            lines.append(f"stays {found[0].verdict}: " + "; ".join(
                _measured_line(one) for one in measured_of(found, index)))  # fmt: skip
        else:
            stopped = index.consequences.get(first.stopped)
            from_what = " from what was found with that event" if isinstance(first.cause, EventFact) else ""
            what = stopped.title if stopped is not None else first.stopped
            title = f"Does not follow{from_what}: {what}, {named(parts, index)}"
        purpose = "for this move" if first.relieves.purpose == "move" else "for a repair move only"
        lines.append(f"relieved {purpose} by: {first.consequence.title}; {source_words(first.consequence.source)}")
        if first.leave is not None:
            lines.append(_leave_of(first))
        else:
            lines.append(f"because of: {fact_words(first.cause, index)}")
        entries.append(Entry(title, tuple(lines)))
    return tuple(entries)


def _leave_of(relief: Relief) -> str:
    leave = relief.leave
    if leave is None:
        return ""
    return (
        f"written permission {leave.id} of {leave.host}, signed by {leave.signed_by}, {leave.paper}, "
        f"from {leave.first.isoformat()} to {leave.last.isoformat()}"
    )


def void_of(index: JudgementIndex) -> tuple[Entry, ...]:
    """Evidence that later work made void, with the work and the rule."""
    groups: dict[tuple[str, str], list[Voided]] = {}
    for one in index.judgement.voided:
        groups.setdefault((one.work.id, one.consequence.id), []).append(one)
    entries = []
    for group in groups.values():
        first = group[0]
        lines = [f"void: {line}" for line in _evidence_lines([one.evidence for one in group], index)]
        lines.append(f"says: {first.consequence.title}; {source_words(first.consequence.source)}")
        entries.append(Entry(work_words(first.work), tuple(lines)))
    return tuple(entries)


def void_in_short(index: JudgementIndex) -> tuple[str, ...]:
    """A line for each work or event that made evidence void: the tests and papers in full, the readings counted."""
    groups: dict[str, list[Voided]] = {}
    for one in index.judgement.voided:
        groups.setdefault(one.work.id, []).append(one)
    lines = []
    for group in groups.values():
        evidences = [one.evidence for one in group]
        tests = [one for one in evidences if one.sort != "reading"]
        read = [one for one in evidences if one.sort == "reading"]
        told = _evidence_lines(tests, index)
        if read:
            days = dict.fromkeys("undated" if one.on is None else one.on.isoformat() for one in read)
            told.append(f"{counted(len(read), 'reading')} of {', '.join(days)} ({_parts_of(read, index)})")
        rules = dict.fromkeys(place_words(one.consequence.source) for one in group)
        lines.append(f"{work_words(group[0].work)}, makes void: {'; '.join(told)} ({'; '.join(rules)})")
    return tuple(lines)


def _evidence_lines(evidences: list[Evidence], index: JudgementIndex) -> list[str]:
    """A test or paper with its value; readings of one day on the same parts together, by their names."""
    lines: list[str] = []
    by_attribute: dict[tuple[str, str], list[Evidence]] = {}
    for evidence in evidences:
        on = evidence.on.isoformat() if evidence.on is not None else "undated"
        if evidence.sort == "reading":
            by_attribute.setdefault((_label(evidence, index), on), []).append(evidence)
        else:
            value = value_words(evidence.value)
            lines.append(f"{_label(evidence, index)}, {value}, {on}: {_parts_of([evidence], index)}")
    by_parts: dict[tuple[str, str], list[str]] = {}
    for (label, on), read in by_attribute.items():
        by_parts.setdefault((_parts_of(read, index), on), []).append(label)
    lines.extend(f"{parts}, read {on}: {'; '.join(labels)}" for (parts, on), labels in by_parts.items())
    return lines


def _label(evidence: Evidence, index: JudgementIndex) -> str:
    part = index.judgement.parts.get(evidence.part)
    attribute = None if part is None else index.vocabulary.attribute(part.kind, evidence.attribute)
    return attribute.label if attribute is not None else evidence.attribute.replace("_", " ")


def _parts_of(evidences: list[Evidence], index: JudgementIndex) -> str:
    parts = index.judgement.parts
    known = [parts[one.part] for one in evidences if one.part in parts]
    gone = [one.part for one in evidences if one.part not in parts]
    return "; ".join(word for word in (named(known, index), *gone) if word)
