"""Stage 1: which evidence is void, and which never counted."""

from collections.abc import Mapping
from datetime import date
from functools import lru_cache

from carknocker.judgement.chain.fixed_point import Fired
from carknocker.judgement.facts import VoidFact
from carknocker.judgement.failed_tests import stays_failed
from carknocker.judgement.mending import Mending
from carknocker.judgement.model import Voided
from carknocker.judgement.odd_entries import odd_entries
from carknocker.judgement.set_aside import (
    DeviceDueUnsaid,
    DeviceOverdue,
    GaugeCheckedLater,
    GaugeDueUnsaid,
    GaugeFoundWrong,
    GaugeNeverChecked,
    GaugeNotNamed,
    GaugeOverdue,
    GaugeReadsOther,
    MadeVoidBy,
    RestsOnOddEntry,
    SetAside,
)
from carknocker.record.model import Evidence, Gauge, Work
from carknocker.record.part_keys import kind_of_key
from carknocker.record.standing import CarOnDay, Standing
from carknocker.record.values import Day, Word
from carknocker.vocabulary import does_of, load_vocabulary

DEVICE_DUE = "device_due"
"""The fact of a test that says when its device was due for a check."""
_PASSED = Word("passed")
_GAUGE_EVENTS = ("find a gauge wrong", "find a gauge overdue")


@lru_cache(maxsize=1)
def uncounted(car: CarOnDay) -> Mapping[str, SetAside]:
    """Evidence that does not count, for anyone, and why: its gauge or its test device was due for its check, or
    the gauge was first checked later, or was found wrong or overdue after it was last known good; or the gauge, the
    paper or what the test says is odd."""
    wrong: dict[str, list[Work]] = {}
    for entry in car.work:
        gauge_name = entry.facts.get("gauge")
        if does_of(entry.name) in _GAUGE_EVENTS and isinstance(gauge_name, Word):
            wrong.setdefault(gauge_name.text, []).append(entry)
    reasons: dict[str, SetAside] = {key: RestsOnOddEntry(one) for one in odd_entries(car) for key in one.evidence}
    for attributes in car.evidence.values():
        for entries in attributes.values():
            for evidence in entries:
                if evidence.gauge is not None or evidence.ungauged or evidence.sort == "test":
                    reason = _why_uncounted(evidence, wrong)
                    if reason is not None:
                        reasons[evidence.id] = reason
    return reasons


def _why_uncounted(evidence: Evidence, wrong: Mapping[str, list[Work]]) -> SetAside | None:
    """None for evidence that counts. wrong: the events of each gauge that was found wrong or overdue."""
    gauge, on = evidence.gauge, evidence.on
    if on is None:
        return None
    device_due = evidence.facts.get(DEVICE_DUE) if evidence.facts else None
    if isinstance(device_due, Day) and device_due.first < on:
        return DeviceOverdue(device_due)
    if device_due is None and evidence.sort == "test" and evidence.value == _PASSED and _has_device(evidence):
        return DeviceDueUnsaid()
    if evidence.ungauged:
        return GaugeNotNamed() if gauge is None else GaugeReadsOther(gauge)
    if gauge is None:
        return None
    if needs_check(gauge.kind):
        reason = why_unchecked(gauge, on)
        if reason is not None:
            return reason
    events = wrong.get(gauge.name, ()) if wrong else ()
    told = next((entry for entry in events if _since_last_good(evidence, entry)), None)
    return None if told is None else GaugeFoundWrong(gauge, told)


def why_unchecked(gauge: Gauge, on: date) -> SetAside | None:
    """Why a gauge of a kind that needs its check shows nothing on a day; None where it was in date. One that is never
    due was checked once all the same."""
    if gauge.due is None:
        return GaugeDueUnsaid(gauge)
    if gauge.due < on:
        return GaugeOverdue(gauge, gauge.due)
    if gauge.last_check(on) is not None:
        return None
    return GaugeNeverChecked(gauge) if gauge.checked is None else GaugeCheckedLater(gauge, gauge.checked)


def needs_check(kind: str) -> bool:
    """Whether a kind of gauge needs a check: all do but those of which the vocabulary says that they need none."""
    known = load_vocabulary().gauge_kinds.get(kind)
    return known is None or known.check


def _has_device(test: Evidence) -> bool:
    """Whether the vocabulary knows of a device for such a test that has to be in date."""
    vocabulary = load_vocabulary()
    attribute = vocabulary.attribute(kind_of_key(test.part), test.attribute)
    return attribute is not None and DEVICE_DUE in vocabulary.facts_of(attribute)


def _since_last_good(evidence: Evidence, found_wrong: Work) -> bool:
    """Whether the reading lies after the last good check; or after the day the gauge was found wrong, where no check
    since has shown it good again. What the event calls the last good check is the newest check up to that day of which
    the gauge itself says: a day that its `checked` does not know is a slip of one of them."""
    if evidence.on is None:
        return False
    checked = evidence.gauge.last_check(evidence.on) if evidence.gauge is not None else None
    good_again = checked is not None and checked >= found_wrong.on
    if evidence.on > found_wrong.on:
        return not good_again
    last_good = found_wrong.facts.get("last_good_check")
    if isinstance(last_good, Day) and evidence.gauge is not None:
        known = evidence.gauge.last_check(last_good.last)
        return known is None or evidence.on > known
    return checked is None or good_again or evidence.on > checked


def voided_by(fired: Fired, standing: Standing, mending: Mending) -> dict[str, Voided]:
    """What stage 1 made void: each piece of evidence with the first work that voided it, by id of the evidence. What
    failed a test stands until work puts it right."""
    voided: dict[str, Voided] = {}
    by_work = [
        (cause.work, key, rule, followed) for key, (rule, cause, followed) in fired.firings.items() if cause.work
    ]
    by_work.sort(key=lambda one: (one[0].on, one[1].consequence, one[1].yield_number, one[1].cause.name))
    for work, _, rule, followed in by_work:
        for one in followed:
            if isinstance(one.fact, VoidFact) and one.fact.evidence not in voided:
                (evidence,) = standing.by_id((one.fact.evidence,))
                if stays_failed(evidence, work, mending):
                    continue
                voided[evidence.id] = Voided(evidence, work, rule.consequence)
    return voided


def reasons_of(voided: Mapping[str, Voided]) -> dict[str, SetAside]:
    """Why each piece of void evidence is void."""
    return {key: MadeVoidBy(one.work) for key, one in voided.items()}
