"""The nearest readings with which a breached finding would be met, each found by judging it anew."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.comparisons import getter
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Figure, Value
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.rulebook.model import Verdict
from carknocker.whatif.adjustable_inputs import Aim, Choice, Knob, choices, knobs_of
from carknocker.whatif.model import Change, Turned, Way
from carknocker.whatif.threshold_search import turned
from carknocker.whatif.what_if import situation_with, verdict_with


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
    situation, move, key = index.situation, index.judgement.move, finding.part.key
    day = move.back if arriving else move.out
    within = finding.criterion.read_within
    oldest = None if within is None or arriving else within.before(day)
    return PartView(situation, key, situation.values_of(key, shop=shop), day, shop, oldest, arriving=arriving)


def limits_of(aim: Aim, knob: Knob, sight: PartView) -> list[Value]:
    """What a value is compared with; of a reading behind a worked figure, where the figure comes to its limit. sight:
    of any part, where the finding fails."""
    comparison = aim.comparison
    own = sight.at(aim.key)
    if knob.role == "own":
        return _limits(comparison, own)
    held = getter(comparison.path)(own)
    if held is None:
        return []
    if knob.role == "limit":
        return [held.value]
    limit = limit_getter(comparison)(own)
    now, path = knob.now, comparison.path
    owner = own.situation.owner(own.key, path.owner) if path.owner else own.key
    if limit is None or not limit.d or not held.d or not isinstance(now, Figure) or owner is None:
        return []
    gap = Fraction(limit.n, limit.d) - Fraction(held.n, held.d)
    candidates = own.situation.candidates(owner, path.attribute, shop=own.shop)
    shares = [share for one in candidates if one.beyond >= 0 for share in one.shares]
    found = [one.sensitivity for one in shares if one.evidence.id == knob.evidence[0].id and one.sensitivity]
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
_NO_LONGER: frozenset[Verdict] = frozenset({"not shown", "for the day", "borderline", "withdrawn"})


def nearest(finding: Finding, index: JudgementIndex) -> tuple[Way, ...]:
    """The nearest ways to meet a finding that is breached or lapses: of each reading that it hangs on the nearest value
    on each side, all else as it stands; where one reading is not enough, those that are together. Where something else
    is not shown besides, the ways by which it is at least not breached. Empty for another verdict, or where no reading
    of this car can help."""
    if finding.verdict not in _ASKED:
        return ()
    looked = failing_sight(finding, index)
    if looked is None:
        return _Search(finding, index, sight_on_arrival(finding, index)).fresh()
    search = _Search(finding, index, looked)
    for wanted in (_MET, _NO_LONGER, *((_LAPSES,) if finding.verdict == "breached" else ())):
        found: dict[tuple[object, ...], Way] = {}
        for choice in choices(finding.criterion.must, looked):
            for way in search.ways(choice, wanted):
                found.setdefault(tuple((one.part.key, one.attribute.name, one.values) for one in way.changes), way)
        if found:
            return tuple(found.values())[:MOST]
    return ()


class _Search:
    """Turns what a finding hangs on until it is met."""

    def __init__(self, finding: Finding, index: JudgementIndex, sight: PartView) -> None:
        self._finding, self._index, self._sight = finding, index, sight
        judgement = index.judgement
        self._until = [judgement.move.back]
        self._days = sorted({judgement.as_of, max(judgement.as_of, judgement.move.out)})

    def ways(self, choice: Choice, wanted: frozenset[Verdict]) -> Iterator[Way]:
        """The ways to reach all aims of a choice."""
        options = [list(knobs_of(aim, self._sight)) for aim in choice]
        if not choice or not all(options):
            return
        shared = [knob for knob in options[0] if all(knob.key in [one.key for one in each] for each in options)]
        for knob in shared:
            for found in self._turn(knob, choice, lambda value, knob=knob: self._is(knob.turned(value), wanted)):
                yield self._way([(knob, found)], self._borderline(knob, choice))
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
        old: dict[tuple[str, ...], Knob] = {}
        for comparison in comparisons_in(self._finding.criterion.must, parts_inside=False):
            for knob in knobs_of(Aim(self._sight.key, comparison, True), self._sight):
                if knob.turns == "value" and any(one.on is not None and one.on < first for one in knob.evidence):
                    old.setdefault(knob.key, replace(knob, turns="on"))
        if not old:
            return ()

        def all_on(value: Value) -> bool:
            return self._is({name: one for knob in old.values() for name, one in knob.turned(value).items()}, _MET)

        latest = max(old.values(), key=lambda knob: knob.evidence[0].on or first)
        found = turned(latest, all_on, (), self._days)
        return tuple(self._way([(knob, one) for knob in old.values()]) for one in found)

    def _together(
        self, choice: Choice, options: list[list[Knob]], wanted: frozenset[Verdict]
    ) -> list[tuple[Knob, Turned]]:
        """One change for each thing that several aims hang on, each the nearest that reaches its own aims."""
        groups: dict[tuple[str, ...], tuple[Knob, list[Aim]]] = {}
        for aim, knobs in zip(choice, options, strict=True):
            groups.setdefault(knobs[0].key, (knobs[0], []))[1].append(aim)
        found: list[tuple[Knob, Turned]] = []
        for knob, aims in groups.values():
            options_here = self._turn(
                knob, aims, lambda value, knob=knob, aims=aims: self._reached(knob.turned(value), aims)
            )
            best = min(options_here, key=lambda one: one.near, default=None)
            if best is None:
                return []
            found.append((knob, best))
        changed: dict[str, Evidence] = {}
        for knob, best in found:
            changed.update(knob.turned(best.values[0]))
        return found if self._is(changed, wanted) else []

    def _turn(self, knob: Knob, aims: Iterable[Aim], works: object) -> tuple[Turned, ...]:
        limits = [limit for aim in aims for limit in limits_of(aim, knob, self._sight)]
        if knob.role == "own":  # the other comparisons with it bound it too
            for comparison in comparisons_in(self._finding.criterion.must):
                if (comparison.path.attribute, comparison.path.fact) == (knob.attribute, knob.fact):
                    limits.extend(limits_of(Aim(self._finding.part.key, comparison, True), knob, self._sight))
        days = self._until if knob.turns == "until" else self._days
        return turned(knob, works, limits, days)  # type: ignore[arg-type]

    def _is(self, otherwise: Mapping[str, Evidence], wanted: frozenset[Verdict]) -> bool:
        return verdict_with(self._index, self._finding, otherwise) in wanted

    def _reached(self, otherwise: Mapping[str, Evidence], aims: Iterable[Aim]) -> bool:
        situation: Situation = situation_with(self._index, otherwise)
        old = self._sight
        view = situation.values_of(old.key, shop=old.shop)
        sight = PartView(situation, old.key, view, old.day, old.shop, old.oldest, arriving=old.arriving)
        return all(aim.reached(sight) for aim in aims)

    def _borderline(self, knob: Knob, choice: Choice) -> Value | None:
        """The limit itself, where it would pass by less than the gauge can tell."""
        for limit in (limit for aim in choice for limit in limits_of(aim, knob, self._sight)):
            if isinstance(limit, Figure) and self._is(knob.turned(limit), _BORDERLINE):
                return limit
        return None

    def _way(self, found: list[tuple[Knob, Turned]], borderline: Value | None = None) -> Way:
        changed: dict[str, Evidence] = {}
        for knob, one in found:
            changed.update(knob.turned(one.values[0]))
        changes = tuple(self._change(knob, one, borderline) for knob, one in found)
        return Way(changes, verdict_with(self._index, self._finding, changed))

    def _change(self, knob: Knob, one: Turned, borderline: Value | None) -> Change:
        part = self._index.situation.standing.parts[knob.evidence[0].part]
        return Change(
            part, knob.attribute, knob.fact, one.values, one.side, knob.now, one.short, knob.turns in ("on", "until"),
            tuple(evidence.id for evidence in knob.evidence), borderline,
        )  # fmt: skip
