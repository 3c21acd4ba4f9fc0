"""Findings that differ, as a table of before and after; those that are as they were, as a list."""

from carknocker.dossier.pages.diff_reasons import Told, because_words, notes_of
from carknocker.dossier.writing.page import Block, Bullets, Item, Section, Table
from carknocker.judgement.explanation import NothingSeen
from carknocker.judgement.model import Finding
from carknocker.questions.diff.model import FindingChange
from carknocker.wording.parts import compact_labels
from carknocker.wording.verdicts import FindingWords

_EFFECTS = {"refuse": "refuses the car", "restrict": "restricts it", "advise": "is advice"}


def findings_section(
    heading: str, changes: tuple[FindingChange, ...], told: Told, *, folded: bool = False
) -> Section | None:
    """The changes by what they mean for the car; None where there are none."""
    by_effect: dict[str, dict[tuple[str, str, str], list[FindingChange]]] = {}
    for change in changes:
        finding = change.after or change.before
        effect: str = "" if finding is None else finding.criterion.effect
        by_effect.setdefault(effect, {}).setdefault((change.title, *_states(change)), []).append(change)
    blocks: list[Block | Item] = []
    for effect in (*_EFFECTS, ""):
        grouped = by_effect.get(effect)
        if grouped:
            name = f"What {_EFFECTS[effect]}" if effect else "Other"
            blocks.extend(_blocks(name, list(grouped.values()), told))
    return Section(heading, tuple(blocks), folded) if blocks else None


def _blocks(name: str, groups: list[list[FindingChange]], told: Told) -> list[Block | Item]:
    changed = [group for group in groups if _changed(group[0])]
    same = [group for group in groups if not _changed(group[0])]
    blocks: list[Block | Item] = []
    if changed:
        rows = tuple(
            (_where(group), *_states(group[0]), because_words((change.because for change in group), told))
            for group in changed
        )
        blocks.append(Table(name, ("Where and what", "First", "Second", "Because of"), rows))
    if same:
        lines = tuple(f"{_where(group)}: {_states(group[0])[1]}" for group in same)
        blocks.append(Item(f"{name}, as before" if changed else name, (Bullets(lines),)))
    return blocks


def _where(group: list[FindingChange]) -> str:
    """One criterion on the parts where it changed alike, with what else is to be known."""
    notes = notes_of(group)
    said = f" ({'; '.join(notes)})" if notes else ""
    return f"{compact_labels(change.label for change in group)}: {group[0].title}{said}"


def _states(change: FindingChange) -> tuple[str, str]:
    return _state(change.before, change.before_said), _state(change.after, change.after_said)


def _changed(change: FindingChange) -> bool:
    before, after = _states(change)
    return before != after


def _state(finding: Finding | None, said: FindingWords | None) -> str:
    if finding is None or said is None:
        return "not there"
    measured = "" if isinstance(said.explanation.measured, NothingSeen) else f", {said.measured}"
    margin = f" ({said.margin})" if said.margin else ""
    return f"{finding.verdict}{measured}{margin}"
