"""The nearest readings with which a breached finding would be met, each found by judging it anew."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from functools import partial

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.comparisons import getter
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import FAILS
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Figure, Value
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.rulebook.model import Verdict
from carknocker.whatif.adjustable_inputs import AdjustableInput, Goal, GoalChoice, goal_choices, inputs_of
from carknocker.whatif.hypothetical_finding import situation_with, verdict_with
from carknocker.whatif.model import Change, Threshold, Way
from carknocker.whatif.threshold_search import Works, thresholds


def failing_sight(finding: Finding, index: JudgementIndex) -> PartView | None:
    """The part as it was seen where the criterion fails: on departure by those who count, by anyone, on arrival. None
    where it fails nowhere: what lapses may do so because readings get too old."""
    one = index.compiled(finding.criterion)
    for sight in (
        _sight(finding, index, shop=one.shop, arriving=False),
        _sight(finding, index, shop=False, arriving=False),
        sight_on_arrival(finding, index),
    ):
        if one.must(sight) == FAILS:
            return sight
    return None


def sight_on_arrival(finding: Finding, index: JudgementIndex) -> PartView:
    """The part as its criterion sees it at the end of the move."""
    one = index.compiled(finding.criterion)
    return _sight(finding, index, shop=one.shop, arriving=True)


def _sight(finding: Finding, index: JudgementIndex, *, shop: bool, arriving: bool) -> PartView:
    situation, move, key = index.judgement.situation_of(finding), index.judgement.move, finding.part.key
    day = move.back if arriving else move.out
    within = finding.criterion.read_within
    oldest = None if within is None or arriving else within.before(day)
    return PartView(situation, key, situation.values_of(key, shop=shop), day, shop, oldest, arriving=arriving)


def limits_of(goal: Goal, adjustable: AdjustableInput, sight: PartView) -> list[Value]:
    """What a value is compared with; of a reading behind a worked figure, where the figure comes to its limit. sight:
    of any part, where the finding fails."""
    comparison = goal.comparison
    own = sight.at(goal.key)
    if adjustable.role == "own":
        return _limits(comparison, own)
    held = getter(comparison.path)(own)
    if held is None:
        return []
    if adjustable.role == "limit":
        return [held.value]
    limit = limit_getter(comparison)(own)
    now, path = adjustable.now, comparison.path
    owner = own.situation.owner(own.key, path.owner) if path.owner else own.key
    if limit is None or not limit.d or not held.d or not isinstance(now, Figure) or owner is None:
        return []
    gap = Fraction(limit.n, limit.d) - Fraction(held.n, held.d)
    candidates = own.situation.candidates(owner, path.attribute, shop=own.shop)
    shares = [share for one in candidates if one.beyond >= 0 for share in one.shares]
    found = [one.sensitivity for one in shares if one.evidence.id == adjustable.evidence[0].id and one.sensitivity]
    quantity = now.quantity
    return [Figure(Quantity.of(quantity.dimension, quantity.amount + gap / one, quantity.unit)) for one in found[:1]]


def _limits(comparison: Comparison, sight: PartView) -> list[Value]:
    if isinstance(comparison.limit, Fixed):
        return list(comparison.limit.values)
    held = limit_getter(comparison)(sight)
    return [] if held is None else [held.value]


MOST = 12
_ASKED = ("breached", "lapses")
_MET: frozenset[Verdict] = frozenset({"met"})
_BORDERLINE: frozenset[Verdict] = frozenset({"borderline"})
_LAPSES: frozenset[Verdict] = frozenset({"lapses"})
_NO_LONGER: frozenset[Verdict] = frozenset({"not shown", "for the day", "borderline", "void"})


def nearest(finding: Finding, index: JudgementIndex) -> tuple[Way, ...]:
    """The nearest ways to meet a finding that is breached or lapses: for each reading that it depends on, the nearest
    value on each side, taken as sure, all else as it stands; where one reading is not enough, those that are together.
    Where something else is not shown besides, the ways by which it is at least not breached. Empty for another verdict,
    or where no reading of this car can help."""
    if finding.verdict not in _ASKED:
        return ()
    looked = failing_sight(finding, index)
    if looked is None:
        return _Search(finding, index, sight_on_arrival(finding, index)).fresh()
    search = _Search(finding, index, looked)
    for wanted in (_MET, _NO_LONGER, *((_LAPSES,) if finding.verdict == "breached" else ())):
        found: dict[tuple[object, ...], Way] = {}
        for choice in goal_choices(finding.criterion.must, looked):
            for way in search.ways(choice, wanted):
                found.setdefault(tuple((one.part.key, one.attribute.name, one.values) for one in way.changes), way)
        if found:
            return tuple(found.values())[:MOST]
    return ()


class _Search:
    """Adjusts what a finding depends on until it is met."""

    def __init__(self, finding: Finding, index: JudgementIndex, sight: PartView) -> None:
        self._finding, self._index, self._sight = finding, index, sight
        judgement = index.judgement
        self._until = [judgement.move.back]
        self._days = sorted({judgement.as_of, max(judgement.as_of, judgement.move.out)})

    def ways(self, choice: GoalChoice, wanted: frozenset[Verdict]) -> Iterator[Way]:
        """The ways to reach all goals of a choice."""
        options = [list(inputs_of(goal, self._sight)) for goal in choice]
        if not choice or not all(options):
            return
        shared = [one for one in options[0] if all(one.key in [other.key for other in each] for each in options)]
        for adjustable in shared:
            for found in self._thresholds(adjustable, choice, partial(self._is_with, adjustable, wanted)):
                yield self._way([(adjustable, found)], self._borderline(adjustable, choice))
        if len(choice) > 1 and not shared:
            together = self._together(choice, options, wanted)
            if together:
                yield self._way(together)

    def fresh(self) -> tuple[Way, ...]:
        """Where readings are good, but too old before the return: the day from which all of them would last."""
        within = self._finding.criterion.read_within
        if within is None:
            return ()
        first = within.before(self._index.judgement.move.back)
        old: dict[tuple[str, ...], AdjustableInput] = {}
        for comparison in comparisons_in(self._finding.criterion.must, parts_inside=False):
            for adjustable in inputs_of(Goal(self._sight.key, comparison, True), self._sight):
                too_old = any(one.on is not None and one.on < first for one in adjustable.evidence)
                if adjustable.adjusts == "value" and too_old:
                    old.setdefault(adjustable.key, replace(adjustable, adjusts="on"))
        if not old:
            return ()

        def all_on(value: Value) -> bool:
            otherwise: dict[str, Evidence] = {}
            for one in old.values():
                otherwise.update(one.adjusted(value))
            return self._is(otherwise, _MET)

        latest = max(old.values(), key=lambda one: one.evidence[0].on or first)
        found = thresholds(latest, all_on, (), self._days)
        return tuple(self._way([(each, one) for each in old.values()]) for one in found)

    def _together(
        self, choice: GoalChoice, options: list[list[AdjustableInput]], wanted: frozenset[Verdict]
    ) -> list[tuple[AdjustableInput, Threshold]]:
        """One change for each thing that several goals depend on, each the nearest that reaches its own goals."""
        groups: dict[tuple[str, ...], tuple[AdjustableInput, list[Goal]]] = {}
        for goal, inputs in zip(choice, options, strict=True):
            groups.setdefault(inputs[0].key, (inputs[0], []))[1].append(goal)
        found: list[tuple[AdjustableInput, Threshold]] = []
        for adjustable, goals in groups.values():
            options_here = self._thresholds(adjustable, goals, partial(self._reaches, adjustable, goals))
            best = min(options_here, key=lambda one: one.near, default=None)
            if best is None:
                return []
            found.append((adjustable, best))
        changed: dict[str, Evidence] = {}
        for adjustable, best in found:
            changed.update(adjustable.adjusted(best.values[0]))
        return found if self._is(changed, wanted) else []

    def _thresholds(self, adjustable: AdjustableInput, goals: Iterable[Goal], works: Works) -> tuple[Threshold, ...]:
        limits = [limit for goal in goals for limit in limits_of(goal, adjustable, self._sight)]
        if adjustable.role == "own":  # the other comparisons with it bound it too
            for comparison in comparisons_in(self._finding.criterion.must):
                if (comparison.path.attribute, comparison.path.fact) == (adjustable.attribute, adjustable.fact):
                    limits.extend(limits_of(Goal(self._finding.part.key, comparison, True), adjustable, self._sight))
        days = self._until if adjustable.adjusts == "until" else self._days
        return thresholds(adjustable, works, limits, days)

    def _is_with(self, adjustable: AdjustableInput, wanted: frozenset[Verdict], value: Value) -> bool:
        return self._is(adjustable.adjusted(value), wanted)

    def _is(self, otherwise: Mapping[str, Evidence], wanted: frozenset[Verdict]) -> bool:
        return verdict_with(self._index, self._finding, otherwise) in wanted

    def _reaches(self, adjustable: AdjustableInput, goals: Iterable[Goal], value: Value) -> bool:
        situation = situation_with(self._index, self._finding, adjustable.adjusted(value))
        old = self._sight
        view = situation.values_of(old.key, shop=old.shop)
        sight = PartView(situation, old.key, view, old.day, old.shop, old.oldest, arriving=old.arriving)
        return all(goal.reached(sight) for goal in goals)

    def _borderline(self, adjustable: AdjustableInput, choice: GoalChoice) -> Value | None:
        """The limit itself, where it would pass by less than the gauge can tell."""
        for limit in (limit for goal in choice for limit in limits_of(goal, adjustable, self._sight)):
            if isinstance(limit, Figure) and self._is(adjustable.adjusted(limit), _BORDERLINE):
                return limit
        return None

    def _way(self, found: list[tuple[AdjustableInput, Threshold]], borderline: Value | None = None) -> Way:
        changed: dict[str, Evidence] = {}
        for adjustable, one in found:
            changed.update(adjustable.adjusted(one.values[0]))
        changes = tuple(self._change(adjustable, one, borderline) for adjustable, one in found)
        return Way(changes, verdict_with(self._index, self._finding, changed))

    def _change(self, adjustable: AdjustableInput, one: Threshold, borderline: Value | None) -> Change:
        part = self._index.situation.standing.parts[adjustable.evidence[0].part]
        dated = adjustable.adjusts in ("on", "until")
        replaces = tuple(evidence.id for evidence in adjustable.evidence)
        return Change(
            part, adjustable.attribute, adjustable.fact, one.values, one.side, adjustable.now, one.short, dated,
            replaces, borderline,
        )  # fmt: skip
