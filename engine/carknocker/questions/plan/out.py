"""What is done to a truck that rolls out: what to disconnect, what is due, what can be looked at only now."""

from collections.abc import Iterable

from carknocker.judgement.model import Judgement
from carknocker.questions.plan.jobs import truck_of
from carknocker.questions.plan.model import ROLLED_OUT, Job, TruckOut
from carknocker.record.model import Part
from carknocker.record.values import NotAccessible, Words
from carknocker.vocabulary import load_vocabulary

_ONLY_NOW = ("truck out", "wheelset out", "wheel free")


def trucks_out(judgement: Judgement, jobs: Iterable[Job]) -> tuple[TruckOut, ...]:
    """Each truck that one of the jobs rolls out, as the car stands before the work."""
    listed = sorted(jobs)
    found: list[TruckOut] = []
    for job in listed:
        if job.work != ROLLED_OUT:
            continue
        truck = job.at[0]
        because = [
            f"{other.work} at {_labels(judgement, other.at)}"
            for other in listed
            if other != job and any(truck_of(part, judgement.situation.standing) == truck for part in other.at)
        ]
        found.append(
            TruckOut(
                judgement.parts[truck].label,
                tuple(because),
                _connections(judgement, truck),
                _due(judgement, truck, listed),
                _look_at(judgement, truck),
            )  # fmt: skip
        )
    return tuple(sorted(found, key=lambda one: one.label != "truck B"))


def _labels(judgement: Judgement, parts: Iterable[str]) -> str:
    return ", ".join(judgement.parts[part].label for part in parts)


def _connections(judgement: Judgement, truck: str) -> tuple[str, ...] | None:
    held = judgement.situation.view(truck).get("connections_to_body")
    return held.value.texts if held is not None and isinstance(held.value, Words) else None


def _inside(judgement: Judgement, truck: str) -> list[Part]:
    standing = judgement.situation.standing
    fitted = (part for part in judgement.parts.values() if part.fitted)
    return [part for part in fitted if part.key == truck or truck in standing.containers(part.key)]


def _due(judgement: Judgement, truck: str, jobs: list[Job]) -> tuple[str, ...]:
    """What is open on the truck and in it, whatever its effect, and is not answered by a job of the plan anyway: more
    miles are not to be run before it is seen to."""
    inside = {part.key for part in _inside(judgement, truck)}
    planned = {(job.work, part) for job in jobs for part in job.at}
    by_title: dict[str, list[str]] = {}
    for finding in judgement.findings:
        if finding.part.key not in inside or finding.verdict not in ("breached", "borderline"):
            continue
        if finding.criterion.effect == "refuse" and finding.unmet:
            continue
        remedies = [one.work for one in finding.criterion.remedies if (one.work, finding.part.key) not in planned]
        words = f"{finding.criterion.title} ({finding.verdict}, {finding.criterion.effect})"
        words += f": {' or '.join(remedies)}" if remedies else ""
        by_title.setdefault(words, []).append(finding.part.label)
    return tuple(f"{_compact(labels)}: {words}" for words, labels in by_title.items())


def _look_at(judgement: Judgement, truck: str) -> tuple[str, ...]:
    """The readings that want the truck or the wheelset out, or a wheel free: when each was last read."""
    kinds = load_vocabulary().kinds
    evidence = judgement.situation.standing.evidence
    rows: dict[tuple[str, str, str], list[str]] = {}
    for part in _inside(judgement, truck):
        for attribute in kinds[part.kind].attributes.values():
            if attribute.access not in _ONLY_NOW or attribute.description or attribute.derived:
                continue
            if attribute.type in ("test", "paper"):
                continue
            entries = evidence.get(part.key, {}).get(attribute.name, ())
            read = [one for one in entries if one.on is not None and not isinstance(one.value, NotAccessible)]
            last = f"last read {read[-1].on.isoformat()}" if read and read[-1].on is not None else "never read"
            if read and read[-1].id in judgement.situation.excluded:
                last = "read, but void or not counted"
            rows.setdefault((part.kind, last, attribute.access), []).append(f"{part.label}\x1f{attribute.label}")
    return tuple(_row(kind, last, access, own) for (kind, last, access), own in sorted(rows.items(), key=_never_first))


def _never_first(entry: tuple[tuple[str, str, str], list[str]]) -> tuple[bool, str, str]:
    kind, last, _ = entry[0]
    return last.startswith("last"), last, kind


def _row(kind: str, last: str, access: str, own: list[str]) -> str:
    pairs = [one.split("\x1f") for one in own]
    labels = _compact(dict.fromkeys(pair[0] for pair in pairs))
    return f"{labels}: {', '.join(dict.fromkeys(pair[1] for pair in pairs))} ({last}; {access})"


def _compact(labels: Iterable[str]) -> str:
    """`wheel L1, R1` for `wheel L1` and `wheel R1`."""
    by_kind: dict[str, list[str]] = {}
    for label in dict.fromkeys(labels):
        kind, _, last = label.rpartition(" ")
        by_kind.setdefault(kind, []).append(last)
    return "; ".join(f"{kind} {', '.join(lasts)}".strip() for kind, lasts in by_kind.items())
