"""What a refusal stops: `wheelset W-31 → axle 1 → truck B → the car`."""

from collections.abc import Iterable

from carknocker.judgement.assemble import stops_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Refusal
from carknocker.record.model import Part
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.parts import named


def stops_words(refusals: Iterable[Refusal], index: JudgementIndex) -> str:
    """What some refusals stop together, level by level up to the car; what is against the move stops the move."""
    listed = list(refusals)
    levels: dict[str, list[Part]] = {}
    parts = index.judgement.parts
    depth = index.judgement.situation.standing.containers
    for refusal in listed:
        for key in stopped_by(refusal, index):
            if key in parts:
                levels.setdefault(parts[key].kind, []).append(parts[key])
    if not levels:
        return "the move" if all(_against(refusal) for refusal in listed) else "the car"
    inner_first = sorted(levels, key=lambda kind: (-max(len(depth(part.key)) for part in levels[kind]), kind))
    return " → ".join(named(levels[kind], index) for kind in inner_first)


def stopped_by(refusal: Refusal, index: JudgementIndex) -> tuple[str, ...]:
    """Keys of the parts that a refusal makes unfit, an open duty too; nearest first."""
    if refusal.duty is None:
        return refusal.stops
    return stops_of(refusal.duty.fact, index.paths_up)


def _against(refusal: Refusal) -> bool:
    finding = refusal.finding
    return refusal.against is not None or (finding is not None and finding.part.kind in MOVE_KINDS)
