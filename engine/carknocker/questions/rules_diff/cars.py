"""`rules diff` for cars: one car and move judged under each of two editions, everything else alike."""

from datetime import date

from msgspec.structs import replace

from carknocker.documents import InputRefused
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.questions.diff.diff import diff
from carknocker.questions.rules_diff.rules_diff import CarChange
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook import Library
from carknocker.rulebook.model import Edition
from carknocker.wording.car_title import car_title

Side = tuple[Edition, Library]
"""An edition and the library in which it stands."""


def car_change(car: CarRecord, move: Move, before: Side, after: Side, as_of: date) -> CarChange:
    """What changes for a car when the second edition binds its move instead of the first.

    A host's edition is tried on any car: as if that host hauled it. Raises CannotJudge; a move that an edition can't
    bind is said in the note.
    """
    name = car_title(car)
    place = f"{name} ({car.file})"
    try:
        one, two = _judged(car, move, before, as_of), _judged(car, move, after, as_of)
    except InputRefused as refused:
        return CarChange(place, None, "not judged: " + "; ".join(problem.found for problem in refused.problems))
    return CarChange(place, diff(one, two), _as_if(move, before[0], after[0]))


def _judged(car: CarRecord, move: Move, side: Side, as_of: date) -> CheckAnswer:
    edition, library = side
    return check(car, _bound_by(edition, move, library), library, as_of)


def _bound_by(edition: Edition, move: Move, library: Library) -> Move:
    """The move with the edition pinned. Under another host's circular the pin of the first host's falls away."""
    if edition.layer != "host":
        return replace(move, editions={**move.editions, edition.ruleset: edition.name})
    pins = {
        ruleset: name for ruleset, name in move.editions.items()
        if ruleset in library.heads and library.heads[ruleset][-1].layer != "host"
    }  # fmt: skip
    return replace(move, host=edition.host, circular=True, editions={**pins, edition.ruleset: edition.name})


def _as_if(move: Move, before: Edition, after: Edition) -> str:
    hosts = dict.fromkeys(edition.host for edition in (before, after) if edition.layer == "host")
    if not hosts or (move.circular and [move.host.casefold()] == [host.casefold() for host in hosts]):
        return ""
    return f"judged as if hauled by {' and by '.join(hosts)}; the move says {move.host}"
