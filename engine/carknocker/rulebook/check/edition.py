"""What can be told wrong of one edition by itself."""

from collections.abc import Iterator

from carknocker.documents import Problem
from carknocker.rulebook.check.consequence_examples import check_consequence_examples
from carknocker.rulebook.check.examples import check_examples
from carknocker.rulebook.check.possible import check_consequence, check_criterion
from carknocker.rulebook.consequence_checks import check_causes
from carknocker.rulebook.model import Consequence, Criterion, Edition


def check_edition(edition: Edition) -> tuple[Problem, ...]:
    """Every problem of an edition that was read with its examples, at its place."""
    return tuple(_problems(edition))


def _problems(edition: Edition) -> Iterator[Problem]:
    entries: list[Criterion | Consequence] = [*edition.criteria, *edition.consequences]
    for entry in entries:
        if entry.source.kind == "law" and not entry.source.section:
            yield Problem(entry.where, f"{entry.id}: a source of law without a section", "`section: …`")
        if not entry.source.words and entry.source.kind in ("law", "published"):
            yield Problem(entry.where, f"{entry.id}: a source without its operative words", "`words: …`")
    for criterion in edition.criteria:
        yield from check_examples(criterion)
        yield from check_criterion(criterion)
        if criterion.may_be_relaxed and criterion.layer == "host":
            yield Problem(criterion.where, f"{criterion.id}: a host's criterion that may be relaxed",
                          "`may_be_relaxed` in a lower layer only")  # fmt: skip
    for consequence in edition.consequences:
        yield from check_causes(consequence)
        yield from check_consequence(consequence)
        yield from check_consequence_examples(consequence)
