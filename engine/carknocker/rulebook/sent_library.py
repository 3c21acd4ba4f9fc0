"""A library as it is sent to where there are no files of it: the heads and the texts of all its editions, under the
names that they have here."""

import hashlib
from collections.abc import Mapping
from pathlib import Path

import msgspec

from carknocker.documents.parse_cache import ParseCache
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.library import Library
from carknocker.vocabulary import load_vocabulary


class SentLibrary(msgspec.Struct, frozen=True):
    """heads: ruleset → heads of its editions, oldest first. texts: (ruleset, edition) → file → text. digest: of both,
    and of the names."""

    heads: Mapping[str, tuple[EditionHead, ...]]
    texts: Mapping[tuple[str, str], Mapping[Path, str]]
    digest: str


def sent_of(library: Library) -> SentLibrary:
    """A library to be sent. Raises InputRefused where a file of it can't be read."""
    texts = library.take_texts()
    names = sorted((str(file), text) for files in texts.values() for file, text in files.items())
    return SentLibrary(library.heads, texts, hashlib.sha256(msgspec.msgpack.encode(names)).hexdigest())


def received(sent: SentLibrary, cache: ParseCache | None = None) -> Library:
    """The library that was sent."""
    return Library(sent.heads, load_vocabulary(), cache=cache, texts=sent.texts)
