"""Where editions are found, and the library that is made of them."""

from collections.abc import Iterable
from pathlib import Path

from msgspec.structs import replace

import carknocker
from carknocker.documents import InputRefused, Location, Problem, ProblemList, load_text
from carknocker.documents.kept import Keep, key_of
from carknocker.rulebook.choice import RulebookChoice
from carknocker.rulebook.edition_head import HEAD_FILE, EditionHead
from carknocker.rulebook.shelf import Library
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Vocabulary

__all__ = ["Library", "RulebookChoice", "load_library", "rulesets_folders"]


def rulesets_folders() -> tuple[Path, ...]:
    """The folder of the installed rulesets; in a checkout, the one beside the engine. None if neither is there."""
    package = Path(carknocker.__file__).resolve().parent
    for folder in (package / "installed" / "rulesets", package.parent.parent / "rulesets"):
        if folder.is_dir():
            return (folder,)
    return ()


def load_library(
    folders: Iterable[Path], *, only: frozenset[str] | None = None, with_examples: bool = False,
    vocabulary: Vocabulary | None = None, keep: Keep | None = None,
) -> Library:  # fmt: skip
    """The editions in some folders, laid out as RULESET/EDITION/edition.yaml. Only the heads are read here.

    only: rulesets to look at, where the others are not wanted. with_examples: editions are read with their examples.
    keep: where editions may be kept for later runs.
    Raises InputRefused with every problem in the heads, for an edition that is in two folders, and for none at all.
    """
    problems = ProblemList()
    found: dict[tuple[str, str], EditionHead] = {}
    searched = tuple(folders)
    installed = {folder.resolve() for folder in rulesets_folders()}
    for folder in searched:
        with_the_program = folder.resolve() in installed
        for place in _edition_folders(folder, only, problems):
            head = _head(place, keep, problems)
            if head is None:
                continue
            if with_the_program:
                head = replace(head, installed=True)
            other = found.setdefault((head.ruleset, head.name), head)
            if other is not head:
                problems.add(Problem(head.where, f"edition {head.name} of {head.ruleset} a second time",
                                     "each edition once", remedy=f"the first is at {other.where}"))  # fmt: skip
    problems.refuse_if_any()
    if not found:
        listed = ", ".join(str(folder) for folder in searched) or "none"
        raise InputRefused((
            Problem(Location("rulesets", 1, 1), f"no edition in the folders of rulesets: {listed}",
                    "RULESET/EDITION/edition.yaml in a folder"),
        ))  # fmt: skip
    by_ruleset: dict[str, list[EditionHead]] = {}
    for head in sorted(found.values(), key=lambda head: (head.ruleset, head.in_force, head.name)):
        by_ruleset.setdefault(head.ruleset, []).append(head)
    heads = {ruleset: tuple(group) for ruleset, group in by_ruleset.items()}
    words = load_vocabulary() if vocabulary is None else vocabulary
    return Library(heads, words, with_examples=with_examples, keep=keep)


def _head(folder: Path, keep: Keep | None, problems: ProblemList) -> EditionHead | None:
    """The head of an edition, as an earlier run kept it if its text is the same; else read anew."""
    key = ""
    if keep is not None:
        text = load_text(folder / HEAD_FILE, problems)
        if text is None:
            return None
        key = key_of(("head", str(folder), text))
        kept = keep.get(key, EditionHead)
        if kept is not None:
            return kept
    # the reader is not even imported where a head was kept: start-up is felt at every check
    from carknocker.rulebook.head_reader import read_head

    head = read_head(folder, problems)
    if keep is not None and head is not None:
        keep.put(key, head)
    return head


def _edition_folders(folder: Path, only: frozenset[str] | None, problems: ProblemList) -> list[Path]:
    try:
        places = [
            edition
            for ruleset in sorted(folder.iterdir())
            if ruleset.is_dir() and not ruleset.name.startswith(".") and (only is None or ruleset.name in only)
            for edition in sorted(ruleset.iterdir())
            if edition.is_dir() and not edition.name.startswith(".")
        ]
    except OSError as error:
        problems.add(Problem(Location(str(folder), 1, 1), f"the folder can't be read: {error.strerror}",
                             "a folder with RULESET/EDITION/edition.yaml in it"))  # fmt: skip
        return []
    return [place for place in places if (place / HEAD_FILE).exists() or any(place.glob("*.yaml"))]
