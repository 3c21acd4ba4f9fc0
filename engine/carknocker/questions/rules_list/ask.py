"""`rules list`: the editions at hand."""

from carknocker.rulebook import Library
from carknocker.wording.edition_text import EditionLine, edition_line


def list_rules(library: Library) -> tuple[EditionLine, ...]:
    """The editions at hand, by ruleset, oldest first."""
    return tuple(edition_line(head, library) for heads in library.heads.values() for head in heads)
