"""How much of a car has been looked at, where no fault was found so far: how many of its systems are settled."""

import msgspec

from carknocker.dossier.bad_news import bad_words_on_record
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.rulebook.clauses import comparisons
from carknocker.vocabulary import load_vocabulary

NOT_LOOKED_AT = "NOT YET LOOKED AT"


class LookedAt(msgspec.Struct, frozen=True):
    """How many systems of the car are settled, so that nothing asked of them is not shown. of: how many there are."""

    settled: int
    of: int

    @property
    def words(self) -> str:
        """What the outcome says of it."""
        return f"{self.settled} of {self.of} systems settled, nothing read so far shows a fault"


def outcome_word(index: JudgementIndex) -> str:
    """The outcome in capitals, as every page says it: of a car of which most was not looked at, that it was not."""
    return index.judgement.outcome.upper() if not_yet_looked_at(index) is None else NOT_LOOKED_AT


def not_yet_looked_at(index: JudgementIndex) -> LookedAt | None:
    """For a car that is not ready since most of it was not looked at: how much was. None where half of the systems are
    settled, and as soon as one fault was found or may have been: a finding that is breached, void or runs out, bad news
    whatever a rule makes of it, something read that is not shown all the same."""
    judgement = index.judgement
    refused = [one.finding for one in judgement.refusals if one.finding is not None]
    if judgement.outcome != "not ready" or any(one.verdict != "not shown" for one in refused):
        return None
    if any(_may_be_a_fault(one, index) for one in judgement.findings):
        return None
    kinds = load_vocabulary().kinds
    systems = {kind.system for kind in kinds.values() if kind.system}
    asked = {kinds[one.part.kind].system for one in refused}
    settled = len(systems - asked)
    if 2 * settled >= len(systems) or any(True for _ in bad_words_on_record(index)):
        return None
    return LookedAt(settled, len(systems))


def _may_be_a_fault(finding: Finding, index: JudgementIndex) -> bool:
    """Of what was read and is not shown all the same nobody can tell: whether its rule applies is not known, who read
    does not count, or the host looks on the day."""
    if finding.verdict not in ("not shown", "for the day"):
        return finding.verdict in ("breached", "void", "lapses")
    return (finding.evidence is not None and finding.evidence.on is not None) or _was_read(finding, index)


def _was_read(finding: Finding, index: JudgementIndex) -> bool:
    """Whether all that a criterion compares, but for descriptions, is on record."""
    read = index.judgement.situation.standing.evidence
    compared = [
        comparison.path.attribute
        for inside, comparison in comparisons(finding.criterion.must)
        if not inside and not comparison.path.owner and not comparison.path.attribute.description
    ]
    own = read.get(finding.part.key, {})
    return bool(compared) and all(any(one.on is not None for one in own.get(name.name, ())) for name in compared)
