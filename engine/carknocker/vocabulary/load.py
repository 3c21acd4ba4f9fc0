"""Loads the vocabulary from its data files. Adding an attribute, a test or a spare there needs no code."""

from functools import cache
from pathlib import Path

from carknocker.documents.kept import Keep, key_of
from carknocker.vocabulary.model import Vocabulary

_keeps: list[Keep] = []


@cache
def load_vocabulary() -> Vocabulary:
    """The vocabulary that is installed with the package.

    Raises InputRefused, with every problem, if its data files are bad.
    """
    texts = vocabulary_texts()
    keep = _keeps[0] if _keeps else None
    key = key_of(("vocabulary", *texts, *texts.values()))
    kept = None if keep is None else keep.get(key, Vocabulary)
    if kept is not None:
        return kept
    # the readers are not even imported where it was kept: start-up is felt at every check
    from carknocker.vocabulary.reading import read_vocabulary

    vocabulary = read_vocabulary(texts)
    if keep is not None:
        keep.put(key, vocabulary)
    return vocabulary


def keep_vocabulary(keep: Keep) -> None:
    """Lets `load_vocabulary`, from now on, answer from what an earlier run kept of the same files."""
    _keeps[:] = [keep]


def vocabulary_texts() -> dict[str, str]:
    """Name → text of the installed vocabulary files, in the order in which they are read."""
    found = sorted((Path(__file__).parent / "data").glob("*.yaml"), key=lambda file: file.name)
    return {file.name: file.read_text(encoding="utf-8") for file in found}
