"""Findings: every criterion on every part of its kind, spares too, from what may be believed."""

from collections.abc import Callable
from datetime import date

from carknocker.judgement.change_days import change_days
from carknocker.judgement.columns import Column, Columns
from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion, Single
from carknocker.judgement.model import UNMET, Finding
from carknocker.judgement.part_view import PartView
from carknocker.judgement.situation import Situation
from carknocker.judgement.threshold import first_holding, last_before_flip, last_in_run
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN, opposite
from carknocker.record.model import Evidence, Part
from carknocker.rulebook.model import Criterion, Verdict


def findings_of(
    compiled: tuple[CompiledCriterion, ...], situation: Situation, unvoided: Callable[[], Situation | None]
) -> list[Finding]:
    """All findings. `unvoided` gives the situation as if nothing were void, or None if nothing is."""
    findings: list[Finding] = []
    columns = Columns(situation)
    for one in compiled:
        parts = situation.standing.by_kind.get(one.criterion.of)
        if parts:
            _judge_criterion(one, parts, situation, unvoided, columns, findings)
    return findings


def _judge_criterion(
    one: CompiledCriterion,
    parts: tuple[Part, ...],
    situation: Situation,
    unvoided: Callable[[], Situation | None],
    columns: Columns,
    findings: list[Finding],
) -> None:
    criterion = one.criterion
    conditional = one.conditional
    if conditional and one.once and not one.may_come_under:
        first = parts[0].key
        applies = whether_applies(one, PartView(situation, first, situation.view(first), situation.move.out))
        if applies == FAILS:
            findings.extend([Finding(criterion, part, "not applicable", None) for part in parts])
            return
        conditional = applies == UNKNOWN
    if one.single is not None and not conditional and not one.dated and not one.shop:
        _judge_figures(one, one.single, columns.column(parts, one.single.attribute), situation, unvoided, findings)
        return
    for part in parts:
        findings.append(judge_part(one, part, situation, unvoided))


def _judge_figures(
    one: CompiledCriterion,
    single: Single,
    column: Column,
    situation: Situation,
    unvoided: Callable[[], Situation | None],
    findings: list[Finding],
) -> None:
    """The commonest criterion, laid out flat: the same comparison as `figures.against`, without a call a part."""
    criterion = one.criterion
    limit_d = single.limit_d
    up, down = limit_d * single.sign, single.limit_n * single.sign
    least = 1 if single.strict else 0  # of a margin, which is a whole number
    near_counts = criterion.borderline == "refuse"
    append = findings.append
    for part, evidence, n, d, uncertainty, reso_d in column:
        if not d:
            append(judge_part(one, part, situation, unvoided))
            continue
        margin = n * up - d * down
        if margin < least:
            append(Finding(criterion, part, "breached", evidence, None, True))
        elif reso_d and margin * reso_d < uncertainty * limit_d:
            append(Finding(criterion, part, "borderline", evidence, None, near_counts))
        else:
            append(Finding(criterion, part, "met", evidence))


def judge_part(
    one: CompiledCriterion, part: Part, situation: Situation, unvoided: Callable[[], Situation | None]
) -> Finding:
    """One criterion on one part, every verdict considered."""
    criterion = one.criterion
    applies, unplaced_when = HOLDS, False
    if one.conditional:
        asked = view_for_when(part, situation, situation.move.out)
        applies = whether_applies(one, asked)
        if applies == FAILS:
            # a part that comes under the criterion on the way is judged as if it were under it from the start
            later = comes_under(one, part, situation) if one.may_come_under else None
            if later is None:
                return Finding(criterion, part, "not applicable", None)
            asked, applies = later, whether_applies(one, later)
        unplaced_when = asked.unplaced
    sight = view_for_must(one, part, situation, situation.move.out)
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
    lapses_on = _lapses_on(one, part, situation) if one.dated else None
    if lapses_on is not None and criterion.renewal is None:
        return _finding(criterion, part, "lapses", evidence, lapses_on)
    near = out == NEAR
    finding = Finding(criterion, part, "borderline" if near else "met", evidence, lapses_on)
    finding.unmet = near and criterion.borderline == "refuse"
    if criterion.renewal is not None and len(one.leaves) > 1:
        finding.oldest = min((on for leaf in one.leaves if (on := _read_on(leaf, sight)) is not None), default=None)
    return finding


def _lapses_on(one: CompiledCriterion, part: Part, situation: Situation) -> date | None:
    """The last day of the move up to which what holds on departure holds; None where it holds to the end."""
    move = situation.move
    return last_good_day(one, part, situation, move.out, move.back, arriving=True)


def _read_on(leaf: CompiledComparison, sight: PartView) -> date | None:
    """The day of what a comparison that holds rests on."""
    held = leaf.get(sight)
    if held is None or leaf.test(sight) < NEAR:
        return None
    return held.on if held.evidence is None else held.evidence.on


def _worse_by_anyone(one: CompiledCriterion, part: Part, situation: Situation) -> Evidence | None:
    """A reading beyond the limit that someone made whom the host does not accept, newer than what an accepted person
    showed: evidence beyond the limit counts, whoever shows it."""
    if not one.shop:
        return None
    sight = PartView(situation, part.key, situation.views[part.key], situation.move.out)
    return deciding(one, sight, FAILS) if one.must(sight) == FAILS else None


