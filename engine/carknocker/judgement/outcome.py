"""Stage 5: the outcome, from the effects that stand."""

from collections.abc import Iterable, Mapping

from carknocker.judgement.model import Duty, DutyOnTheWay, Finding, Firing, Outcome, Refusal, Relief, RestrictionInForce

FactName = tuple[str, ...]


def paths_up(firings: Iterable[Firing]) -> dict[FactName, list[FactName]]:
    """For each cause, what it makes unfit."""
    paths: dict[FactName, list[FactName]] = {}
    for firing in firings:
        unfit = [name for name in firing.followed if name[0] == "unfit"]
        if unfit:
            paths.setdefault(firing.cause.name, []).extend(unfit)
    return paths


def stops_of(start: FactName, paths: Mapping[FactName, list[FactName]]) -> tuple[str, ...]:
    """The parts that a finding makes unfit, nearest first, by way of every rule that carries it up."""
    found: dict[str, None] = {}
    waiting = [start]
    while waiting:
        for name in paths.get(waiting.pop(0), ()):
            if name[1] not in found:
                found[name[1]] = None
                waiting.append(name)
    return tuple(found)


def refusing(finding: Finding) -> bool:
    """Whether a finding refuses the car as it stands."""
    return finding.unmet and finding.criterion.effect == "refuse" and not finding.relieved and finding.part.fitted


def against_the_move(finding: Finding) -> bool:
    """Findings about the move itself: cleared by changing the move, no part is unfit."""
    return finding.part.kind in ("move", "train", "leg")


def open_refusals(duties: Iterable[Duty]) -> list[Duty]:
    return [duty for duty in duties if duty.state == "open" and duty.requirement.effect == "refuse"]


def repairs_for(reliefs: Iterable[Relief], criterion: str, part: str) -> tuple[Relief, ...]:
    """The reliefs `for: repair` of a criterion on a part."""
    return tuple(
        relief
        for relief in reliefs
        if relief.relieves.purpose == "repair" and relief.criterion == criterion and relief.part == part
    )


def outcome_of(
    refusals: tuple[Refusal, ...], restrictions: tuple[RestrictionInForce, ...], on_the_way: tuple[DutyOnTheWay, ...]
) -> Outcome:
    """One of the four outcomes; what is only routine on the way restricts nothing."""
    if refusals:
        return "repair move only" if all(refusal.repair for refusal in refusals) else "not ready"
    if restrictions or any(not duty.routine for duty in on_the_way):
        return "ready with restrictions"
    return "ready"
