"""What to do with a truck that rolls out: what to disconnect, what is due, and what can be read only now."""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.questions.plan.model import TruckOut
from carknocker.record.model import Part
from carknocker.record.values import NotAccessible
from carknocker.vocabulary import load_vocabulary, work_to
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.whatif.work.model import Job
from carknocker.whatif.work.offers import truck_of
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.lapses import lapse_lines
from carknocker.wording.parts import joined_labels
from carknocker.wording.record_lines import connections_of, may_apply

_ONLY_NOW = ("truck out", "wheelset out", "wheel free")
_EFFECT = {"refuse": "refuses", "restrict": "restricts", "advise": "advice only"}


def trucks_out(judgement: Judgement, jobs: Iterable[Job]) -> tuple[TruckOut, ...]:
    """Each truck that a job rolls out, as the car stands before the work."""
    listed = sorted(jobs)
    rolled_out = work_to("roll a truck out")
    found: list[TruckOut] = []
    for job in listed:
        if job.work != rolled_out:
            continue
        truck = job.at[0]
        because = [
            f"{other.work} at {_labels(judgement, other.at)}"
            for other in listed
            if other != job and any(truck_of(part, judgement.situation.standing) == truck for part in other.at)
        ]
        found.append(
            TruckOut(
                judgement.parts[truck].label,
                tuple(because),
                connections_of(judgement, truck),
                _due(judgement, truck, listed),
                _look_at(judgement, truck, listed),
            )  # fmt: skip
        )
    return tuple(sorted(found, key=lambda one: one.label != "truck B"))


def _labels(judgement: Judgement, parts: Iterable[str]) -> str:
    return ", ".join(judgement.parts[part].label for part in parts)


def _inside(judgement: Judgement, truck: str, jobs: Iterable[Job]) -> list[Part]:
    """The truck and the parts in it, without the wheelsets that the plan takes off the car: those need no attention."""
    standing = judgement.situation.standing
    changed = {job.at[0] for job in jobs if job.serial}
    gone = {part.key for part in judgement.parts.values() if part.kind == WHEELSET and part.container in changed}
    return [
        part
        for part in judgement.parts.values()
        if part.fitted
        and (part.key == truck or truck in standing.containers(part.key))
        and gone.isdisjoint((part.key, *standing.containers(part.key)))
    ]


def _due(judgement: Judgement, truck: str, jobs: list[Job]) -> tuple[str, ...]:
    """What to see to while the truck is out: breached and borderline findings on the truck or in it, whatever their
    effect, and what runs out within a year after the return and takes the truck out again. What a job of the plan
    answers is left out."""
    standing = judgement.situation.standing
    inside = {part.key for part in _inside(judgement, truck, jobs)}
    index = JudgementIndex(judgement)
    faults: dict[tuple[str, str], list[Finding]] = {}
    lapsing: list[tuple[Finding, date]] = []
    for finding in judgement.findings:
        key = finding.part.key
        if key not in inside:
            continue
        places = {key, *standing.containers(key)}
        remedies = _remedies(finding)
        if any(job.work in remedies and not places.isdisjoint(job.at) for job in jobs):
            continue
        planned_for = finding.effect == "refuse" and finding.unmet
        if finding.verdict in ("breached", "borderline") and not planned_for:
            faults.setdefault((finding.criterion.id, finding.verdict), []).append(finding)
        elif _wants_it_out(finding) and (day := index.last_day(finding)) is not None:
            lapsing.append((finding, day))
    return (
        *(_fault(findings, index) for findings in faults.values()),
        *(f"{line.text(index)} (through {day.isoformat()})" for day, line in lapse_lines(lapsing, index)),
    )


def _fault(findings: list[Finding], index: JudgementIndex) -> str:
    """A fault with what it does, and the work that clears it; what is borderline is no fault, and is measured again."""
    first = findings[0]
    does = "no fault: measure again" if first.verdict == "borderline" else _EFFECT[first.effect]
    words = f"{fault_of_findings(findings, index).text} ({does})"
    remedies = _remedies(findings[0])
    return f"{words}: {' or '.join(remedies)}" if remedies else words


def _remedies(finding: Finding) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.work for one in finding.criterion.remedies))


def _wants_it_out(finding: Finding) -> bool:
    """Whether meeting the finding takes the truck or the wheelset out, or takes a shop."""
    asked = list(comparisons_in(finding.criterion.must))
    return any(one.path.attribute.access in (*_ONLY_NOW, "shop") for one in asked) or (
        any(one.word == "within" for one in asked) and any(_truck_out(one.work) for one in finding.criterion.remedies)
    )


def _truck_out(name: str) -> bool:
    """Whether the truck must roll out for a job, or the job is the roll-out itself."""
    work = load_vocabulary().work.get(name)
    return work is not None and (work.truck_out or work.does == "roll a truck out")


def _look_at(judgement: Judgement, truck: str, jobs: Iterable[Job]) -> tuple[str, ...]:
    """The readings that need the truck or the wheelset out, or a wheel free, each with the day of the last one."""
    kinds = load_vocabulary().kinds
    evidence = judgement.situation.standing.evidence
    rows: dict[_LastReading, list[tuple[str, str]]] = {}
    for part in _inside(judgement, truck, jobs):
        for attribute in kinds[part.kind].attributes.values():
            if attribute.access not in _ONLY_NOW or attribute.description or attribute.derived:
                continue
            if attribute.type in ("test", "paper") or attribute.goes_with:
                continue
            if not may_apply(judgement, part.key, attribute):
                continue
            entries = evidence.get(part.key, {}).get(attribute.name, ())
            read = [one for one in entries if one.on is not None and not isinstance(one.value, NotAccessible)]
            last = f"last read {read[-1].on.isoformat()}" if read and read[-1].on is not None else "never read"
            counts = bool(read)
            if read and read[-1].id in judgement.situation.excluded:
                last, counts = "read, but void or not counted", False
            rows.setdefault(_LastReading(counts, last, part.kind, attribute.access), []).append(
                (part.label, attribute.label)
            )
    return tuple(_row(last, own) for last, own in sorted(rows.items(), key=lambda row: row[0][:3]))


class _LastReading(NamedTuple):
    """When a value was last read. Values never read, or that do not count, come first. counts: there is a last day."""

    counts: bool
    words: str
    kind: str
    access: str


def _row(last: _LastReading, own: list[tuple[str, str]]) -> str:
    labels = joined_labels(label for label, _ in own)
    words = ", ".join(dict.fromkeys(attribute for _, attribute in own))
    return f"{labels}: {words} ({last.words}; {last.access})"
