"""`compare`: compares two answers: two records, or one record on two days, for two moves, or under two editions."""

from collections.abc import Callable, Hashable, Mapping
from typing import TypeVar

from msgspec.structs import replace

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Duty, Judgement, RestrictionInForce
from carknocker.judgement.restrictions import restriction_words
from carknocker.record.model import Move
from carknocker.whatif.differences.change_reasons import ChangeReasons, duty_reasons, restriction_reasons
from carknocker.whatif.differences.findings import FindingChanges, finding_changes
from carknocker.whatif.differences.model import CompareAnswer, DutyChange, RestrictionChange
from carknocker.wording.faults import fault_of
from carknocker.wording.parts import car_title, part_words
from carknocker.wording.refusals import against_words

Change = TypeVar("Change")
Thing = TypeVar("Thing")


def with_editions(move: Move, editions: Mapping[str, str]) -> Move:
    """The same move with editions pinned: ruleset → name of the edition."""
    return replace(move, editions={**move.editions, **editions})


def compare(before: CheckAnswer, after: CheckAnswer) -> CompareAnswer:
    """What changed from one answer to the other, and which entries, day or edition are the reason."""
    one, two = before.judgement, after.judgement
    links = ChangeReasons(one, two)
    findings: FindingChanges = finding_changes(one, two, links)
    cleared, new, still = _sorted_out(_duties(one), _duties(two), lambda b, a: _duty_change(b, a, links))
    gone, come, kept = _sorted_out(
        _restrictions(one), _restrictions(two), lambda b, a: _restriction_change(b, a, links)
    )
    against_before = _against(one)
    against_after = _against(two)
    return CompareAnswer(
        before=before,
        after=after,
        what_differs=_what_differs(one, two, links),
        cleared=findings.cleared,
        new=findings.new,
        still_open=findings.still_open,
        changed_verdict=findings.changed_verdict,
        changed_margin=findings.changed_margin,
        duties_cleared=cleared,
        duties_new=new,
        duties_open=still,
        restrictions_gone=gone,
        restrictions_new=come,
        restrictions_kept=kept,
        against_gone=tuple(fault for words, fault in against_before.items() if words not in against_after),
        against_new=tuple(fault for words, fault in against_after.items() if words not in against_before),
        against_open=tuple(fault for words, fault in against_after.items() if words in against_before),
        spares=findings.spares,
        added=links.added,
        removed=links.removed,
    )


def _against(judgement: Judgement) -> dict[str, str]:
    """What the move asks for and the car may not do → the same with what it rests on."""
    index = JudgementIndex(judgement)
    return {
        against_words(refusal.against): fault_of((refusal,), index).words
        for refusal in judgement.refusals
        if refusal.against is not None
    }


def _what_differs(one: Judgement, two: Judgement, links: ChangeReasons) -> tuple[str, ...]:
    words = []
    if (one.car.mark, one.car.name) != (two.car.mark, two.car.name):
        words.append(f"two cars: {car_title(one.car)} → {car_title(two.car)}")
    elif one.car.digest != two.car.digest:
        words.append(f"two records: {one.car.file} → {two.car.file}")
    if one.as_of != two.as_of:
        words.append(f"two days: {one.as_of.isoformat()} → {two.as_of.isoformat()}")
    if one.move.digest != two.move.digest and any(record_change.sort == "move" for record_change in links.added):
        words.append(f"two moves: {_move_words(one.move)} → {_move_words(two.move)}")
    before, after = (
        {(edition.ruleset, edition.name, edition.digest): f"{edition.ruleset} {edition.name}" for edition in editions}
        for editions in (one.rulebook.editions, two.rulebook.editions)
    )
    left = [name for key, name in before.items() if key not in after]
    came = [name for key, name in after.items() if key not in before]
    if left or came:
        words.append(f"two rulebooks: {', '.join(left) or 'nothing'} → {', '.join(came) or 'nothing'}")
    return tuple(words)


def _move_words(move: Move) -> str:
    return f"{move.host}, {move.train} train, {move.out.isoformat()} to {move.back.isoformat()}"


def _duties(judgement: Judgement) -> dict[Hashable, Duty]:
    """The duties that are not done, by requirement, part and log entry. Duties with none of these apart, because they
    fall on several days, are numbered in order."""
    found: dict[Hashable, Duty] = {}
    for duty in judgement.duties:
        if duty.state != "done":
            key = (duty.consequence.id, duty.requirement, duty.part.kind, duty.part.label, duty.fact.entry)
            number = sum(1 for other in found if isinstance(other, tuple) and other[:5] == key)
            found[(*key, number)] = duty
    return found


def _duty_change(before: Duty | None, after: Duty | None, links: ChangeReasons) -> DutyChange:
    """A change of a duty. One that no longer has to be done is looked up again: it may be done, and by some
    evidence."""
    some = after or before
    if some is None:
        raise AssertionError("a change of nothing")
    if after is None and before is not None:
        after = _as_done(before, links.after.judgement)
    elif before is None and after is not None:
        before = _as_done(after, links.before.judgement)
    return DutyChange(before, after, part_words(some.part), some.consequence.title, duty_reasons(before, after, links))


def _as_done(duty: Duty, judgement: Judgement) -> Duty | None:
    """The same duty where it is done."""
    return next(
        (
            one
            for one in judgement.duties
            if one.state == "done" and one.part.label == duty.part.label
            and replace(one.fact, part=duty.fact.part) == duty.fact
        ),
        None,
    )  # fmt: skip


def _restrictions(judgement: Judgement) -> dict[Hashable, RestrictionInForce]:
    return {(restriction_words(one.restriction), one.said_by): one for one in judgement.restrictions}


def _restriction_change(
    before: RestrictionInForce | None, after: RestrictionInForce | None, links: ChangeReasons
) -> RestrictionChange:
    some = after or before
    if some is None:
        raise AssertionError("a change of nothing")
    asked = links.after if after is not None else links.before
    kept = before is not None and after is not None
    because = () if kept else restriction_reasons(some, links, new=before is None)
    return RestrictionChange(restriction_words(some.restriction), asked.title(some.said_by), some.said_by, because)


def _sorted_out(
    before: Mapping[Hashable, Thing], after: Mapping[Hashable, Thing],
    change: Callable[[Thing | None, Thing | None], Change],
) -> tuple[tuple[Change, ...], tuple[Change, ...], tuple[Change, ...]]:  # fmt: skip
    """What is only in the first, only in the second, and in both."""
    gone = tuple(change(thing, None) for key, thing in before.items() if key not in after)
    new = tuple(change(None, thing) for key, thing in after.items() if key not in before)
    kept = tuple(change(before[key], thing) for key, thing in after.items() if key in before)
    return gone, new, kept
