"""The nearest readings with which a breached finding would be met, each found by judging it anew."""

from collections.abc import Iterable, Iterator, Mapping

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView
from carknocker.judgement.situation import Situation
from carknocker.questions.counterfactual.aims import Aim, Choice, choices
from carknocker.questions.counterfactual.compared import failing_sight, limits_of, sight_on_arrival
from carknocker.questions.counterfactual.knobs import Knob, knobs_of
from carknocker.questions.counterfactual.model import Change, Turned, Way
from carknocker.questions.counterfactual.turning import turned
from carknocker.questions.counterfactual.what_if import WhatIf
from carknocker.record.model import Evidence
from carknocker.record.values import Figure, Value
from carknocker.rulebook.model import Verdict

MOST = 12
_ASKED = ("breached", "lapses")
_MET: frozenset[Verdict] = frozenset({"met"})
_BORDERLINE: frozenset[Verdict] = frozenset({"borderline"})
_LAPSES: frozenset[Verdict] = frozenset({"lapses"})
_NO_LONGER: frozenset[Verdict] = frozenset({"not shown", "for the day", "borderline", "withdrawn"})


def nearest(finding: Finding, what_if: WhatIf) -> tuple[Way, ...]:
    """The nearest ways to meet a finding that is breached or lapses: of each reading that it hangs on the nearest value
    on each side, all else as it stands; where one reading is not enough, those that are together. Where something else
    is not shown besides, the ways by which it is at least not breached. Empty for another verdict, or where no reading
    of this car can help."""
    if finding.verdict not in _ASKED:
        return ()
    looked = failing_sight(finding, what_if)
    if looked is None:
        return _Search(finding, what_if, sight_on_arrival(finding, what_if)).fresh()
    search = _Search(finding, what_if, looked)
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

    def __init__(self, finding: Finding, what_if: WhatIf, sight: PartView) -> None:
        self._finding, self._what_if, self._sight = finding, what_if, sight
        judgement = what_if.judgement
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
        first = within.before(self._what_if.judgement.move.back)
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
        return self._what_if.verdict(self._finding, otherwise) in wanted

    def _reached(self, otherwise: Mapping[str, Evidence], aims: Iterable[Aim]) -> bool:
        situation: Situation = self._what_if.changed(otherwise)
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
        return Way(changes, self._what_if.verdict(self._finding, changed))

    def _change(self, knob: Knob, one: Turned, borderline: Value | None) -> Change:
        part = self._what_if.situation.standing.parts[knob.evidence[0].part]
        return Change(
            part, knob.attribute, knob.fact, one.values, one.side, knob.now, one.short, knob.turns in ("on", "until"),
            tuple(evidence.id for evidence in knob.evidence), borderline,
        )  # fmt: skip