def _not_shown(
    one: CompiledCriterion, part: Part, sight: PartView, truth: int, unvoided: Callable[[], Situation | None]
) -> Finding:
    """truth: of `must`; it fails here only where nothing shows whether the criterion applies. Then it is no matter of
    the day: the reading is there, and what is missing is a description."""
    criterion = one.criterion
    if criterion.shown_by == "host on the day" and truth == UNKNOWN:
        return Finding(criterion, part, "for the day", None)
    before = unvoided()
    if before is not None:
        earlier = view_for_must(one, part, before, sight.day)
        applies = HOLDS if not one.conditional else whether_applies(one, view_for_when(part, before, sight.day))
        if one.must(earlier) >= NEAR and applies != FAILS:
            evidence = next((e for e in looked_at(one, earlier) if e.id in sight.situation.excluded), None)
            if evidence is not None:
                return _finding(criterion, part, "withdrawn", evidence)
    return _finding(criterion, part, "not shown", next(iter(looked_at(one, sight)), None))


def _finding(
    criterion: Criterion, part: Part, verdict: Verdict, evidence: Evidence | None, lapses_on: date | None = None
) -> Finding:
    return Finding(criterion, part, verdict, evidence, lapses_on, verdict in UNMET)


def deciding(one: CompiledCriterion, sight: PartView, truth: int) -> Evidence | None:
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


def looked_at(one: CompiledCriterion, sight: PartView) -> list[Evidence]:
    """All evidence that the criterion's `must` sees on the part."""
    values = [leaf.get(sight) for leaf in one.leaves]
    return [held.evidence for held in values if held is not None and held.evidence is not None]


def whether_applies(one: CompiledCriterion, sight: PartView) -> int:
    """Whether a criterion applies to what is seen: it fails, is unknown, or holds."""
    truth = HOLDS if one.when is None else one.when(sight)
    if one.unless is not None:
        truth = min(truth, opposite(one.unless(sight)))
    return HOLDS if truth == NEAR else truth


def comes_under(one: CompiledCriterion, part: Part, situation: Situation) -> PartView | None:
    """How a part is seen on the first day of the move on which the criterion applies to it, or may; None if there is
    none. What both begins and ends on the way is asked about every day on which it can change."""
    move = situation.move
    if one.may_leave:
        criterion, seen = one.criterion, view_for_when(part, situation, move.out)
        changes = {day.toordinal() for each in (criterion.when, criterion.unless) for day in change_days(each, seen)}
        first, last = move.out.toordinal() + 1, move.back.toordinal() - 1
        found = first_holding(
            lambda day: _may_apply_on(one, part, situation, date.fromordinal(day)), first, last, changes
        )
        if found is not None:
            return view_for_when(part, situation, date.fromordinal(found))
    asked = view_for_when(part, situation, move.back, arriving=True)
    return None if whether_applies(one, asked) == FAILS else asked


def _may_apply_on(one: CompiledCriterion, part: Part, situation: Situation, day: date) -> bool:
    return whether_applies(one, view_for_when(part, situation, day)) != FAILS


def view_for_when(part: Part, situation: Situation, day: date, *, arriving: bool = False) -> PartView:
    """The part as `when` and `unless` see it: who showed it matters for what must hold, not for what the part is."""
    return PartView(situation, part.key, situation.views[part.key], day, arriving=arriving)


def view_for_must(
    one: CompiledCriterion, part: Part, situation: Situation, day: date, *, arriving: bool = False
) -> PartView:
    """The part as `must` sees it on a day: who showed it matters, and how old it is."""
    key = part.key
    view = situation.view(key, shop=True) if one.shop else situation.views[key]
    within = one.criterion.read_within
    return PartView(
        situation, key, view, day, one.shop, None if within is None else within.before(day), arriving=arriving
    )


def last_good_day(
    one: CompiledCriterion, part: Part, situation: Situation, first: date, last: date, *, arriving: bool
) -> date | None:
    """The last day, from one on which it holds, up to which it holds without a break; None where it holds up to the
    last day. arriving: the last day is that of the return, on which all miles of the move are made.

    What only ages is found by halving: what has lapsed stays lapsed. What may begin to hold as time goes by (an age
    reached) is asked about the days on which it can change.
    """

    def holds(day: int, *, arriving: bool = False) -> bool:
        return one.must(view_for_must(one, part, situation, date.fromordinal(day), arriving=arriving)) >= NEAR

    start, end = first.toordinal(), last.toordinal()
    if one.may_begin:
        good = last_in_run(holds, start, end, _changes(one, part, situation))
        return None if good == end and not (arriving and not holds(end, arriving=True)) else date.fromordinal(good)
    if holds(end, arriving=arriving):
        return None
    return date.fromordinal(last_before_flip(holds, start, end))


def _changes(one: CompiledCriterion, part: Part, situation: Situation) -> set[int]:
    """The days on which what `must` says of a part can change."""
    view = PartView(situation, part.key, situation.view(part.key, shop=one.shop), situation.move.out, one.shop)
    criterion = one.criterion
    return {day.toordinal() for day in change_days(criterion.must, view, criterion.read_within)}
