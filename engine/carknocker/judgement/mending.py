"""Which work takes damage, wear or what failed a test away: what the vocabulary says, and the rules that bind."""

from collections.abc import Iterator, Mapping

from carknocker.judgement.comparisons import decision
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import Decide, PartView
from carknocker.judgement.truth import NEAR
from carknocker.record.model import Evidence
from carknocker.rulebook.clauses import Comparison, Fixed, comparisons, paths
from carknocker.rulebook.model import Consequence, Criterion, Voids
from carknocker.vocabulary import does_of, load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import WHEEL

_WORDS = ("yes or no", "one of", "list of", "test")


class Mending:
    """Asked of the criteria and consequences of one rulebook; worked out only where damage is said to be gone."""

    def __init__(self, criteria: tuple[Criterion, ...] = (), consequences: tuple[Consequence, ...] = ()) -> None:
        self._criteria = criteria
        self._consequences = consequences
        self._known: dict[tuple[str, str], Mapping[str, frozenset[str]]] = {}
        self._looks: dict[tuple[str, str], tuple[Decide | None, ...]] = {}

    def mends(self, job: str, attribute: Attribute, was: str = "") -> bool:
        """Whether a kind of work takes away what an attribute tells of a part. was: the bad word, where it is one."""
        does = does_of(job)
        if does == "exchange trucks" or (does == "mount wheels" and attribute.kind == WHEEL):
            return True  # what was found before is not about what is there now
        words = self.work_for(attribute).get(job)
        return words is not None and (not words or not was or was in words)

    def work_for(self, attribute: Attribute) -> Mapping[str, frozenset[str]]:
        """The jobs that take it away, each with the words that it does: none where it takes all away. None at all where
        nobody names any."""
        key = attribute.kind, attribute.name
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._work_for(attribute)
        return found

    def allows(self, attribute: Attribute, found: Evidence, anywhere: PartView) -> bool:
        """Whether rules that refuse or restrict look at an attribute, and none of them minds what was found: so that
        nothing hangs on whether it is still there. A rule that applies by it minds it."""
        key = attribute.kind, attribute.name
        looks = self._looks.get(key)
        if looks is None:
            looks = self._looks[key] = self._looks_at(attribute)
        was = ObservedValue(found.value, found)
        return bool(looks) and all(decide is not None and decide(was, anywhere) >= NEAR for decide in looks)

    def _looks_at(self, attribute: Attribute) -> tuple[Decide | None, ...]:
        """What each of these rules decides of a value; None where it can't be told from the value alone."""
        found: list[Decide | None] = []
        for criterion in self._criteria:
            if criterion.effect == "advise":
                continue
            found += [
                None for clause in (criterion.when, criterion.unless) if clause is not None
                for inside, one in comparisons(clause) if _is_about(attribute, inside or criterion.of, one)
            ]  # fmt: skip
            found += [
                decision(one) if isinstance(one.limit, Fixed) and one.path.attribute.name == attribute.name else None
                for inside, one in comparisons(criterion.must) if _is_about(attribute, inside or criterion.of, one)
            ]  # fmt: skip
        for cause in (cause for consequence in self._consequences for cause in consequence.causes):
            if cause.when is not None:
                found += [
                    None for inside, one in comparisons(cause.when) if _is_about(attribute, inside or cause.of, one)
                ]
        return tuple(found)

    def _work_for(self, attribute: Attribute) -> dict[str, frozenset[str]]:
        """The remedies of the criteria that look at it, and what the vocabulary names. Where neither names any, and of
        figures, which much of what is done beside a part changes: all work that asks for a new look. No figure of a
        wheel: a lathe asks for a new look at the rim, and takes of it."""
        named = load_vocabulary().mended_by.get(attribute.kind, {}).get(attribute.name, {})
        found = {job: frozenset(words) for job, words in named.items()}
        found.update((job, frozenset()) for job in self._remedies(attribute))
        figure = attribute.type not in _WORDS and attribute.kind != WHEEL
        if not found or figure:
            found.update((job, frozenset()) for job in self._asking_anew(attribute))
        return found

    def _asking_anew(self, attribute: Attribute) -> Iterator[str]:
        for consequence in self._consequences:
            voids = (one for one in consequence.yields if isinstance(one, Voids) and one.of == attribute.kind)
            if any(attribute.name in one.readings for one in voids):
                for cause in consequence.causes:
                    if cause.sort == "work":
                        yield from cause.names

    def _remedies(self, attribute: Attribute) -> Iterator[str]:
        for criterion in self._criteria:
            if criterion.remedies and any(
                _is_about(attribute, inside or criterion.of, one) for inside, one in comparisons(criterion.must)
            ):
                yield from (remedy.work for remedy in criterion.remedies)


def _is_about(attribute: Attribute, of: str, one: Comparison) -> bool:
    return any(path.attribute.name == attribute.name and (path.owner or of) == attribute.kind for path in paths(one))


NO_RULES = Mending()
"""Where nobody judges, as when readings are entered."""
