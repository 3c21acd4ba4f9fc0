"""The first line of every file: which format it is in."""

import re

from carknocker.documents import Node, nearest
from carknocker.record.notes import Notes

_LINE = re.compile(r"""\s*(["']?)format\1\s*:\s*(["']?)(?P<format>[a-z]+-[a-z]+/[0-9]+)\2\s*(?:#.*)?""")


def check_format(root: Node, wanted: str, notes: Notes) -> bool:
    """Whether a document says that it is of the wanted format; noted if not."""
    if root.kind != "mapping":
        notes.note(root, root.describe(), f"a mapping that begins with `format: {wanted}`")
        return False
    given = root.get("format")
    if given is None or notes.text(given, "format") != wanted:
        found = "no `format` line" if given is None else given.describe()
        notes.note(given or root, found, f"`format: {wanted}`", nearest(given.text, [wanted]) if given else "")
        return False
    return True


def says_format(start: str, wanted: str) -> bool:
    """Whether one of the first lines of a text says that it is of a format."""
    return any((line := _LINE.fullmatch(one)) is not None and line["format"] == wanted for one in start.splitlines())
