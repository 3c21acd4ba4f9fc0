"""How to check an answer again: the digests of what was read, and the two commands."""

import shlex
from pathlib import PurePath

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.judgement.program import made_by


class Recheck(msgspec.Struct, frozen=True):
    """How to check the answer again. digests: name and digest of every file read. make: the command that writes the
    dossier as JSON. check: the command that computes it again and compares; both are run in the folder of the files,
    since whoever gets the page has them in a folder of his own."""

    program: str
    digests: tuple[tuple[str, str], ...]
    make: str
    check: str


def _names(judgement: Judgement) -> tuple[str, str]:
    """Record and move by the names of their files, without folders: the page is then the same wherever they lie. With
    their folders only where both have one name."""
    files = judgement.car.file, judgement.move.file
    car, move = (PurePath(file).name for file in files)
    return (car, move) if car != move else files


def digests_of(judgement: Judgement) -> tuple[tuple[str, str], ...]:
    """Name and SHA-256 digest of everything that the answer was made from."""
    car, move = _names(judgement)
    found = [(car, judgement.car.digest), (move, judgement.move.digest)]
    found.extend((f"{edition.ruleset} {edition.name}", edition.digest) for edition in judgement.rulebook.editions)
    found.append(("all rules together", judgement.rulebook.digest))
    return tuple((name, digest) for name, digest in found if digest)


def recheck_of(index: JudgementIndex) -> Recheck:
    """How to check this answer again."""
    judgement = index.judgement
    maker = made_by()
    car, move = map(shlex.quote, _names(judgement))
    day = index.day.isoformat()
    return Recheck(
        program=f"{maker.program} {maker.version}",
        digests=digests_of(judgement),
        make=f"carknocker check {car} --move {move} --as-of {day} --format json --output dossier.json",
        check=f"carknocker verify dossier.json {car} {move}",
    )
