"""What a stage of the consequences may look at: the situation, and what earlier stages have settled."""

from collections.abc import Mapping
from types import MappingProxyType

from carknocker.judgement.chain.excuses import excuses
from carknocker.judgement.chain.rules import Rule
from carknocker.judgement.facts import ChainFact, Fact
from carknocker.judgement.situation import Situation
from carknocker.record.model import Work
from carknocker.record.part_keys import serial_of
from carknocker.rulebook.model import Criterion, Relieves
from carknocker.vocabulary.model import Vocabulary
from carknocker.vocabulary.program_names import AXLE_POSITION, TRUCK

SpareNeed = tuple[str, int, str]
"""Duties that share their spares: consequence, number of the yield, what a spare must fit."""


Stopped = Mapping[tuple[str, str], tuple[Fact, ...]]
"""(consequence, part) → the causes of the reliefs that stop it there."""
NONE_STOPPED: Stopped = MappingProxyType({})


NotCovered = frozenset[tuple[str, str, str]]
"""What a permission came too early for: its id, the criterion, the part."""


class StageContext:
    """criteria: by id. layers: of the consequences, by id. stopped: (consequence, part) pairs whose firing a relief has
    stopped, with the causes of those reliefs. unsound: keys of wheelsets that are not fitted and on which, or inside
    which, a refusing finding stands.
    needs: how many spares the duties of a need take together, for those that need one each.
    not_covered: what was found after a permission was signed.
    chapters: answers of chapter conditions, and unfit: what is made unfit from a part by kind, both filled as asked.
    """

    def __init__(
        self,
        situation: Situation,
        vocabulary: Vocabulary,
        criteria: Mapping[str, Criterion],
        layers: Mapping[str, str],
        stopped: Stopped = NONE_STOPPED,
        unsound: frozenset[str] = frozenset(),
        needs: Mapping[SpareNeed, int] | None = None,
        not_covered: NotCovered = frozenset(),
    ) -> None:
        self.situation = situation
        self.vocabulary = vocabulary
        self.criteria = criteria
        self.layers = layers
        self.stopped = stopped
        self.unsound = unsound
        self.needs = needs or {}
        self.not_covered = not_covered
        self.chapters: dict[str, int] = {}
        self.unfit: dict[tuple[str, tuple[str, ...]], tuple[ChainFact, ...]] = {}
        self._entries: dict[str, Work] = {work.id: work for work in situation.standing.work}

    def stops(self, consequence: str, cause: ChainFact) -> bool:
        """Whether a relief keeps a consequence from following from a cause."""
        reliefs = self.stopped.get((consequence, cause.fact.part), ())
        standing = self.situation.standing
        return any(excuses(relief, cause.fact, cause.since, standing) for relief in reliefs)

    def after(self, ids: frozenset[str]) -> frozenset[str]:
        """The work and events that something was after, those that these were after included."""
        found: set[str] = set()
        waiting = list(ids)
        while waiting:
            one = waiting.pop()
            if one not in found:
                found.add(one)
                entry = self._entries.get(one)
                waiting.extend(entry.after if entry is not None else ())
        return frozenset(found)

    def was_there(self, cause: ChainFact, target: str) -> bool:
        """Whether a part was where the work or event of a cause took place, on that day. A place always was; a wheelset
        only if it was fitted there, for a job after it and for an event before whatever was changed that day."""
        serial, work, here = serial_of(target), cause.work, cause.fact.part
        if serial is None or work is None or serial_of(here) == serial:
            return True
        standing = self.situation.standing
        after = self.after(work.after) if work.event else self.after(work.after) | {work.id}
        place = standing.place_at(target, work.on, after)
        if place == target or place not in standing.parts:
            return False
        above = (here, *standing.containers(here))
        for kind in (AXLE_POSITION, TRUCK):
            own = next((key for key in above if standing.parts[key].kind == kind), None)
            if own is not None:
                return place == own or own in standing.containers(place)
        return True

    def reached(self, cause: ChainFact, kind: str) -> tuple[str, ...]:
        """The parts of a kind that a cause reaches: of what happened to a wheelset that is under the car, by itself
        only its own parts (its place has a fact of its own); else all that were there on the day."""
        standing = self.situation.standing
        targets = standing.reach(cause.fact.part or "car", kind)
        if cause.own_parts_only:
            serial = serial_of(cause.fact.part)
            return tuple(target for target in targets if serial_of(target) == serial)
        return tuple(target for target in targets if self.was_there(cause, target))

    def inside(self, part: str) -> tuple[str, ...]:
        """Every part inside a part, at any depth."""
        inside = self.situation.standing.inside
        found: list[str] = []
        waiting = list(inside.get(part, ()))
        while waiting:
            one = waiting.pop(0)
            found.append(one)
            waiting.extend(inside.get(one, ()))
        return tuple(found)

    def criteria_relieved(self, relieves: Relieves, rule: Rule, cause: ChainFact) -> tuple[Criterion, ...]:
        """The criteria whose effect a relief cancels. A host, or the trade's practice, may relieve law only where the
        criterion allows it; where the law itself lets a car move for repair, a rule of the law says so. A written
        permission cancels what it names alone, and by a rule of the host's, unless that lists more, only his own."""
        named = relieves.criteria
        if cause.leave is not None:
            resolved = self.resolve(cause.leave.criterion)
            named = resolved if relieves.named else tuple(name for name in named if name in resolved)
        elif relieves.named:
            named = ()
        found = [self.criteria[name] for name in named if name in self.criteria]
        if rule.consequence.layer == "law":
            return tuple(found)
        if relieves.named and rule.consequence.layer == "host":
            return tuple(one for one in found if one.layer == "host")
        return tuple(one for one in found if not one.relieved_by_law_alone)

    def consequences_relieved(self, relieves: Relieves, rule: Rule, cause: ChainFact) -> tuple[str, ...]:
        """The consequences that a relief stops. Only the law stops any of the law's."""
        named = relieves.consequences
        if relieves.named and cause.leave is not None and not self.resolve(cause.leave.criterion):
            wanted = cause.leave.criterion
            named = tuple(one for one in self.layers if one == wanted or one.partition("/")[2] == wanted)
        if rule.consequence.layer == "law":
            return named
        if relieves.named and rule.consequence.layer == "host":
            return tuple(one for one in named if self.layers.get(one) == "host")
        return tuple(one for one in named if self.layers.get(one) != "law")

    def resolve(self, name: str) -> tuple[str, ...]:
        """The ids of the criteria that a leave names, in full or by the short name."""
        if name in self.criteria:
            return (name,)
        return tuple(one.id for one in self.criteria.values() if one.name == name)
