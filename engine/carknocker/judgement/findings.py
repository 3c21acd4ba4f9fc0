"""Findings: every criterion on every part of its kind, spares too, from what may be believed."""

from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import date
from itertools import repeat

import msgspec

from carknocker.judgement.change_days import change_days
from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion
from carknocker.judgement.model import UNMET, Finding
from carknocker.judgement.part_view import PartView, PartViews, view_of
from carknocker.judgement.situation import Situation
from carknocker.judgement.threshold import first_holding, last_before_flip, last_in_run
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.record.model import Evidence, Part
from carknocker.rulebook.model import Criterion, Verdict

Unvoided = Callable[[], Situation | None]
"""Gives the situation as if nothing were void, or None if nothing is."""


class Findings(msgspec.Struct, frozen=True):
    """All findings, criterion by criterion; of them, those that are unmet, and those of criteria that are renewed on
    the way."""

    every: list[Finding]
    unmet: list[Finding]
    renewed: list[Finding]


def findings_of(compiled: Iterable[CompiledCriterion], situation: Situation, unvoided: Unvoided) -> Findings:
    """What every criterion finds on every part of its kind."""
    found = Findings([], [], [])
    views, before = PartViews(situation), _Before(unvoided)
    by_kind = situation.standing.by_kind
    every, renewed = found.every, found.renewed
    for one in compiled:
        criterion = one.criterion
        parts = by_kind.get(criterion.of)
        if parts:
            own = _judge(one, parts, views, before, found.unmet)
            every += own
            if criterion.renewal is not None:
                renewed += own
    return found


def judge_part(one: CompiledCriterion, part: Part, situation: Situation, unvoided: Unvoided) -> Finding:
    """One criterion on one part, every verdict considered."""
    return _judge(one, (part,), PartViews(situation), _Before(unvoided), [])[0]


class _Before:
    """The parts as they would be seen if nothing were void; made when first asked for."""

    def __init__(self, unvoided: Unvoided) -> None:
        self._unvoided = unvoided
        self._views: PartViews | None = None

    def views(self) -> PartViews | None:
        """None if nothing is void."""
        if self._views is None:
            situation = self._unvoided()
            self._views = None if situation is None else PartViews(situation)
        return self._views


def _judge(
    one: CompiledCriterion, parts: tuple[Part, ...], views: PartViews, before: _Before, unmet: list[Finding]
) -> list[Finding]:
    """One criterion on parts of its kind. What it asks of car, move and train is asked once for all of them. unmet:
    takes in what is unmet."""
    criterion = one.criterion
    applying: Iterable[int] = repeat(HOLDS)
    later: dict[str, PartView] = {}
    if one.conditional:
        asked = views.departing(parts, one.asked_terms)
        of_all = UNKNOWN if one.applies_to_all is None or one.may_come_under else one.applies_to_all(asked[0])
        if of_all == FAILS:
            return [Finding(criterion, part, "not applicable", None) for part in parts]
        applies_to = one.applies_to_each if of_all == HOLDS else one.applies
        if applies_to is not None:
            applying = [applies_to(view) for view in asked]
            if one.may_come_under:
                # a part that comes under the criterion on the way is judged as if it were under it from the start
                applying = [
                    _on_the_way(one, part, views, later) if applies == FAILS else applies
                    for part, applies in zip(parts, applying, strict=True)
                ]
    seen = views.departing(parts, one.seen_terms)
    decide, met_at_once = one.decide, one.met_at_once
    open_choices = views.situation.open_choices
    findings: list[Finding] = []
    add = findings.append
    for part, view, applies in zip(parts, seen, applying):  # noqa: B905 (`applying` may have no end)
        if applies == FAILS:
            add(Finding(criterion, part, "not applicable", None))
            continue
        truth, evidence = decide(view)
        if truth == UNKNOWN and criterion.read_within is not None:
            # what grew too old shows nothing good any longer; what it showed that is bad still stands
            of_any_age = decide(views.of(part.key, view.day, shop=one.shop))
            truth, evidence = of_any_age if of_any_age[0] == FAILS else (truth, evidence)
        if truth == HOLDS and met_at_once:
            add(Finding(criterion, part, "met", evidence))
            continue
        if truth >= NEAR:
            finding = _passed(one, part, view, truth, evidence, views)
        elif truth == UNKNOWN and not part.fitted and _lacks_place(one.leaves, view):
            # it asks about the place, and this part has none
            finding = Finding(criterion, part, "not applicable", None)
        elif truth == FAILS and (applies != UNKNOWN or _of_unknown_place(one, part, views, later)):
            finding = _finding(criterion, part, "breached", evidence)
        elif open_choices and _looks_at(one, open_choices) and (failed := _breached_somewhere(one, part, views)):
            finding = _finding(criterion, part, "breached", failed[0])
        else:
            finding = _not_shown(one, part, view, truth, before)
        add(finding)
        if finding.unmet:
            unmet.append(finding)
    return findings


