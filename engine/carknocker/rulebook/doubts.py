"""Doubts: what makes a reading doubtful, as clauses of the rule language. What could be but hardly is."""

from functools import cache

import msgspec

from carknocker.documents.parse_cache import cache_key
from carknocker.rulebook.clauses import AttributePath, Clause
from carknocker.vocabulary.load import DOUBTS_FILE, load_vocabulary, parse_cache_in_use, vocabulary_texts


class Doubt(msgspec.Struct, frozen=True):
    """One doubt about parts of a kind.

    must: holds of every part that could well be so. Where it fails, the readings that it looks at are doubtful.
    when: where it is asked at all. throws: the paths on whose readings it throws doubt; empty: on all at which `must`
    and `when` look. newer: the reading that, where it is newer than what is touched, no older certainty settles: who
    wrote `sure`, or read alike, did not know of it. or_older: whether the doubt is asked also where it is not newer.
    says: what is odd, in a few words. source: what the figure rests on.
    """

    name: str
    of: str
    must: Clause
    when: Clause | None
    throws: tuple[AttributePath, ...]
    says: str
    source: str
    newer: AttributePath | None = None
    or_older: bool = False


@cache
def load_doubts() -> tuple[Doubt, ...]:
    """The doubts that are installed with the vocabulary.

    Raises InputRefused, with every problem, if their file is bad.
    """
    text = DOUBTS_FILE.read_text(encoding="utf-8")
    texts = vocabulary_texts()
    parse_cache = parse_cache_in_use()
    key = "" if parse_cache is None else cache_key("doubts", text, *texts, *texts.values())
    cached = None if parse_cache is None else parse_cache.get(key, tuple[Doubt, ...])
    if cached is not None:
        return cached
    # imported only where the file is parsed, since start-up is felt at every check
    from carknocker.rulebook.doubt_reader import read_doubts

    doubts = read_doubts(text, str(DOUBTS_FILE.name), load_vocabulary())
    if parse_cache is not None:
        parse_cache.put(key, doubts)
    return doubts
