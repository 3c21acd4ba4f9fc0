"""The editions of a pack to judge by: the program's own where it has the same, else the pack's."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import msgspec

from carknocker.dossier.pack import RULESETS, Pack, by_ruleset, refuse_pack
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.library import Library, load_library


class PackedEdition(msgspec.Struct, frozen=True):
    """An edition of a pack. installed: taken from the program, which has the same, not from the pack. unlike: the
    program has one of that name which says something else."""

    edition: str
    installed: bool
    unlike: bool


@contextmanager
def library_of(pack: Pack, installed: Library, file: str) -> Iterator[tuple[Library, tuple[PackedEdition, ...]]]:
    """The editions of a pack to judge by, each from the program where it has one with the same digest, else from the
    pack. While it is open, those of the pack stand in a folder of their own, which goes with it.

    Raises InputRefused where an edition is not what the pack says.
    """
    with tempfile.TemporaryDirectory(prefix="carknocker-") as name:
        folder = Path(name)
        for path, text in pack.files.items():
            if path.startswith(f"{RULESETS}/"):
                place = folder / path
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_bytes(text)
        packed = load_library([folder / RULESETS])
        heads = [head for own in packed.heads.values() for head in own]
        if {str(head) for head in heads} != set(pack.editions):
            refuse_pack(file, "a pack whose editions are not those that its list names")
        chosen: list[EditionHead] = []
        told: list[PackedEdition] = []
        for head in heads:
            digest = packed.edition(head.ruleset, head.name).digest
            if digest != pack.editions[str(head)]:
                refuse_pack(file, f"edition {head}, which is not the one that the pack's list names")
            same = _same(installed, head, digest)
            chosen.append(head if same is None else same)
            told.append(
                PackedEdition(str(head), same is not None, same is None and _named(installed, head) is not None)
            )
        yield Library(by_ruleset(chosen), installed.vocabulary), tuple(told)


def _same(installed: Library, head: EditionHead, digest: str) -> EditionHead | None:
    """The installed edition with that name and digest; None where there is none."""
    own = _named(installed, head)
    if own is None:
        return None
    return own if installed.edition(own.ruleset, own.name).digest == digest else None


def _named(installed: Library, head: EditionHead) -> EditionHead | None:
    """The edition of that name which came with the program; None where there is none."""
    own = (one for one in installed.heads.get(head.ruleset, ()) if one.name == head.name and one.installed)
    return next(own, None)
