"""The answer to *diff* as a page: what is cleared, what is new, what is still open, and what did it."""

from collections.abc import Iterable

from carknocker.documents import Location
from carknocker.dossier.check.layout import TONES
from carknocker.dossier.part_names import compact_labels
from carknocker.dossier.words import place_of
from carknocker.dossier.writing.page import Block, Bullets, Item, Page, Rows, Section
from carknocker.judgement.explanation.explain import Explanation
from carknocker.judgement.model import Duty, Finding
from carknocker.questions.check import CheckAnswer
from carknocker.questions.diff.model import DiffAnswer, DutyChange, FindingChange, Novelty, RestrictionChange

_EFFECTS = {"refuse": "refuses the car", "restrict": "restricts it", "advise": "is advice"}
_MOST_LISTED = 40
_MOST_REASONS = 3
_EVIDENCE = ("reading", "description", "test", "paper")


def diff_page(answer: DiffAnswer) -> Page:
    """The page of an answer; a section that has nothing to say is left out."""
    car = answer.after.judgement.car
    before, after = answer.outcomes
    title = " ".join(word for word in (car.mark, car.name) if word)
    verdict = f"{before.upper()} → {after.upper()}" if before != after else f"{after.upper()}, before and after"
    if answer.empty:
        verdict += ": nothing differs"
    sections = (
        _what_differs(answer),
        _findings("Cleared", answer.cleared),
        _findings("New", answer.new),
        _duties("Duties cleared", answer.duties_cleared),
        _duties("Duties that are new", answer.duties_new),
        _texts("No longer against the move", answer.against_gone),
        _texts("Now against the move", answer.against_new),
        _restrictions("Restrictions gone", answer.restrictions_gone),
        _restrictions("Restrictions that are new", answer.restrictions_new),
        _findings("Still open", answer.still_open),
        _duties("Duties still open", answer.duties_open),
        _texts("Still against the move", answer.against_open),
        _restrictions("Restrictions kept", answer.restrictions_kept),
        _findings("Another verdict, open in neither", answer.changed_verdict),
        _findings("Another figure or margin", answer.changed_margin),
        _findings("Spares", answer.spares),
        _novelties("Only in the second", answer.added, answer.after),
        _novelties("Only in the first", answer.removed, answer.before),
    )
    return Page(title, verdict, TONES[after], tuple(section for section in sections if section is not None))


def _what_differs(answer: DiffAnswer) -> Section:
    rows = [("compared", text) for text in answer.what_differs]
    for label, check in (("first", answer.before), ("second", answer.after)):
        judgement = check.judgement
        rulebook = ", ".join(f"{edition.ruleset} {edition.name}" for edition in judgement.rulebook.editions)
        rows.append((label, f"{judgement.car.file}, as of {check.day.isoformat()}: {judgement.outcome}; {rulebook}"))
    return Section("What is compared", (Rows(tuple(rows)),))


def _findings(heading: str, changes: tuple[FindingChange, ...]) -> Section | None:
    by_effect: dict[str, dict[tuple[str, str, bool], list[FindingChange]]] = {}
    for change in changes:
        finding = change.after or change.before
        effect: str = "" if finding is None else finding.criterion.effect
        key = (change.title, _states(change), bool(change.because))
        by_effect.setdefault(effect, {}).setdefault(key, []).append(change)
    items: list[Block | Item] = []
    for effect in (*_EFFECTS, ""):
        grouped = by_effect.get(effect)
        if grouped:
            lines = tuple(_alike(group) for group in grouped.values())
            items.append(Item(f"What {_EFFECTS[effect]}" if effect else "Other", (Bullets(lines),)))
    return Section(heading, tuple(items)) if items else None


def _alike(group: list[FindingChange]) -> str:
    """One criterion on the parts where it changed alike, with all that explains it."""
    first = group[0]
    words = [
        f"{compact_labels(change.label for change in group)}: {first.title}: {_states(first)}",
        *dict.fromkeys(change.note for change in group if change.note),
    ]
    if _changed(first):
        words.append(_because([one for change in group for one in change.because[:_MOST_REASONS]]))
    return "; ".join(words)


def _states(change: FindingChange) -> str:
    before, after = _state(change.before, change.before_said), _state(change.after, change.after_said)
    return before if before == after else f"{before} → {after}"


def _changed(change: FindingChange) -> bool:
    return _state(change.before, change.before_said) != _state(change.after, change.after_said)


def _state(finding: Finding | None, said: Explanation | None) -> str:
    if finding is None or said is None:
        return "not there"
    measured = "" if said.measured in ("not shown", "not read") else f", {said.measured}"
    margin = f" ({said.margin})" if said.margin else ""
    return f"{finding.verdict}{measured}{margin}"


def _because(because: Iterable[Novelty]) -> str:
    said = [words for words, _ in _novelties_alike(because, placed=False)]
    return "because of " + "; ".join(said) if said else "no entry explains it"


def _novelties_alike(novelties: Iterable[Novelty], *, placed: bool = True) -> list[tuple[str, Location | None]]:
    """What is new, the same on several parts as one. placed: only what stands in one place of the record, with it."""
    groups: dict[tuple[str, Location | None], list[str]] = {}
    for one in novelties:
        label, mark, words = one.said.partition(": ") if one.sort in _EVIDENCE else ("", "", one.said)
        groups.setdefault((f"{mark}{words}", one.where if placed else None), []).append(label)
    return [(f"{compact_labels(labels)}{words}", where) for (words, where), labels in groups.items()]


def _duties(heading: str, changes: tuple[DutyChange, ...]) -> Section | None:
    grouped: dict[tuple[str, str, str], list[str]] = {}
    for change in changes:
        before, after = _duty(change.before), _duty(change.after)
        states, because = f"{before} → {after}", f"; {_because(change.because[:_MOST_REASONS])}"
        key = (change.title, before, "") if before == after else (change.title, states, because)
        grouped.setdefault(key, []).append(change.label)
    lines = [
        f"{compact_labels(labels)}: {title}: {states}{because}" for (title, states, because), labels in grouped.items()
    ]
    return _texts(heading, lines)


def _duty(duty: Duty | None) -> str:
    return "not asked for" if duty is None else f"{duty.state} ({duty.note})" if duty.note else duty.state


def _restrictions(heading: str, changes: tuple[RestrictionChange, ...]) -> Section | None:
    lines = []
    for change in changes:
        because = f"; {_because(change.because[:_MOST_REASONS])}" if change.because else ""
        lines.append(f"{change.words}: {change.title} ({change.rule}){because}")
    return _texts(heading, lines)


def _novelties(heading: str, novelties: tuple[Novelty, ...], check: CheckAnswer) -> Section | None:
    lines = [
        said + (f" ({place_of(where, check.judgement)})" if where is not None else "")
        for said, where in _novelties_alike(novelties)
    ]
    rest = len(lines) - _MOST_LISTED
    return _texts(heading, [*lines[:_MOST_LISTED], *([f"and {rest} more entries"] if rest > 0 else [])])


def _texts(heading: str, texts: Iterable[str]) -> Section | None:
    listed = tuple(texts)
    return Section(heading, (Bullets(listed),)) if listed else None
