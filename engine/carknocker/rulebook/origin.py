"""What the reader should know of where the editions of a move come from, and of what they took away."""

from collections.abc import Callable, Iterator

from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.model import Edition, Rulebook

_MOST_NAMED = 6


def origin_notes(rulebook: Rulebook, head_of: Callable[[str, str], EditionHead]) -> Iterator[str]:
    """Says which editions did not come with the program, and what amending editions withdrew.

    A consequence that an installed edition withdrew is not told: that is how the body behind it changed its rules. What
    a folder of anybody's withdraws is told whole. head_of: the head of a ruleset's edition, by its name.
    """
    for edition in rulebook.editions:
        if not head_of(edition.ruleset, edition.name).installed:
            yield (
                f"{edition.ruleset} {edition.name} is not installed with the program: it comes from a folder of "
                "rulesets beside the car or given with --rules"
            )
        yield from _withdrawals(edition, head_of)


def _withdrawals(edition: Edition, head_of: Callable[[str, str], EditionHead]) -> Iterator[str]:
    by_edition: dict[str, list[str]] = {}
    for one in edition.withdrawn:
        if one.sort == "criterion" or not head_of(edition.ruleset, one.edition).installed:
            by_edition.setdefault(one.edition, []).append(one.name)
    for amending, names in by_edition.items():
        by_way = "" if amending == edition.name else f", by way of edition {amending} that it amends,"
        more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
        yield (
            f"{edition.ruleset} {edition.name}{by_way} withdraws from what an earlier edition says: "
            f"{', '.join(names[:_MOST_NAMED])}{more}"
        )
