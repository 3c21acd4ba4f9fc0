"""A rule as a wheel shop reads it: its title, what it asks, where it applies, where it is written."""

from carknocker.judgement.wording import clause_words
from carknocker.rulebook.model import Criterion


def rule_words(criterion: Criterion) -> str:
    """One line."""
    when = f", where {clause_words(criterion.when)}" if criterion.when is not None else ""
    place = f"{criterion.source.document} {criterion.source.section}".strip()
    return f"{criterion.title}: {clause_words(criterion.must)}{when} ({place})"
