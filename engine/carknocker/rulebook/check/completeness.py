"""Whether each edition of law says how far it has its text, and whether its coverage file bears out what it says."""

from collections.abc import Iterator

from carknocker.documents import Problem
from carknocker.rulebook.coverage import Coverage, not_borne_out, read_coverage
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.model import Edition

COVERAGE_FILES = ("coverage.yaml", "../docs/coverage.yaml")
"""Where the coverage file of an edition is looked for: from the folder in which its ruleset has its folder."""
_TO_DO = "say `complete: {no: WHY, lacks: [what is missing]}`"


def check_completeness(head: EditionHead, edition: Edition) -> Iterator[Problem]:
    """The problem if an edition of law does not say whether it is complete, or says so without ground.

    Raises InputRefused with every problem of its coverage file.
    """
    if head.layer != "law":
        return
    if head.complete is None:
        yield Problem(head.where, f"{head}, an edition of law that does not say how far it has its text",
                      "`complete: yes`, or `complete: {no: WHY, lacks: [what is missing]}`")  # fmt: skip
    elif not head.complete.lacks:
        why = not_borne_out(edition, _coverage_of(head))
        if why:
            expected = "a row of the coverage file for each section, and none that was not read"
            found = f"{head} says `complete: yes`, but {why}"
            yield Problem(head.complete_where or head.where, found, expected, remedy=_TO_DO)


def _coverage_of(head: EditionHead) -> Coverage | None:
    """The coverage file beside the rulesets, or in `docs` beside their folder; None if there is none."""
    rulesets = head.folder.resolve().parent.parent
    return next((read_coverage(file) for name in COVERAGE_FILES if (file := rulesets / name).is_file()), None)
