"""Findings: every criterion on every part of its kind, spares too, from what may be believed."""

from collections.abc import Callable
from datetime import date, timedelta

from carknocker.judgement.compiled import Compiled, Single
from carknocker.judgement.model import UNMET, Finding
from carknocker.judgement.sight import Sight
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN, opposite
from carknocker.record.model import Evidence, Part
from carknocker.rulebook.model import Criterion, Verdict


def findings_of(
    compiled: tuple[Compiled, ...], situation: Situation, unvoided: Callable[[], Situation | None]
) -> list[Finding]:
    """All findings. `unvoided` gives the situation as if nothing were void, or None if nothing is."""
    findings: list[Finding] = []
    by_kind = situation.standing.by_kind
    for one in compiled:
        parts = by_kind.get(one.criterion.of, ())
        if parts:
            _judge_criterion(one, parts, situation, unvoided, findings)
    return findings


def _judge_criterion(
    one: Compiled,
    parts: tuple[Part, ...],
    situation: Situation,
    unvoided: Callable[[], Situation | None],
    findings: list[Finding],
) -> None:
    criterion = one.criterion
    conditional = one.conditional
    if conditional and one.once and not one.may_come_under:
        first = parts[0].key
        applies = _applies(one, Sight(situation, first, situation.view(first), situation.move.out))
        if applies == FAILS:
            findings.extend([Finding(criterion, part, "not applicable", None) for part in parts])
            return
        conditional = applies == UNKNOWN
    if one.single is not None and not conditional and not one.dated and not one.shop:
        _judge_figures(one, one.single, parts, situation, unvoided, findings)
        return
    for part in parts:
        findings.append(judge_part(one, part, situation, unvoided))


def _judge_figures(
    one: Compiled,
    single: Single,
    parts: tuple[Part, ...],
    situation: Situation,
    unvoided: Callable[[], Situation | None],
    findings: list[Finding],
) -> None:
    """The commonest criterion, laid out flat: the same comparison as `figures.against`, without a call a part."""
    criterion = one.criterion
    attribute, limit_n, limit_d, sign, strict = (
        single.attribute, single.limit_n, single.limit_d, single.sign, single.strict,
    )  # fmt: skip
    near_counts = criterion.borderline == "refuse"
    append = findings.append
    views = situation.views
    for part in parts:
        held = views[part.key].get(attribute)
        if held is None or not held.d:
            append(judge_part(one, part, situation, unvoided))
            continue
        margin = (held.n * limit_d - limit_n * held.d) * sign
        if margin < 0 or (strict and margin == 0):
            append(Finding(criterion, part, "breached", held.evidence, None, True))
        elif held.reso_d and margin * held.reso_d < held.reso_n * held.d * limit_d:
            append(Finding(criterion, part, "borderline", held.evidence, None, near_counts))
        else:
            append(Finding(criterion, part, "met", held.evidence))


def _applies(one: Compiled, sight: Sight) -> int:
    truth = HOLDS if one.when is None else one.when(sight)
    if one.unless is not None:
        truth = min(truth, opposite(one.unless(sight)))
    return HOLDS if truth == NEAR else truth


def judge_part(one: Compiled, part: Part, situation: Situation, unvoided: Callable[[], Situation | None]) -> Finding:
    """One criterion on one part, every verdict considered."""
    criterion = one.criterion
    applies, unplaced_when = HOLDS, False
    if one.conditional:
        asked = _asked(part, situation, situation.move.out)
        applies = _applies(one, asked)
        if applies == FAILS:
            # a part that comes under the criterion on the way is judged as if it were under it from the start
            later = _comes_under(one, part, situation) if one.may_come_under else None
            if later is None:
                return Finding(criterion, part, "not applicable", None)
            asked, applies = later, _applies(one, later)
        unplaced_when = asked.unplaced
    sight = _looked(one, part, situation, situation.move.out)
    out = one.must(sight)
    if not part.fitted and sight.unplaced and out == UNKNOWN:
        # it asks about the place, and this part has none
        return Finding(criterion, part, "not applicable", None)
    if out == FAILS and (applies != UNKNOWN or (unplaced_when and not part.fitted)):
        # a spare of which only its place is unknown would breach it wherever the criterion applies
        return _finding(criterion, part, "breached", deciding(one, sight, FAILS))
    if out < NEAR:
        return _not_shown(one, part, sight, out, unvoided)
    worse = _worse_by_anyone(one, part, situation)
    if worse is not None:
        return _finding(criterion, part, "breached", worse)
    evidence = deciding(one, sight, out)
    lapses_on = _last_good_day(one, part, situation) if one.dated else None
    if lapses_on is not None and criterion.renewal is None:
        return _finding(criterion, part, "lapses", evidence, lapses_on)
    if out == NEAR:
        return Finding(criterion, part, "borderline", evidence, lapses_on, criterion.borderline == "refuse")
    return Finding(criterion, part, "met", evidence, lapses_on)


