"""Everything that runs out in a span of days: what criteria ask for, papers, gauges, people, leaves, editions."""

from collections.abc import Iterator
from datetime import date, timedelta

from carknocker.judgement.model import Judgement
from carknocker.questions.horizon.model import Lapse
from carknocker.questions.lapsing import last_good_day
from carknocker.questions.looks import Looks
from carknocker.rulebook.library import Library
from carknocker.vocabulary import load_vocabulary


def lapses_between(judgement: Judgement, library: Library, first: date, until: date) -> tuple[Lapse, ...]:
    """What holds on a day from `first` on for the last time before `until`: oldest day first, then as the rulebook
    and the record have it."""
    shown: set[tuple[str, date]] = set()
    found = [
        *_of_criteria(judgement, first, until, shown),
        *_of_the_record(judgement, first, until, shown),
        *_of_editions(judgement, library, first, until),
    ]
    return tuple(sorted(found, key=lambda lapse: lapse.day))


def _of_criteria(judgement: Judgement, first: date, until: date, shown: set[tuple[str, date]]) -> Iterator[Lapse]:
    """What criteria ask for. shown: takes in the evidence that decides each, with its last day."""
    looks = Looks(judgement)
    groups: dict[tuple[date, str], list[str]] = {}
    sources = {}
    for finding in judgement.findings:
        day = finding.lapses_on if finding.verdict == "lapses" else last_good_day(finding, looks, first, until)
        if day is None:  # some hold from a later day on only, as a paper that is not in force yet
            day = last_good_day(finding, looks, judgement.move.back, until)
        if day is not None and first <= day < until:
            groups.setdefault((day, finding.criterion.title), []).append(finding.part.label)
            sources[finding.criterion.title] = finding.criterion.source
            if finding.evidence is not None:
                shown.add((finding.evidence.id, day))
    for (day, title), labels in groups.items():
        yield Lapse(day, "criterion", title, tuple(labels), sources[title])


def _of_the_record(judgement: Judgement, first: date, until: date, shown: set[tuple[str, date]]) -> Iterator[Lapse]:
    """What runs out by itself. shown: papers told already, by the criterion that asks for them."""
    car, host = judgement.car, judgement.move.host
    papers = {kind.attribute: kind.name for kind in load_vocabulary().papers.values()}
    for entry in car.evidence:
        if entry.sort != "paper" or entry.until is None or (entry.id, entry.until) in shown:
            continue
        if first <= entry.until < until:
            yield Lapse(entry.until, "paper", papers[entry.attribute], ())
    for gauge in car.gauges.values():
        if gauge.due is not None and first <= gauge.due < until:
            yield Lapse(gauge.due, "gauge", f"gauge {gauge.name} ({gauge.kind}), due for its check", ())
    for person in car.people.values():
        accepted = any(one.casefold() == host.casefold() for one in person.accepted_by)
        if accepted and person.until is not None and first <= person.until < until:
            yield Lapse(person.until, "person", f"{person.full_name or person.name}, accepted by {host}", ())
    for leave in car.leaves:
        if first <= leave.last < until:
            yield Lapse(leave.last, "leave", f"leave {leave.id} of {leave.host} for {leave.criterion}", leave.at)


def _of_editions(judgement: Judgement, library: Library, first: date, until: date) -> Iterator[Lapse]:
    """The last day of an edition that binds the move: it ends, or a later one of its ruleset comes into force."""
    for edition in judgement.rulebook.editions:
        heads = library.heads.get(edition.ruleset, ())
        next_one = min((head.in_force for head in heads if head.in_force > edition.in_force), default=None)
        ends = [day for day in (edition.until, None if next_one is None else next_one - timedelta(days=1)) if day]
        if ends and first <= min(ends) < until:
            yield Lapse(min(ends), "edition", f"edition {edition.name} of {edition.ruleset} is in force", ())
