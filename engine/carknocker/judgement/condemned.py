"""Figures that kept a limit again after a reading beyond it, with no work between that could have changed them, and
nobody who stands for the newer one."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

import msgspec

from carknocker.judgement.comparisons import decision
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.long_ago import LongAgo
from carknocker.judgement.looks import looks_of, seen_by
from carknocker.judgement.mending import Mending
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.odd_wear import apart, left_open, worn_on
from carknocker.judgement.oddities import Condemned
from carknocker.judgement.part_view import Decide, view_of
from carknocker.judgement.second_reader import second_readings
from carknocker.judgement.set_aside import MadeVoidBy
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.judgement.work_between import WorkBetween
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Bound
from carknocker.rulebook.clauses import Fixed, comparisons, paths
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute

_EVERYWHERE = frozenset({"car", "move", "train"})


class Limits:
    """The limits of one rulebook that refuse or restrict, by what they look at; laid out where a figure changed."""

    def __init__(self, criteria: tuple[CompiledCriterion, ...] = ()) -> None:
        self._criteria = criteria

    @cached_property
    def of_readings(self) -> Mapping[tuple[str, str], tuple[tuple[CompiledCriterion, Decide | None], ...]]:
        """Kind of part and attribute → the criteria that compare it, each with what a written limit decides of a value;
        None where the limit is told elsewhere."""
        found: dict[tuple[str, str], tuple[tuple[CompiledCriterion, Decide | None], ...]] = {}
        for one in self._criteria:
            if one.criterion.effect == "advise":
                continue
            for inside, comparison in comparisons(one.criterion.must):
                decide = decision(comparison) if isinstance(comparison.limit, Fixed) else None
                for path in paths(comparison):
                    key = path.owner or inside or one.criterion.of, path.attribute.name
                    if not path.attribute.derived and path.fact is None:
                        found[key] = (*found.get(key, ()), (one, decide))
        return found

    @cached_property
    def of_figures(self) -> tuple[CompiledCriterion, ...]:
        """The criteria that compare a figure which is worked out from readings."""
        return tuple(
            one
            for one in self._criteria
            if one.criterion.effect != "advise"
            and any(path.attribute.derived for _, each in comparisons(one.criterion.must) for path in paths(each))
        )  # fmt: skip


NO_LIMITS = Limits()


class _Changed(msgspec.Struct, frozen=True, eq=False):
    """A reading that says otherwise than earlier ones, the newest of them first, for which no reader stands and between
    which no work was done. alike: what second readers read like it. jobs: that change it."""

    part: Part
    attribute: Attribute
    later: Evidence
    earlier: tuple[Evidence, ...]
    alike: tuple[Evidence, ...]
    jobs: tuple[str, ...]

    def alike_since(self, earlier: Evidence) -> Iterator[Evidence]:
        """What second readers read no earlier than that."""
        return (one for one in self.alike if one is not earlier and not (one.on and earlier.on and one.on < earlier.on))


def condemned_before(situation: Situation, mending: Mending, limits: Limits) -> Iterator[tuple[Part, Condemned]]:
    """Each reading by which a limit is kept that an earlier one breaches, by part in walking order."""
    changed = _Changes(situation, mending).all()
    if not changed:
        return
    judged = _Judged(situation)
    found: dict[str, tuple[Part, Condemned]] = {}
    for one in changed:
        told = _by_itself(one, limits, judged)
        if told is not None:
            found[one.later.id] = (one.part, told)
    for criterion in limits.of_figures:
        for one, earlier in _by_figure(criterion, changed, judged):
            found.setdefault(one.later.id, (one.part, Condemned(one.attribute, earlier, one.later, one.jobs)))
    yield from (found[one.later.id] for one in changed if one.later.id in found)


def _by_itself(one: _Changed, limits: Limits, judged: "_Judged") -> Condemned | None:
    for earlier in one.earlier:
        was = ObservedValue(earlier.value, earlier)
        for criterion, decide in limits.of_readings.get((one.part.kind, one.attribute.name), ()):
            if decide is not None and decide(was, judged.anywhere) != FAILS:
                continue
            # beyond a written limit it keeps nothing: what else the requirement asks may not be known
            most = FAILS if decide is None else UNKNOWN
            parts = judged.parts(criterion, one.part)
            if any(judged.condemned(criterion, part, {one: earlier}, most) for part in parts):
                return Condemned(one.attribute, earlier, one.later, one.jobs)
    return None


def _by_figure(
    criterion: CompiledCriterion, changed: Iterable[_Changed], judged: "_Judged"
) -> Iterator[tuple[_Changed, Evidence]]:
    """The readings on which a figure rests that keeps a limit again."""
    parts = {part.key: part for one in changed for part in judged.parts(criterion, one.part)}
    for part in parts.values():
        looked_at = judged.looked_at(criterion, part) if judged.keeps(criterion, part) else frozenset()
        own = [one for one in changed if one.later.id in looked_at]
        for number in range(max((len(one.earlier) for one in own), default=0)):
            before = {one: one.earlier[min(number, len(one.earlier) - 1)] for one in own}
            if judged.condemned(criterion, part, before, FAILS):
                yield from before.items()
                break


class _Judged:
    """What criteria say of the parts of a situation now, and with earlier readings in the place of newer ones."""

    def __init__(self, situation: Situation) -> None:
        self._situation = situation
        self._out = situation.move.out
        self.anywhere = view_of(situation, "car", self._out)

    def parts(self, criterion: CompiledCriterion, changed: Part) -> list[Part]:
        """The parts at which a criterion may see a reading of a part."""
        standing = self._situation.standing
        of_kind = standing.by_kind.get(criterion.criterion.of, ())
        if changed.kind in _EVERYWHERE or criterion.criterion.of in ("leg", *_EVERYWHERE):
            return [*of_kind]
        around = {changed.key, *standing.containers(changed.key)}
        return [part for part in of_kind if part.key in around or changed.key in standing.containers(part.key)]

    def keeps(self, criterion: CompiledCriterion, part: Part) -> bool:
        """Whether a part comes under a criterion and meets it, or would if it did."""
        view = view_of(self._situation, part.key, self._out)
        if criterion.conditional and criterion.applies(view) == FAILS:
            return False
        return criterion.must(view) >= NEAR

    def condemned(
        self, criterion: CompiledCriterion, part: Part, before: Mapping[_Changed, Evidence], most: int
    ) -> bool:  # fmt: skip
        """Whether a part meets a criterion now and did not with what was read before, which no second reader has found
        otherwise since. most: the truth of what it asks, with what was read before."""
        if self._truth(criterion, part, before) > most or not self.keeps(criterion, part):
            return False
        since = {one: next(one.alike_since(earlier), None) for one, earlier in before.items()}
        again = {one: earlier if (found := since[one]) is None else found for one, earlier in before.items()}
        return not any(since.values()) or self._truth(criterion, part, again) <= most

    def _truth(self, criterion: CompiledCriterion, part: Part, before: Mapping[_Changed, Evidence]) -> int:
        values = {
            (one.part.key, one.attribute.name): ObservedValue(earlier.value, earlier) for one, earlier in before.items()
        }
        return criterion.must(view_of(self._situation.with_values(values), part.key, self._out))

    def looked_at(self, criterion: CompiledCriterion, part: Part) -> frozenset[str]:
        view = view_of(self._situation, part.key, self._out)
        return frozenset(one.id for one in seen_by(looks_of(criterion.criterion.must), view))


class _Changes:
    """Finds the readings of a situation that say otherwise than earlier ones, and not what use alone makes of them."""

    def __init__(self, situation: Situation, mending: Mending) -> None:
        self._situation = situation
        self._work = WorkBetween(situation, mending)
        self._long_ago = LongAgo(situation)

    def all(self) -> tuple[_Changed, ...]:
        """By part in walking order."""
        standing, kinds = self._situation.standing, load_vocabulary().kinds
        found = []
        for key, attributes in standing.evidence.items():
            part = standing.parts.get(key)
            if part is None:
                continue
            for name, entries in attributes.items():
                if len(entries) < 2 or entries[-1].sort != "reading":
                    continue
                held = self._situation.values[key].get(name)
                attribute = kinds[part.kind].attributes.get(name)
                if attribute is None or held is None or held.evidence is None or not _is_figure(held):
                    continue
                earlier = self._earlier(part, attribute, entries, held.evidence)
                if earlier:
                    alike = tuple(second_readings(held.evidence, self._situation))
                    jobs = self._work.jobs_for(attribute, earlier[0])
                    found.append(_Changed(part, attribute, held.evidence, earlier, alike, jobs))
        return tuple(found)

    def _earlier(
        self, part: Part, attribute: Attribute, entries: tuple[Evidence, ...], later: Evidence
    ) -> tuple[Evidence, ...]:
        place = next(number for number, one in enumerate(entries) if one is later)
        found = []
        for number in reversed(range(place)):
            earlier = entries[number]
            aside = self._situation.excluded.get(earlier.id)
            if (
                earlier.value != later.value
                and _is_figure(ObservedValue(earlier.value, earlier))
                and not worn_on(attribute, earlier, later)
                and (aside is None or isinstance(aside, MadeVoidBy))
                and not any(self._stands_for(one, earlier) for one in entries[number + 1 : place + 1])
                and not self._work.puts_right(part, attribute, earlier, later)
                and not self._long_ago.answered(part, earlier, later)
            ):
                found.append(earlier)
        return tuple(found)

    def _stands_for(self, newer: Evidence, earlier: Evidence) -> bool:
        """Whether the reader of a newer figure is one whom the host accepts; or the reader of the earlier one, who read
        again and found no more than the gauges leave open."""
        if newer.on is None or newer.by is None:
            return False
        if newer.confirmed or self._situation.accepts(newer.by, newer.on):
            return True
        same = earlier.by is not None and earlier.by.is_same(newer.by)
        measured = not isinstance(newer.value, Bound) and not isinstance(earlier.value, Bound)
        return same and measured and apart(earlier, newer) <= left_open(earlier, newer)


def _is_figure(value: ObservedValue) -> bool:
    return bool(value.d) or isinstance(value.value, Bound)
