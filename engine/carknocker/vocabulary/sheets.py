"""Reads what sheets and drawings list of each kind of part."""

from collections.abc import Iterator, Mapping
from string import Formatter
from typing import cast, get_args

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.entries import named, text_of, unknown_kind, unknown_word
from carknocker.vocabulary.kinds import KindDraft
from carknocker.vocabulary.model import SheetLine, SheetName

Lists = dict[str, tuple[SheetLine, ...]]
_SHEETS = get_args(SheetName)
# The headings of a sheet that the program fills in by their names; the others are free.
_HEADINGS: Mapping[SheetName, tuple[str, ...]] = {
    "set-out": ("car", "weights", "lifting", "truck", "axle", "wheels of the axle"),
    "order": ("wheelset there now", "bearings there now"),
    "serials": ("serial", "sort", "maker", "made", "dates"),
    "spares": (
        "age of a wheelset",
        "what speaks against a wheelset",
        "stowage of a wheelset",
        "lubricant of a bearing",
    ),
    "wheel profile": ("gauge points",),
}
_PLACEHOLDERS = frozenset(("part", "side", "value"))


def read_sheets(
    node: Node | None, drafts: Mapping[str, KindDraft], sheets: dict[SheetName, Lists], problems: ProblemList
) -> None:
    """Adds the lists of one file to those of the files before it. Kinds and attributes must be there."""
    for sheet, lists in named(node, "sheets", problems):
        if sheet not in _SHEETS:
            problems.add(unknown_word(lists, sheet, _SHEETS, "the sheet"))
            continue
        headings = _HEADINGS.get(cast(SheetName, sheet))
        own = sheets.setdefault(cast(SheetName, sheet), {})
        for heading, lines in named(lists, "headings", problems):
            if headings is not None and heading not in headings:
                problems.add(unknown_word(lines, heading, headings, f"the heading of `{sheet}`"))
            own[heading] = (*own.get(heading, ()), *_lines(lines, drafts, problems))


def _lines(node: Node, drafts: Mapping[str, KindDraft], problems: ProblemList) -> Iterator[SheetLine]:
    for item in node.as_sequence():
        if item.kind == "mapping":
            pairs = item.pairs()
        else:
            pairs = [(text_of(item, "kind.attribute, or that with a label", problems), item)]
        for path, value in pairs:
            kind, _, attribute = path.rpartition(".")
            label = "" if value is item else text_of(value, "label", problems)
            if kind not in drafts:
                problems.add(unknown_kind(item, kind or path, drafts))
            elif attribute not in drafts[kind].attributes:
                near = nearest(attribute, drafts[kind].attributes)
                found = f"`{kind}` has no attribute `{attribute}`"
                problems.add(problem_at(item, found, "one of its attributes", near))
            elif not _PLACEHOLDERS.issuperset(_placeholders(label)):
                expected = "`{part}`, `{side}` and `{value}`, or no braces"
                problems.add(problem_at(value, f"the label `{label}`", expected))
            else:
                yield SheetLine(kind, attribute, label)


def _placeholders(label: str) -> Iterator[str]:
    """What stands in braces; a brace that is not closed counts as one that is not known."""
    try:
        yield from (name for _, name, _, _ in Formatter().parse(label) if name is not None)
    except ValueError:
        yield label
