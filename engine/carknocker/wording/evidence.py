"""Evidence, work, host's written permissions and spares in words: who, when, with which gauge, and where it is
written."""

from datetime import date

from carknocker.judgement.model import FoundLater
from carknocker.record.model import NO_END, Evidence, Gauge, Leave, Person, Spare, Work
from carknocker.record.value_words import value_words
from carknocker.vocabulary import load_vocabulary


def day_and_person(evidence: Evidence | None, *, with_day: bool = True) -> str:
    """Day and person: `2026-09-12, RE`; without the day if the words beside it have it already."""
    if evidence is None:
        return ""
    day = evidence.on.isoformat() if evidence.on is not None and with_day else ""
    by = evidence.by.name if evidence.by is not None else ""
    return ", ".join(word for word in (day, by) if word)


def person_words(person: Person | None) -> str:
    """`HM (shop inspector)`; `nobody named`."""
    return "nobody named" if person is None else f"{person.full_name or person.name} ({person.role})"


def until_words(until: date | None) -> str:
    """` until 2027-03-31`; `, with no end`; empty where nothing is said."""
    if until is None:
        return ""
    return ", with no end" if until == NO_END else f" until {until.isoformat()}"


def _due_words(gauge: Gauge) -> str:
    if gauge.due is None:
        return ""
    return ", never due" if gauge.due == NO_END else f", due {gauge.due.isoformat()}"


def gauge_words(gauge: Gauge | None) -> str:
    """`finger gauge G-2, checked 2026-03-01, due 2027-03-01`; empty without a gauge."""
    if gauge is None:
        return ""
    return f"{gauge.kind} {gauge.name}{_checked_words(gauge)}{_due_words(gauge)}"


def _checked_words(gauge: Gauge) -> str:
    """`, checked 2026-03-01`; empty for what needs no check and has none."""
    if gauge.checked is not None:
        return f", checked {gauge.checked.isoformat()}"
    kind = load_vocabulary().gauge_kinds.get(gauge.kind)
    return "" if kind is not None and not kind.check else ", no check on record"


def evidence_words(evidence: Evidence | None, *, with_day: bool = True) -> str:
    """Who, when, with what, and where it is written; empty if there is no evidence. with_day: false if the words beside
    it have the day already."""
    if evidence is None:
        return ""
    words: list[str] = []
    if evidence.on is not None and with_day:
        words.append(evidence.on.isoformat())
    elif evidence.on is None and evidence.sort == "description":
        words.append("per the car's record, undated")
    if evidence.by is not None:
        words.append(f"{evidence.by.full_name or evidence.by.name} ({evidence.by.role})")
    if evidence.gauge is not None:
        checked = evidence.gauge.checked
        words.append(f"gauge {evidence.gauge.name}" + (f" checked {checked.isoformat()}" if checked else ""))
    words.append(f"{evidence.where.file}:{evidence.where.line}")
    return ", ".join(words)


def reading_words(evidence: Evidence) -> str:
    """A value with its day and who read it: `1 in (2026-09-12, RE)`."""
    value = value_words(evidence.value)
    if evidence.sort == "paper":
        value = "on record" + until_words(evidence.until)
    by = evidence.by.name if evidence.by is not None else ""
    told = ", ".join(word for word in (evidence.on.isoformat() if evidence.on else "", by) if word)
    return f"{value} ({told})" if told else value


def evidence_value(evidence: Evidence) -> str:
    """The value, or for a paper its last day."""
    if evidence.sort != "paper":
        return value_words(evidence.value)
    return "on record" + until_words(evidence.until)


def evidence_lines(evidence: Evidence) -> tuple[tuple[str, str], ...]:
    """Who, when, with which gauge, on which sheet, after which work, line by line."""
    lines: list[tuple[str, str]] = []
    if evidence.on is not None:
        lines.append(("on", evidence.on.isoformat()))
    person, gauge = evidence.by, evidence.gauge
    if person is not None:
        lines.append(("by", f"{person.full_name or person.name} ({person.role})"))
    if gauge is not None:
        lines.append(("gauge", f"{gauge.name} ({gauge.kind}{_checked_words(gauge)}{_due_words(gauge)})"))
    if evidence.sheet and evidence.sort == "reading":
        lines.append(("sheet", evidence.sheet))
    if evidence.after:
        lines.append(("after", ", ".join(sorted(evidence.after))))
    lines.extend((name.replace("_", " "), value_words(value)) for name, value in evidence.facts.items())
    return tuple(lines)


def work_words(work: Work) -> str:
    """`J-12 service portion replaced, 2026-09-24`."""
    return f"{work.id} {work.name}, {work.on.isoformat()}"


def work_with_parts(work: Work) -> str:
    """`J-12 wheelset renewed, 2026-10-02, axle 3: W-33 off, W-41 fitted`."""
    changed = [f"{work.off} off"] if work.off else []
    changed.extend([f"{work.fitted} fitted"] if work.fitted else [])
    at = f", axle {work.axle}" if work.axle is not None else ""
    return f"{work.id} {work.name}, {work.on.isoformat()}{at}" + (f": {', '.join(changed)}" if changed else "")


def leave_words(leave: Leave) -> str:
    """`L-1 of HOST for flange-thickness, 2026-11-01 to 2026-11-30, signed by … on 2026-10-20`."""
    on = "" if leave.signed_on is None else f" on {leave.signed_on.isoformat()}"
    return (
        f"{leave.id} of {leave.host} for {leave.criterion}, {leave.first.isoformat()} to {leave.last.isoformat()}, "
        f"signed by {leave.signed_by}{on}" + (f", {leave.paper}" if leave.paper else "")
    )


def found_later_words(found: FoundLater) -> str:
    """`permission V-1 of HOST was signed on 2026-08-20; this was found on 2026-08-21, so ask again`."""
    leave = found.leave
    signed = "" if leave.signed_on is None else leave.signed_on.isoformat()
    return (
        f"permission {leave.id} of {leave.host} was signed on {signed} and does not cover what came or was found on "
        f"{found.on.isoformat()}: ask for a new one"
    )


def spare_words(spare: Spare) -> str:
    """`wheelset W-50: 1 aboard, 0 on the shelf`."""
    return f"{spare.name} {spare.serial}".strip() + f": {spare.carried} aboard, {spare.shelf} on the shelf"
