"""What an answer was made from, by SHA-256 digest, and the commands that make and check it again."""

import shlex

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.judgement.program import made_by


class Recheck(msgspec.Struct, frozen=True):
    """digests: name and digest of everything read. make: the command that writes the dossier as JSON. check: the one
    that computes it again and compares."""

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
    """How this answer is checked again."""
    judgement = index.judgement
    maker = made_by()
    car, move = shlex.quote(judgement.car.file), shlex.quote(judgement.move.file)
    day = index.day.isoformat()
    return Recheck(
        program=f"{maker.program} {maker.version}",
        digests=digests_of(judgement),
        make=f"carknocker check {car} --move {move} --as-of {day} --format json --output dossier.json",
        check=f"carknocker recheck dossier.json {car} {move}",
    )
