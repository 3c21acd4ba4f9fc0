"""Which work takes damage away, by the rules that bind."""

from carknocker.rulebook.clauses import comparisons, paths
from carknocker.rulebook.model import Consequence, Criterion, Voids
from carknocker.vocabulary import does_of
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import WHEEL


class Mending:
    """Asked of the criteria and consequences of one rulebook; worked out only where damage is said to be gone."""

    def __init__(self, criteria: tuple[Criterion, ...] = (), consequences: tuple[Consequence, ...] = ()) -> None:
        self._criteria = criteria
        self._consequences = consequences
        self._known: dict[tuple[str, str], frozenset[str]] = {}

    def mends(self, job: str, attribute: Attribute) -> bool:
        """Whether a kind of work takes away what an attribute tells of a part."""
        does = does_of(job)
        if does == "exchange trucks" or (does == "mount wheels" and attribute.kind == WHEEL):
            return True  # what was found before is not about what is there now
        key = attribute.kind, attribute.name
        if key not in self._known:
            self._known[key] = self._work_for(attribute)
        return job in self._known[key]

    def _work_for(self, attribute: Attribute) -> frozenset[str]:
        """What is loose or does not work is put right by any work that asks for a new look at it; what is cracked,
        broken, bent or welded only by a remedy of the criteria that look at it, as far as they name any."""
        made_void = {
            name
            for consequence in self._consequences
            for produces in consequence.yields
            if isinstance(produces, Voids) and produces.of == attribute.kind and attribute.name in produces.readings
            for cause in consequence.causes
            if cause.sort == "work"
            for name in cause.names
        }
        remedies = {
            remedy.work
            for criterion in self._criteria
            if criterion.remedies
            and any(
                path.attribute.name == attribute.name and (path.owner or inside or criterion.of) == attribute.kind
                for inside, one in comparisons(criterion.must)
                for path in paths(one)
            )
            for remedy in criterion.remedies
        }
        put_together = attribute.type == "yes or no" and attribute.bad == ("no",)
        return frozenset(made_void | remedies if put_together else remedies or made_void)


NO_RULES = Mending()
"""Where nobody judges, as when readings are entered."""
