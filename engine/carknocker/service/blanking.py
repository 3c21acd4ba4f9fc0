"""What the owner takes away for good: a picture or a person's data, with all that holds the same."""

from collections.abc import Sequence

from carknocker.service.asked import Refused
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotThere
from carknocker.service.storage.history import Kind, StillNeeded, Version

_AT_ANY_TIME: tuple[Kind, ...] = ("photograph", "form", "sent form", "dossier", "remark")
"""What is not asked for a judgement of today."""
_ONCE_OLD: tuple[Kind, ...] = ("record", "move")
"""Of these the newest is."""
_MOST = 100_000


def is_blankable(one: Version, newest: Sequence[Version]) -> bool:
    """Whether an entry may be taken away. newest: of the record and the move."""
    return one.kind in _AT_ANY_TIME or (one.kind in _ONCE_OLD and one.digest not in {new.digest for new in newest})


def newest_of(keeping: Keeping, car_id: str) -> tuple[Version, ...]:
    """The newest versions of the record and the move."""
    found = (keeping.history.newest(car_id, kind, "") for kind in _ONCE_OLD)
    return tuple(one for one in found if one is not None)


def blankable(keeping: Keeping, car_id: str, entry_id: int) -> tuple[Version, tuple[Version, ...]]:
    """An entry of the history that may be blanked, and what else may hold the same: of a photograph the form that it
    came in, and the dossiers given out since; of a form its photographs; of a version of the record or the move its
    other old versions, and the dossiers. Raises NotThere."""
    keeping.car(car_id)
    gone = keeping.history.blanked(car_id)
    newest = newest_of(keeping, car_id)
    every = [
        one
        for one in keeping.history.versions(car_id, most=_MOST)
        if one.digest not in gone and is_blankable(one, newest)
    ]
    one = next((one for one in every if one.id == entry_id), None)
    if one is None:
        raise NotThere(str(entry_id))
    found = one
    return found, tuple(other for other in every if other.id != found.id and _may_hold(other, found))


def _may_hold(other: Version, one: Version) -> bool:
    if one.kind == "photograph":
        return (other.kind == "form" and other.at == one.at) or (other.kind == "dossier" and other.id > one.id)
    if one.kind in ("form", "sent form"):
        return other.kind == "photograph" and other.at == one.at
    return one.kind in _ONCE_OLD and other.kind in (one.kind, "dossier")


def blank(keeping: Keeping, car_id: str, entry_ids: Sequence[int], who: str, why: str) -> None:
    """Takes the bytes of entries away for good. Raises NotThere, and Refused without a reason or where the same bytes
    are what another car is judged by."""
    if not why.strip():
        raise Refused("input", "say why: the reason stays in the history")
    at = keeping.written_now()
    digests = dict.fromkeys(blankable(keeping, car_id, one)[0].digest for one in entry_ids)
    try:
        keeping.history.blank(tuple(digests), at, who, why.strip())
    except StillNeeded:
        raise Refused("input", "another car is judged by the very same text; change that one first") from None
    keeping.workers.forget()
    keeping.changed.set()
