"""What explains a difference, in words: work that explains many is named by its number, and told once."""

from collections.abc import Iterable, Mapping

import msgspec

from carknocker.documents import Location
from carknocker.questions.diff.model import DiffAnswer, FindingChange, Novelty
from carknocker.record.model import Work
from carknocker.wording.parts import compact_labels

_MOST_REASONS = 3
_EVIDENCE = ("reading", "description", "test", "paper")


class Told(msgspec.Struct, frozen=True):
    """What the page says once. work: number → the whole of it; only numbers that mean one piece of work.
    exchanged: `wheel W-31 left → wheel W-51 left`."""

    work: Mapping[str, str]
    exchanged: tuple[str, ...]


def told_once(answer: DiffAnswer) -> Told:
    """The work and events that a reason of this answer names, and the parts that are others now."""
    findings = (
        *answer.cleared, *answer.new, *answer.still_open, *answer.changed_verdict, *answer.changed_margin,
        *answer.spares,
    )  # fmt: skip
    duties = (*answer.duties_cleared, *answer.duties_new, *answer.duties_open)
    restrictions = (*answer.restrictions_gone, *answer.restrictions_new)
    reasons = [change.because for change in findings]
    reasons += [change.because for change in duties]
    reasons += [change.because for change in restrictions]
    found: dict[str, dict[str, None]] = {}
    for because in reasons:
        for one in because[:_MOST_REASONS]:
            if isinstance(one.about, Work) and one.about.id:
                found.setdefault(one.about.id, {})[one.said] = None
    work = {number: next(iter(said)) for number, said in found.items() if len(said) == 1}
    exchanged = dict.fromkeys(filter(None, map(exchange, findings)))
    return Told(work, tuple(exchanged))


def exchange(change: FindingChange) -> str:
    """Which part is there instead of which; empty where it is the same."""
    before, after = change.before, change.after
    if before is None or after is None or before.part.key == after.part.key:
        return ""
    one, two = (f"steel {part.key}" if part.kind == "axle" else part.key for part in (before.part, after.part))
    return f"{one} → {two}"


def notes_of(changes: Iterable[FindingChange]) -> tuple[str, ...]:
    """What else is to be known of some changes, each said once; that a part is another, without which."""
    notes: dict[str, None] = {}
    for change in changes:
        other = exchange(change)
        if other:
            notes["another part now"] = None
        rest = change.note.removeprefix(other).removeprefix("; ")
        if rest:
            notes[rest] = None
    return tuple(notes)


def because_words(changes: Iterable[Iterable[Novelty]], told: Told) -> str:
    """What explains some changes, the nearest reasons of each."""
    nearest = [one for because in changes for one in tuple(because)[:_MOST_REASONS]]
    return "; ".join(words for words, _ in alike(nearest, told, placed=False)) or "no entry explains it"


def alike(
    novelties: Iterable[Novelty], told: Told | None = None, *, placed: bool = True
) -> list[tuple[str, Location | None]]:
    """What is new, the same on several parts as one. placed: only what stands in one place of the record, with it.
    told: work that is named by its number."""
    groups: dict[tuple[str, Location | None], list[str]] = {}
    for one in novelties:
        label, mark, words = one.said.partition(": ") if one.sort in _EVIDENCE else ("", "", one.said)
        if told is not None and isinstance(one.about, Work) and told.work.get(one.about.id) == one.said:
            words = one.about.id
        groups.setdefault((f"{mark}{words}", one.where if placed else None), []).append(label)
    return [(f"{compact_labels(labels)}{words}", where) for (words, where), labels in groups.items()]
