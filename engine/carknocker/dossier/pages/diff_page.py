"""The answer to *diff* as a page: what is cleared, what is new, what is still open, and what did it."""

from collections.abc import Iterable

from carknocker.dossier.check.layout import TONES
from carknocker.dossier.pages.diff_findings import findings_section
from carknocker.dossier.pages.diff_reasons import Told, alike, because_words, told_once
from carknocker.dossier.writing.page import Bullets, Page, Rows, Section
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Duty
from carknocker.questions.diff.model import DiffAnswer, DutyChange, Novelty, RestrictionChange
from carknocker.wording.car_title import car_title
from carknocker.wording.parts import compact_labels
from carknocker.wording.sources import place_of

_MOST_LISTED = 40


def diff_page(answer: DiffAnswer) -> Page:
    """The page of an answer; a section that has nothing to say is left out."""
    car = answer.after.judgement.car
    before, after = answer.outcomes
    title = car_title(car)
    verdict = f"{before.upper()} → {after.upper()}" if before != after else f"{after.upper()}, before and after"
    if answer.empty:
        verdict += ": nothing differs"
    told = told_once(answer)
    sections = (
        _what_differs(answer),
        _texts("Work and events that the reasons name", told.work.values()),
        findings_section("Cleared", answer.cleared, told),
        findings_section("New", answer.new, told),
        _duties("Duties cleared", answer.duties_cleared, told),
        _duties("Duties that are new", answer.duties_new, told),
        _texts("No longer against the move", answer.against_gone),
        _texts("Now against the move", answer.against_new),
        _restrictions("Restrictions gone", answer.restrictions_gone, told),
        _restrictions("Restrictions that are new", answer.restrictions_new, told),
        findings_section("Still open", answer.still_open, told),
        _duties("Duties still open", answer.duties_open, told),
        _texts("Still against the move", answer.against_open),
        _restrictions("Restrictions kept", answer.restrictions_kept, told),
        findings_section("Another verdict, open in neither", answer.changed_verdict, told, folded=True),
        findings_section("Another figure or margin", answer.changed_margin, told, folded=True),
        findings_section("Spares", answer.spares, told, folded=True),
        _texts("Other parts in the same places", told.exchanged, folded=True),
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


def _duties(heading: str, changes: tuple[DutyChange, ...], told: Told) -> Section | None:
    grouped: dict[tuple[str, str, str], list[str]] = {}
    for change in changes:
        before, after = _duty(change.before), _duty(change.after)
        states, because = f"{before} → {after}", f"; because of {because_words([change.because], told)}"
        key = (change.title, before, "") if before == after else (change.title, states, because)
        grouped.setdefault(key, []).append(change.label)
    lines = [
        f"{compact_labels(labels)}: {title}: {states}{because}" for (title, states, because), labels in grouped.items()
    ]
    return _texts(heading, lines)


def _duty(duty: Duty | None) -> str:
    return "not asked for" if duty is None else f"{duty.state} ({duty.note})" if duty.note else duty.state


def _restrictions(heading: str, changes: tuple[RestrictionChange, ...], told: Told) -> Section | None:
    lines = []
    for change in changes:
        because = f"; because of {because_words([change.because], told)}" if change.because else ""
        lines.append(f"{change.words}: {change.title} ({change.rule}){because}")
    return _texts(heading, lines)


def _novelties(heading: str, novelties: tuple[Novelty, ...], check: CheckAnswer) -> Section | None:
    lines = [
        said + (f" ({place_of(where, check.judgement)})" if where is not None else "")
        for said, where in alike(novelties)
    ]
    rest = len(lines) - _MOST_LISTED
    rows = [*lines[:_MOST_LISTED], *([f"and {rest} more entries"] if rest > 0 else [])]
    return _texts(heading, rows, folded=True)


def _texts(heading: str, texts: Iterable[str], *, folded: bool = False) -> Section | None:
    listed = tuple(texts)
    return Section(heading, (Bullets(listed),), folded) if listed else None
