"""docs/terms.md: the terms with what they mean, and what is not written for them."""

import sys
from collections.abc import Iterator

from carknocker.wording.glossary import Term, terms

_HEAD = """# Terms

One word for one thing, in plain American railroad English. Made from `engine/carknocker/wording/terms.yaml`, do not
edit it by hand. A dossier's glossary explains those terms that it uses. What stands in the last column is written
nowhere: not on a page, in a message, in a rule's title or in these docs. Quoted law, circulars and what an owner
writes keep their own words.

| term | means | not |
| --- | --- | --- |
"""


def terms_page() -> str:
    """The page in Markdown."""
    return _HEAD + "".join(_lines())


def _lines() -> Iterator[str]:
    for term in terms():
        yield f"| {_forms(term)} | {term.said} | {', '.join(term.instead_of)} |\n"


def _forms(term: Term) -> str:
    return ", ".join((f"**{term.term}**", *term.forms[1:]))


if __name__ == "__main__":
    sys.stdout.write(terms_page())