def _comes_under(one: Compiled, part: Part, situation: Situation) -> Sight | None:
    """How a part is seen on a day of the move on which the criterion applies to it, or may; None if there is none.
    Only what both begins and ends on the way has to be asked about every day."""
    move = situation.move
    for number in range(1, (move.back - move.out).days) if one.may_leave else ():
        asked = _asked(part, situation, move.out + timedelta(days=number))
        if _applies(one, asked) != FAILS:
            return asked
    asked = _asked(part, situation, move.back, arriving=True)
    return None if _applies(one, asked) == FAILS else asked


def _asked(part: Part, situation: Situation, day: date, *, arriving: bool = False) -> Sight:
    """The part as `when` and `unless` see it: who showed it matters for what must hold, not for what the part is."""
    return Sight(situation, part.key, situation.views[part.key], day, arriving=arriving)


def _worse_by_anyone(one: Compiled, part: Part, situation: Situation) -> Evidence | None:
    """A reading beyond the limit that someone made whom the host does not accept, newer than what an accepted person
    showed: evidence beyond the limit counts, whoever shows it."""
    if not one.shop:
        return None
    sight = Sight(situation, part.key, situation.views[part.key], situation.move.out)
    return deciding(one, sight, FAILS) if one.must(sight) == FAILS else None


def _looked(one: Compiled, part: Part, situation: Situation, day: date, *, arriving: bool = False) -> Sight:
    """The part as `must` sees it on a day: who showed it matters, and how old it is."""
    key = part.key
    view = situation.view(key, shop=True) if one.shop else situation.views[key]
    within = one.criterion.read_within
    return Sight(situation, key, view, day, one.shop, None if within is None else within.before(day), arriving=arriving)


def _not_shown(
    one: Compiled, part: Part, sight: Sight, truth: int, unvoided: Callable[[], Situation | None]
) -> Finding:
    """truth: of `must`; it fails here only where nothing shows whether the criterion applies. Then it is no matter of
    the day: the reading is there, and what is missing is a description."""
    criterion = one.criterion
    if criterion.shown_by == "host on the day" and truth == UNKNOWN:
        return Finding(criterion, part, "for the day", None)
    before = unvoided()
    if before is not None:
        earlier = _looked(one, part, before, sight.day)
        applies = HOLDS if not one.conditional else _applies(one, _asked(part, before, sight.day))
        if one.must(earlier) >= NEAR and applies != FAILS:
            evidence = next((e for e in looked_at(one, earlier) if e.id in sight.situation.excluded), None)
            if evidence is not None:
                return _finding(criterion, part, "withdrawn", evidence)
    return _finding(criterion, part, "not shown", next(iter(looked_at(one, sight)), None))


def _last_good_day(one: Compiled, part: Part, situation: Situation) -> date | None:
    """The last day, from departure on, up to which it holds without a break, if that lies before the end of the move.

    Evidence only ages: what has lapsed stays lapsed, and halving the span finds the day. Where a clause may begin to
    hold on the way (an age reached), every day is asked.
    """
    move = situation.move

    def holds(day: date, *, arriving: bool = False) -> bool:
        return one.must(_looked(one, part, situation, day, arriving=arriving)) >= NEAR

    if one.may_begin:
        good = move.out
        while good < move.back and holds(good + timedelta(days=1)):
            good += timedelta(days=1)
        return None if good == move.back and holds(good, arriving=True) else good
    if holds(move.back, arriving=True):
        return None
    good, bad = move.out, move.back
    while (bad - good).days > 1:
        middle = good + timedelta(days=(bad - good).days // 2)
        if holds(middle):
            good = middle
        else:
            bad = middle
    return good


def _finding(
    criterion: Criterion, part: Part, verdict: Verdict, evidence: Evidence | None, lapses_on: date | None = None
) -> Finding:
    return Finding(criterion, part, verdict, evidence, lapses_on, verdict in UNMET)


def deciding(one: Compiled, sight: Sight, truth: int) -> Evidence | None:
    """The evidence that decided: of the first comparison that has this truth, else of the first that has any."""
    if len(one.leaves) == 1:
        held = one.leaves[0].get(sight)
        return None if held is None else held.evidence
    first: Evidence | None = None
    for leaf in one.leaves:
        held = leaf.get(sight)
        if held is None or held.evidence is None:
            continue
        if leaf.test(sight) == truth:
            return held.evidence
        first = first or held.evidence
    return first


def looked_at(one: Compiled, sight: Sight) -> list[Evidence]:
    """All evidence that the criterion's `must` sees on the part."""
    values = [leaf.get(sight) for leaf in one.leaves]
    return [held.evidence for held in values if held is not None and held.evidence is not None]
