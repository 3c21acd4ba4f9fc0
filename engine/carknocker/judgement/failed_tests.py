"""A test that was passed after it failed, with nothing between that puts right what failed it: it is doubtful, and the
failed one stands. Work that mends nothing of it makes no failed test void."""

from collections.abc import Iterator, Mapping
from functools import cache

import msgspec

from carknocker.judgement.long_ago import LongAgo
from carknocker.judgement.mending import NO_RULES, Mending
from carknocker.judgement.observed_value import text_of
from carknocker.judgement.oddities import PassedAfterFailed
from carknocker.judgement.set_aside import MadeVoidBy
from carknocker.judgement.situation import Situation
from carknocker.judgement.work_between import WorkBetween, between
from carknocker.quantities.period import Period
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.part_keys import kind_of_key
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute

_PASSED = "passed"
PASSED_TWICE_AFTER = Period(months=12)
"""Common practice: who tries again until it passes once is not believed, who passes it year after year is."""


@cache
def _of_tests() -> Mapping[tuple[str, str], Attribute]:
    """The attributes of tests, by kind of part and name."""
    vocabulary = load_vocabulary()
    return {
        (one.on, one.attribute): vocabulary.kinds[one.on].attributes[one.attribute] for one in vocabulary.tests.values()
    }


class FailedTests:
    """Holds the passed tests of a situation against the failed ones before them."""

    def __init__(self, situation: Situation, mending: Mending) -> None:
        self._situation = situation
        self._work = WorkBetween(situation, mending)
        self._long_ago = LongAgo(situation)

    def before(self, part: Part, later: Evidence) -> PassedAfterFailed | None:
        """The failed test that a passed one does not answer; None where there is none."""
        entries = self._situation.standing.evidence[part.key][later.attribute]
        if len(entries) < 2 or has_failed(later):
            return None
        attribute = _of_tests()[part.kind, later.attribute]
        earlier = entries[: next(place for place, one in enumerate(entries) if one is later)]
        for number, failed in reversed([*enumerate(earlier, start=1)]):
            if not has_failed(failed) or not isinstance(
                self._situation.excluded.get(failed.id), (MadeVoidBy, type(None))
            ):
                continue
            since = (*earlier[number:], later)
            if any(self._explains(failed, one) for one in since) or self._passed_twice(part, failed, since):
                continue
            if not self._put_right(part, attribute, failed, later):
                return PassedAfterFailed(attribute, failed, later, self._work.jobs_for(attribute, failed))
        return None

    def _passed_twice(self, part: Part, failed: Evidence, since: tuple[Evidence, ...]) -> bool:
        """Whether persons whom the host accepts have passed the same test on two days since, the last over a year after
        it failed. Not of a wheelset, a wheel or an axle: no test takes a crack away, or a mounting that failed."""
        if failed.on is None or load_vocabulary().kinds[part.kind].thing:
            return False
        days = {
            one.on for one in since
            if one.on is not None and one.on > failed.on and not has_failed(one)
            and one.id not in self._situation.excluded and self._situation.accepts(one.by, one.on)
        }  # fmt: skip
        return len(days) > 1 and max(days) > PASSED_TWICE_AFTER.after(failed.on)

    def _put_right(self, part: Part, attribute: Attribute, failed: Evidence, later: Evidence) -> bool:
        answered = self._long_ago.answered(part, failed, later)
        return answered or self._work.puts_right(part, attribute, failed, later)

    def _explains(self, failed: Evidence, passed: Evidence) -> bool:
        """Whether whoever passed it says what failed it: of what a person found whom the host accepts, only such a
        person."""
        if has_failed(passed) or not passed.confirmed or failed.on is None or passed.on is None:
            return False
        accepts = self._situation.accepts
        return accepts(passed.by, passed.on) or not accepts(failed.by, failed.on)


class PassedSince(msgspec.Struct, frozen=True):
    """A test that failed and was passed since, with no job between that is named for it. between: what was done."""

    part: Part
    failed: Evidence
    passed: Evidence
    between: tuple[Work, ...]


def passed_since(situation: Situation) -> Iterator[PassedSince]:
    """The failed tests that a passed one answers without a job that is named for them, by part in walking order: any
    work, two passed tests or the age of the failed one stand between. What is `sure` is told elsewhere."""
    work = WorkBetween(situation, NO_RULES)
    for key, attributes in situation.standing.evidence.items():
        part = situation.standing.parts.get(key)
        for name, entries in {} if part is None else attributes.items():
            if part is None or entries[-1].sort != "test":
                continue
            held = situation.values[key].get(name)
            passed = None if held is None else held.evidence
            if passed is None or has_failed(passed):
                continue
            before = entries[: next(place for place, one in enumerate(entries) if one is passed)]
            failed = next((one for one in reversed(before) if has_failed(one)), None)
            if failed is None or any(one.confirmed for one in entries[entries.index(failed) :]):
                continue
            if not work.mends(part, _of_tests()[part.kind, name], failed, passed):
                done = {job.id: job for job in work.jobs_on(part) if between(job, failed, passed)}
                yield PassedSince(part, failed, passed, tuple(done.values()))


def has_failed(evidence: Evidence) -> bool:
    """Whether it is a test that failed."""
    return evidence.sort == "test" and text_of(evidence.value) != _PASSED


def stays_failed(evidence: Evidence, work: Work, mending: Mending) -> bool:
    """Whether it is a failed test of which work or an event puts nothing right."""
    if not has_failed(evidence):
        return False
    attribute = _of_tests()[kind_of_key(evidence.part), evidence.attribute]
    named = mending.work_for(attribute)
    return work.event or (bool(named) and not mending.mends(work.name, attribute))
