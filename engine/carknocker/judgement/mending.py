"""Which work takes damage, wear or what failed a test away: what the vocabulary says, and the rules that bind."""

from collections.abc import Iterator, Mapping

from carknocker.rulebook.clauses import comparisons, paths
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
                path.attribute.name == attribute.name and (path.owner or inside or criterion.of) == attribute.kind
                for inside, one in comparisons(criterion.must)
                for path in paths(one)
            ):
                yield from (remedy.work for remedy in criterion.remedies)


NO_RULES = Mending()
"""Where nobody judges, as when readings are entered."""
