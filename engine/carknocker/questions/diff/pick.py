"""Picking novelties: by the entry or the edition they are, each once, the nearest first."""

from collections.abc import Iterable, Iterator

from carknocker.questions.diff.model import Novelty
from carknocker.record.model import Work
from carknocker.rulebook.model import Edition

_NEAREST = (
    "reading", "test", "paper", "description", "work", "event", "fitting", "spare", "leave", "edition", "person",
    "gauge", "move", "moves made", "day",
)  # fmt: skip


def entries(side: Iterable[Novelty], ids: set[str]) -> Iterator[Novelty]:
    """The work and events of one side with these ids."""
    return (one for one in side if isinstance(one.about, Work) and one.about.id in ids)


def editions(side: Iterable[Novelty], ruleset: str) -> Iterator[Novelty]:
    """The editions of a ruleset on one side."""
    return (one for one in side if isinstance(one.about, Edition) and one.about.ruleset == ruleset)


def once(found: Iterable[Novelty]) -> tuple[Novelty, ...]:
    """Each once, what is nearest to the part first. That another wheelset is there needs no saying beside the work."""
    distinct: list[Novelty] = []
    for novelty in found:
        if not any(novelty is other for other in distinct):
            distinct.append(novelty)
    if any(isinstance(novelty.about, Work) and novelty.about.fitted for novelty in distinct):
        distinct = [novelty for novelty in distinct if novelty.sort != "fitting"]
    return tuple(sorted(distinct, key=lambda novelty: _NEAREST.index(novelty.sort)))
