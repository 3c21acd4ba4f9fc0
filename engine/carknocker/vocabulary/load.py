"""Loads the vocabulary from its data files. Adding an attribute, a test or a spare there needs no code."""

from functools import cache
from pathlib import Path
from typing import Literal

from carknocker.documents.parse_cache import ParseCache, cache_key
from carknocker.vocabulary.model import Does, SheetLine, SheetName, Vocabulary

_caches: list[ParseCache] = []


@cache
def load_vocabulary() -> Vocabulary:
    """The vocabulary that is installed with the package.

    Raises InputRefused, with every problem, if its data files are bad.
    """
    texts = vocabulary_texts()
    parse_cache = _caches[0] if _caches else None
    key = "" if parse_cache is None else cache_key("vocabulary", *texts, *texts.values())
    cached = None if parse_cache is None else parse_cache.get(key, Vocabulary)
    if cached is not None:
        return cached
    # imported only where it is parsed, since start-up is felt at every check
    from carknocker.vocabulary.reader import read_vocabulary

    vocabulary = read_vocabulary(texts)
    if parse_cache is not None:
        parse_cache.put(key, vocabulary)
    return vocabulary


def does_of(name: str) -> Does | Literal[""]:
    """What the program itself does with a job or an event; empty for most jobs and for an unknown name."""
    vocabulary = load_vocabulary()
    entry = vocabulary.work.get(name) or vocabulary.events.get(name)
    return "" if entry is None else entry.does


def sheet_lines(sheet: SheetName, heading: str) -> tuple[SheetLine, ...]:
    """What a sheet or a drawing lists under a heading; nothing where the data has no such heading."""
    return load_vocabulary().sheets.get(sheet, {}).get(heading, ())


def work_to(does: Does) -> str:
    """The name of the installed vocabulary's first job or event that does this."""
    return load_vocabulary().work_to(does)


def use_cache(parse_cache: ParseCache) -> None:
    """Lets `load_vocabulary`, from now on, answer from a cache of the same files."""
    _caches[:] = [parse_cache]


_DATA = Path(__file__).parent / "data"
DOUBTS_FILE = _DATA / "doubts.yaml"
"""What makes a reading doubtful: clauses of the rule language, which the room of rules reads."""
OTHER_NAMES_FILE = _DATA / "other_names.yaml"
"""What people call things: read only where a message suggests a word."""
INTERVIEW_FILE = _DATA / "interview.yaml"
"""What a first record is asked for: read only where somebody asks."""
_READ_APART = (DOUBTS_FILE, OTHER_NAMES_FILE, INTERVIEW_FILE)


def vocabulary_texts() -> dict[str, str]:
    """Name → text of the installed vocabulary files, in the order in which they are read."""
    return dict(_texts())


@cache
def _texts() -> dict[str, str]:
    found = sorted((file for file in _DATA.glob("*.yaml") if file not in _READ_APART), key=lambda file: file.name)
    return {file.name: file.read_text(encoding="utf-8") for file in found}


def parse_cache_in_use() -> ParseCache | None:
    """The cache that `use_cache` was given, if any."""
    return _caches[0] if _caches else None
