"""What a stage of the consequences may look at: the situation, and what earlier stages have settled."""

from collections.abc import Iterable, Mapping

from carknocker.judgement.chain.items import Item
from carknocker.judgement.chain.rules import Rule
from carknocker.judgement.situation import Situation
from carknocker.record.model import Work
from carknocker.rulebook.model import Criterion, Relieves
from carknocker.vocabulary.model import Vocabulary


class Setting:
    """stopped: (consequence, part) pairs whose firing a relief has stopped. unsound: keys of wheelsets that are not
    fitted and on which, or inside which, a refusing finding stands. needs: (consequence, yield) → how many spares its
    duties need together, for those that need one each. chapters: answers of chapter conditions, filled as asked.
    """

    def __init__(
        self,
        situation: Situation,
        vocabulary: Vocabulary,
        criteria: Iterable[Criterion],
        stopped: frozenset[tuple[str, str]] = frozenset(),
        unsound: frozenset[str] = frozenset(),
        needs: Mapping[tuple[str, str], int] | None = None,
    ) -> None:
        self.situation = situation
        self.vocabulary = vocabulary
        self.criteria = {criterion.id: criterion for criterion in criteria}
        self.stopped = stopped
        self.unsound = unsound
        self.needs = needs or {}
        self.chapters: dict[str, int] = {}
        self._entries: dict[str, Work] = {work.id: work for work in situation.standing.work}

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

    def criteria_relieved(self, relieves: Relieves, rule: Rule, item: Item) -> tuple[Criterion, ...]:
        """The criteria whose effect a relief cancels. A host may relieve law only where the criterion allows it;
        moving a car for repair is the law's own leave."""
        named = relieves.criteria
        if relieves.named:
            named = () if item.leave is None else self.resolve(item.leave.criterion)
        found = [self.criteria[name] for name in named if name in self.criteria]
        if rule.consequence.layer != "host" or relieves.purpose == "repair":
            return tuple(found)
        return tuple(one for one in found if one.layer != "law" or one.may_be_relaxed)

    def consequences_relieved(self, relieves: Relieves, rule: Rule, item: Item) -> tuple[str, ...]:
        """The consequences that a relief stops."""
        if relieves.named and item.leave is not None and not self.resolve(item.leave.criterion):
            return (item.leave.criterion,)
        return relieves.consequences

    def resolve(self, name: str) -> tuple[str, ...]:
        """The ids of the criteria that a leave names, in full or by the short name."""
        if name in self.criteria:
            return (name,)
        return tuple(one.id for one in self.criteria.values() if one.name == name)
