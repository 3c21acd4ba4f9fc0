"""Whether a duty is done, can be done on the way, or is open."""

from datetime import date
from typing import Literal

import msgspec

from carknocker.judgement.chain.setting import Setting
from carknocker.judgement.held import Held, exact, text_of
from carknocker.record.model import Evidence, Spare, Work
from carknocker.record.values import Value
from carknocker.rulebook.model import Requires


class DutyState(msgspec.Struct, frozen=True):
    """state, what answered it or what it lacks in words, and the evidence or spare that answered it."""

    state: Literal["done", "on the way", "open"]
    note: str
    answered_by: Evidence | Spare | None = None


def duty_state(
    name: tuple[str, ...], requires: Requires, part: str, since: date | None, work: Work | None, setting: Setting
) -> DutyState:
    """The state of a duty on a part since a day. `name` is the name of its fact."""
    if requires.test:
        answer = _test_done(requires, part, since, work, setting)
    elif requires.spare:
        answer = _spare_rides(name, requires, part, setting)
    else:
        answer = DutyState("open", requires.words)
    if answer.state == "open" and requires.when == "on the way":
        return DutyState("on the way", answer.note)
    return answer


def _test_done(requires: Requires, part: str, since: date | None, work: Work | None, setting: Setting) -> DutyState:
    """Done by a valid, passed test dated after `since`, or on that day after the work itself."""
    situation = setting.situation
    kind = setting.vocabulary.tests[requires.test]
    asked = f"a {requires.test}" + (f" after {since.isoformat()}" if since is not None else "")
    newest: Evidence | None = None
    for target in situation.standing.reach(part, kind.on):
        for evidence in situation.counted(target, kind.attribute):
            if text_of(evidence.value) != "passed" or evidence.on is None:
                continue
            newest = evidence
            if since is not None and evidence.on < since:
                continue
            if since is not None and evidence.on == since:
                after = setting.after(evidence.after)
                if work is None or work.id not in after:
                    continue
            if requires.within is not None and requires.within.after(evidence.on) < situation.move.out:
                continue
            return DutyState("done", f"{requires.test} of {evidence.on.isoformat()}", evidence)
    note = f"{asked}: none is shown"
    if newest is not None and newest.on is not None:
        note = f"{asked}: the newest that counts is of {newest.on.isoformat()}"
        if newest.on == since and work is not None:
            note += f", and its entry does not say `after: {work.id}`"
    return DutyState("open", note)


def _spare_rides(name: tuple[str, ...], requires: Requires, part: str, setting: Setting) -> DutyState:
    """Done if a spare rides along that fits the part and is sound; where each duty needs its own, if enough do."""
    fitting: list[Spare] = []
    lacks: list[str] = []
    for spare in setting.situation.standing.car.spares:
        if spare.name != requires.spare:
            continue
        reason = _why_not(spare, part, setting)
        if reason:
            lacks.append(f"{spare.serial or spare.id}: {reason}")
        elif spare.carried > 0:
            fitting.append(spare)
        else:
            lacks.append(f"{spare.serial or spare.id}: on the shelf, not carried")
    carried = sum(spare.carried for spare in fitting)
    needed = setting.needs.get((name[1], name[2]), 1) if requires.each else 1
    if carried >= needed:
        return DutyState("done", f"{fitting[0].serial or requires.spare} rides along", fitting[0])
    note = f"a {requires.spare} that fits and is sound must ride along"
    if needed > 1:
        note = f"{needed} × {requires.spare} that fit and are sound must ride along: {needed - carried} short"
    return DutyState("open", note + (f" ({'; '.join(lacks)})" if lacks else ": none is recorded"))


def _why_not(spare: Spare, part: str, setting: Setting) -> str:
    """Why a spare does not serve, or an empty text."""
    kind = setting.vocabulary.spares[spare.name]
    situation = setting.situation
    own_key = f"{kind.thing} {spare.serial}" if kind.thing else ""
    for attribute, wanted in kind.fits.items():
        owner_kind, _, wanted_attribute = wanted.partition(".")
        owner_kind = owner_kind.replace("_", " ")
        owner = situation.owner(part, owner_kind)
        if owner is None:
            reached = situation.standing.reach(part, owner_kind)
            owner = reached[0] if reached else None
        needed = None if owner is None else situation.view(owner).get(wanted_attribute)
        given = _of_spare(spare, own_key, attribute, setting)
        if needed is None:
            return f"{wanted_attribute.replace('_', ' ')} of {owner or part} is not recorded"
        if given is None:
            return f"its {attribute.replace('_', ' ')} is not recorded"
        if not _same(given, needed.value):
            return f"its {attribute.replace('_', ' ')} does not fit {owner}"
    own = situation.standing.parts.get(own_key)
    if own is not None and own.fitted:
        return "it is fitted on that day"
    if own_key in setting.unsound:
        return "it is not sound"
    return ""


def _of_spare(spare: Spare, own_key: str, attribute: str, setting: Setting) -> Value | None:
    if attribute in spare.facts:
        return spare.facts[attribute]
    if own_key and own_key in setting.situation.views:
        held: Held | None = setting.situation.view(own_key).get(attribute)
        return None if held is None else held.value
    return None


def _same(one: Value, other: Value) -> bool:
    left, right = exact(one), exact(other)
    if left is not None and right is not None:
        return left == right
    ours, theirs = text_of(one), text_of(other)
    return ours is not None and theirs is not None and ours.casefold() == theirs.casefold()
