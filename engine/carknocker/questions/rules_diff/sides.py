"""The two editions of `rules diff`: at hand by their name, or in a folder that is not among the rulesets."""

from pathlib import Path

from carknocker.documents import InputRefused, Location, Problem
from carknocker.questions.rules_diff.cars import Side
from carknocker.rulebook import Library, load_library
from carknocker.rulebook.edition_head import HEAD_FILE


def side_of(given: str, library: Library) -> Side:
    """The edition that `RULESET/EDITION`, or the path of an edition's folder, names.

    A folder counts before what is at hand: its ruleset's other editions are taken from beside it too, so that a draft
    may amend an edition that is at hand, or stand in for it. Raises InputRefused, in plain words.
    """
    folder = Path(given)
    if _is_edition(folder):
        return _in_folder(folder.resolve(), library)
    ruleset, sign, name = given.strip("/").partition("/")
    if not sign or not name or "/" in name:
        raise InputRefused((
            Problem(Location(given[:200] or ".", 1, 1), f"`{given[:60]}`, which names no edition",
                    f"RULESET/EDITION, or a folder with {HEAD_FILE} in it"),
        ))  # fmt: skip
    return library.edition(ruleset, name), library


def _is_edition(folder: Path) -> bool:
    try:
        return (folder / HEAD_FILE).is_file()
    except (OSError, ValueError):
        return False


def _in_folder(folder: Path, library: Library) -> Side:
    ruleset = folder.parent.name
    found = load_library([folder.parent.parent], only=frozenset({ruleset}), vocabulary=library.vocabulary)
    own = [head for head in found.heads[ruleset] if head.folder.resolve() == folder]
    name = own[0].name
    beside = {head.name: head for head in found.heads[ruleset]}
    kept = [head for head in library.heads.get(ruleset, ()) if head.name not in beside]
    group = sorted((*kept, *beside.values()), key=lambda head: (head.in_force, head.name))
    together = Library({**library.heads, ruleset: tuple(group)}, library.vocabulary)
    return together.edition(ruleset, name), together