def _looks_at(one: CompiledCriterion, choices: Collection[tuple[str, str]]) -> bool:
    return one.attributes is None or any(name in one.attributes for _, name in choices)


def _breached_somewhere(one: CompiledCriterion, part: Part, views: PartViews) -> tuple[Evidence | None] | None:
    """The evidence of a breach, where the move leaves a choice open and with some word of it the criterion applies and
    is breached; None where it never is. The car may come to stand there: so the worst counts."""
    for situation in views.situation.decided:
        day = situation.move.out
        if whether_applies(one, view_for_when(part, situation, day)) == HOLDS:
            truth, evidence = one.decide(view_for_must(one, part, situation, day))
            if truth == FAILS:
                return (evidence,)
    return None


def _on_the_way(one: CompiledCriterion, part: Part, views: PartViews, later: dict[str, PartView]) -> int:
    """Whether a part comes under a criterion on the way; if so, how it is seen then is put into `later`."""
    view = comes_under(one, part, views.situation)
    if view is None:
        return FAILS
    later[part.key] = view
    return one.applies(view)


def _passed(
    one: CompiledCriterion, part: Part, view: PartView, truth: int, evidence: Evidence | None, views: PartViews
) -> Finding:
    """A part on which `must` holds on departure: whether it does for anyone, by enough, and to the end of the move."""
    criterion = one.criterion
    worse = _worse_by_anyone(one, view, views)
    if worse is not None:
        return _finding(criterion, part, "breached", worse)
    left_to_the_host = one.dated and criterion.renewal is None and criterion.shown_by == "host on the day"
    if left_to_the_host and _grows_old(one, part, views):
        return Finding(criterion, part, "for the day", None)
    lapses_on = _lapses_on(one, part, views) if one.dated else None
    if lapses_on is not None and criterion.renewal is None:
        return _finding(criterion, part, "lapses", evidence, lapses_on)
    near = truth == NEAR
    unmet = near and criterion.borderline == "refuse"
    finding = Finding(criterion, part, "borderline" if near else "met", evidence, lapses_on, unmet)
    if criterion.renewal is not None and len(one.leaves) > 1:
        finding.oldest = min((on for leaf in one.leaves if (on := _read_on(leaf, view)) is not None), default=None)
    return finding


def _grows_old(one: CompiledCriterion, part: Part, views: PartViews) -> bool:
    """Whether on the return nothing is shown any longer, as if the part had not been looked at: then the host looks."""
    return one.must(_arrived(one, part, views)) == UNKNOWN


def _arrived(one: CompiledCriterion, part: Part, views: PartViews) -> PartView:
    """The part as `must` sees it on the return."""
    back, within = views.situation.move.back, one.criterion.read_within
    return views.of(part.key, back, shop=one.shop, read_within=within, arriving=True)


def _of_unknown_place(one: CompiledCriterion, part: Part, views: PartViews, later: Mapping[str, PartView]) -> bool:
    """A spare of which only its place is unknown: it would breach the criterion wherever that applies."""
    if part.fitted or not one.conditional:
        return False
    under = later.get(part.key) or views.of(part.key, views.situation.move.out)
    return _lacks_place(one.condition_leaves, under)


