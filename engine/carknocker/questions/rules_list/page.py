"""The editions at hand as a page."""

from collections.abc import Iterable

from carknocker.page.model import Item, Page, Rows, Section
from carknocker.wording.edition_text import EditionLine, edition_rows


def editions_page(editions: Iterable[EditionLine]) -> Page:
    """The editions at hand, oldest first within a ruleset."""
    listed = list(editions)
    items = tuple(Item(f"{one.ruleset} {one.edition}", (Rows(edition_rows(one)),)) for one in listed)
    return Page("Rulesets", f"{len(listed)} edition{'' if len(listed) == 1 else 's'}", "plain", (
        Section("Editions", items),
    ))  # fmt: skip
