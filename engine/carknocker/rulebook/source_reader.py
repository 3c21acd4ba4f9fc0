"""Sources: the sentence that a criterion or a consequence rests on, filled up from the chapter's own."""

from collections.abc import Mapping
from typing import get_args

from carknocker.documents import Node
from carknocker.rulebook.context import Context
from carknocker.rulebook.model import Source, SourceKind, Status

_KEYS = ("document", "section", "words", "kind", "status", "year", "note")
_KINDS: tuple[SourceKind, ...] = get_args(SourceKind)
_STATUS: tuple[Status, ...] = get_args(Status)


def source_entries(node: Node | None, context: Context) -> Mapping[str, Node]:
    """The keys of a `source:`, for a chapter whose entries take what they leave out from it."""
    return {} if node is None else context.entries(node, _KEYS, "a source") or {}


def read_source(own: Node | None, chapter: Mapping[str, Node], at: Node, context: Context) -> Source | None:
    """The source of one entry. `chapter`: keys that hold unless the entry's own source says otherwise."""
    if own is None and not chapter:
        context.note(at, "no source", "`source: {document: …, section: …, words: …, kind: …, status: …}`")
        return None
    entries = {**chapter, **source_entries(own, context)}
    place = at if own is None else own
    missing = [key for key in ("document", "kind", "status") if key not in entries]
    for key in missing:
        context.note(place, f"a source without `{key}`", f"`{key}: …` here, or in the source of the chapter")
    kind = context.choice(entries.get("kind"), _KINDS, "the kind of a source")
    status = context.choice(entries.get("status"), _STATUS, "the status of a source")
    if missing or kind is None or status is None:
        return None

    def text(key: str) -> str:
        return context.text(entries.get(key), key)

    return Source(text("document"), text("section"), text("words"), kind, status, text("year"), text("note"))
