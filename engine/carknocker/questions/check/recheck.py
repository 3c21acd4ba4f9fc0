"""How to check an answer again: the digests of what was read, and the two commands."""

import shlex

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.judgement.program import made_by


class Recheck(msgspec.Struct, frozen=True):
    """How to check the answer again. digests: name and digest of every file read. make: the command that writes the
    dossier as JSON. check: the command that computes it again and compares."""

    program: str
    digests: tuple[tuple[str, str], ...]
    make: str
    check: str


def digests_of(judgement: Judgement) -> tuple[tuple[str, str], ...]:
    """Name and SHA-256 digest of everything that the answer was made from."""
    found = [(judgement.car.file, judgement.car.digest), (judgement.move.file, judgement.move.digest)]
    found.extend((f"{edition.ruleset} {edition.name}", edition.digest) for edition in judgement.rulebook.editions)
    found.append(("all rules together", judgement.rulebook.digest))
    return tuple((name, digest) for name, digest in found if digest)


def recheck_of(index: JudgementIndex) -> Recheck:
    """How to check this answer again."""
    judgement = index.judgement
    maker = made_by()
    car, move = shlex.quote(judgement.car.file), shlex.quote(judgement.move.file)
    day = index.day.isoformat()
    return Recheck(
        program=f"{maker.program} {maker.version}",
        digests=digests_of(judgement),
        make=f"carknocker check {car} --move {move} --as-of {day} --format json --output dossier.json",
        check=f"carknocker verify dossier.json {car} {move}",
    )