def _lacks_place(leaves: tuple[CompiledComparison, ...], view: PartView) -> bool:
    """Whether some comparison asks for a container that the part hasn't got."""
    view.unplaced = False
    for leaf in leaves:
        leaf.test(view)
    return view.unplaced


def _read_on(leaf: CompiledComparison, view: PartView) -> date | None:
    """The day of what a comparison that holds rests on."""
    value = leaf.get(view)
    if value is None or leaf.test(view) < NEAR:
        return None
    return value.on if value.evidence is None else value.evidence.on


def _worse_by_anyone(one: CompiledCriterion, view: PartView, views: PartViews) -> Evidence | None:
    """A reading beyond the limit that someone made whom the host does not accept, newer than what an accepted person
    showed: evidence beyond the limit counts, whoever shows it."""
    if not one.shop or (one.looks_at_part_only and views.situation.values[view.key] is view.values):
        return None
    anyone = views.of(view.key, view.day)
    truth, evidence = one.decide(anyone)
    return evidence if truth == FAILS else None


def _not_shown(one: CompiledCriterion, part: Part, view: PartView, truth: int, before: _Before) -> Finding:
    """truth: of `must`; it fails here only where nothing shows whether the criterion applies. Then it is no matter of
    the day: the reading is there, and what is missing is a description."""
    criterion = one.criterion
    if part.unlisted is not None:
        # the host looks at what the record lists; and nothing was ever read of it that could be void
        return _finding(criterion, part, "not shown", None)
    if criterion.shown_by == "host on the day" and truth == UNKNOWN:
        return Finding(criterion, part, "for the day", None)
    views = before.views()
    if views is not None:
        earlier = views.of(part.key, view.day, shop=one.shop, read_within=criterion.read_within)
        if one.must(earlier) >= NEAR and (not one.conditional or one.applies(views.of(part.key, view.day)) != FAILS):
            excluded = view.situation.excluded
            evidence = next((e for e in _looked_at(one, earlier) if e.id in excluded), None)
            if evidence is not None:
                return _finding(criterion, part, "void", evidence)
    return _finding(criterion, part, "not shown", next(iter(_looked_at(one, view)), None))


def _finding(
    criterion: Criterion, part: Part, verdict: Verdict, evidence: Evidence | None, lapses_on: date | None = None
) -> Finding:
    return Finding(criterion, part, verdict, evidence, lapses_on, verdict in UNMET)


def _looked_at(one: CompiledCriterion, view: PartView) -> list[Evidence]:
    """All evidence that the criterion's `must` sees on the part."""
    values = [leaf.get(view) for leaf in one.leaves]
    return [value.evidence for value in values if value is not None and value.evidence is not None]


def whether_applies(one: CompiledCriterion, view: PartView) -> int:
    """Whether a criterion applies to what is seen: it fails, is unknown, or holds."""
    truth = one.applies(view) if one.conditional else HOLDS
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
    return view_of(situation, part.key, day, arriving=arriving)


def view_for_must(
    one: CompiledCriterion, part: Part, situation: Situation, day: date, *, arriving: bool = False
) -> PartView:
    """The part as `must` sees it on a day: who showed it matters, and how old it is, unless what is too old is bad."""
    within = one.criterion.read_within
    view = view_of(situation, part.key, day, shop=one.shop, read_within=within, arriving=arriving)
    if within is not None and one.must(view) == UNKNOWN:
        of_any_age = view_of(situation, part.key, day, shop=one.shop, arriving=arriving)
        return of_any_age if one.must(of_any_age) == FAILS else view
    return view


def _lapses_on(one: CompiledCriterion, part: Part, views: PartViews) -> date | None:
    """The last day of the move up to which what holds on departure holds; None where it holds to the end."""
    situation = views.situation
    move = situation.move
    if not one.may_begin and one.must(_arrived(one, part, views)) >= NEAR:
        return None
    return last_good_day(one, part, situation, move.out, move.back, arriving=True)


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
    view = PartView(situation, part.key, situation.values_of(part.key, shop=one.shop), situation.move.out, one.shop)
    criterion = one.criterion
    return {day.toordinal() for day in change_days(criterion.must, view, criterion.read_within)}
