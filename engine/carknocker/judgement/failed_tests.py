"""A test that was passed after it failed, with nothing between that puts right what failed it: it is doubtful, and the
failed one stands. Work that mends nothing of it makes no failed test void."""

from collections.abc import Mapping
from functools import cache

from carknocker.judgement.mending import Mending
from carknocker.judgement.observed_value import text_of
from carknocker.judgement.oddities import PassedAfterFailed
from carknocker.judgement.set_aside import MadeVoidBy
from carknocker.judgement.situation import Situation
from carknocker.judgement.work_between import WorkBetween
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.part_keys import kind_of_key
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute

_PASSED = "passed"


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
            explained = any(self._explains(failed, one) for one in (*earlier[number:], later))
            if not explained and not self._put_right(part, attribute, failed, later):
                return PassedAfterFailed(attribute, failed, later)
        return None

    def _put_right(self, part: Part, attribute: Attribute, failed: Evidence, later: Evidence) -> bool:
        if self._work.named_for(attribute):
            return self._work.mends(part, attribute, failed, later)
        return self._work.anything(part, failed, later)

    def _explains(self, failed: Evidence, passed: Evidence) -> bool:
        """Whether whoever passed it says what failed it: of what a person found whom the host accepts, only such a
        person."""
        if has_failed(passed) or not passed.confirmed or failed.on is None or passed.on is None:
            return False
        accepts = self._situation.accepts
        return accepts(passed.by, passed.on) or not accepts(failed.by, failed.on)


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
