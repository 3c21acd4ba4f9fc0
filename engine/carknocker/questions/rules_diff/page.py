"""The answer to *rules diff* as a page: what is added, removed, changed, and what that does to some cars."""

from collections.abc import Iterable

from carknocker.page.model import Block, Emphasized, Item, Page, Paragraph, Rows, Section
from carknocker.questions.rules_diff.ask import CarChange, LineChange, RuleChange, RulesDiff
from carknocker.rulebook.model import Edition
from carknocker.whatif.differences.model import CompareAnswer, DutyChange, FindingChange, RestrictionChange
from carknocker.wording.parts import compact_labels


def rules_diff_page(answer: RulesDiff) -> Page:
    """The page of an answer; a section that has nothing to say is left out."""
    sections = (
        _compared(answer),
        _rules("Added", answer.added),
        _rules("Removed", answer.removed),
        _rules("Changed", answer.changed),
        _cars(answer.cars),
    )
    title = f"{name_of(answer.before)} → {name_of(answer.after)}"
    return Page(title, _verdict(answer), "plain", tuple(section for section in sections if section is not None))


def name_of(edition: Edition) -> str:
    """`us-federal 2020`."""
    return f"{edition.ruleset} {edition.name}"


def _verdict(answer: RulesDiff) -> str:
    counts = (f"{len(answer.added)} added", f"{len(answer.removed)} removed", f"{len(answer.changed)} changed")
    changed = sum(car.changes for car in answer.cars)
    of_cars = f": {changed} of {len(answer.cars)} come out otherwise." if answer.cars else ""
    if not answer.rules_differ:
        return Emphasized("NO RULE DIFFERS. CARS", of_cars) if answer.cars else Emphasized("NO RULE DIFFERS.")
    words = f": {', '.join(counts)}, {answer.unchanged} as before."
    return Emphasized("RULES", f"{words} CARS{of_cars}" if answer.cars else words)


def _compared(answer: RulesDiff) -> Section:
    blocks: list[Block | Item] = [
        Rows((("old", answer.before.title), ("new", answer.after.title))),
    ]
    if answer.head:
        blocks.append(Item("The editions themselves", (Rows(tuple(_line(line) for line in answer.head)),)))
    return Section("What is compared", tuple(blocks))


def _line(line: LineChange) -> tuple[str, str]:
    return line.label, f"{line.before or 'nothing'} → {line.after or 'nothing'}"


def _rules(heading: str, rules: tuple[RuleChange, ...]) -> Section | None:
    items = tuple(Item(f"{rule.id}: {rule.title}", (Rows(_rule_rows(rule, heading)),)) for rule in rules)
    return Section(f"{heading} ({len(rules)})", items) if items else None


def _rule_rows(rule: RuleChange, heading: str) -> tuple[tuple[str, str], ...]:
    if heading == "Changed":
        return tuple(_line(line) for line in rule.lines)
    return tuple((line.label, line.after or line.before) for line in rule.lines if line.label != "title")


def _cars(cars: tuple[CarChange, ...]) -> Section | None:
    if not cars:
        return None
    return Section("Cars", tuple(Item(f"{car.car}: {_outcomes(car)}", _car_blocks(car)) for car in cars))


def _outcomes(car: CarChange) -> str:
    if car.answer is None:
        return "not judged"
    before, after = car.answer.outcomes
    return f"{before.upper()} → {after.upper()}" if before != after else f"{after.upper()} under both"


def _car_blocks(car: CarChange) -> tuple[Block, ...]:
    blocks: list[Block] = [Paragraph(car.note, strong=True)] if car.note else []
    if car.answer is not None:
        rows = tuple(_car_rows(car.answer))
        blocks.append(Rows(rows) if rows else Paragraph("nothing that counts for this car changes"))
    return tuple(blocks)


def _car_rows(answer: CompareAnswer) -> Iterable[tuple[str, str]]:
    yield from _finding_rows("refused now", "refuse", answer.new, now=True)
    yield from (("refused now", line) for line in (*_duty_lines(answer.duties_new, True), *answer.against_new))
    yield from _finding_rows("no longer refused", "refuse", answer.cleared, now=False)
    yield from (
        ("no longer refused", line) for line in (*_duty_lines(answer.duties_cleared, True), *answer.against_gone)
    )
    yield from (("restricted now", _restriction(one)) for one in answer.restrictions_new)
    yield from (("no longer restricted", _restriction(one)) for one in answer.restrictions_gone)
    yield from (("to be done on the way", line) for line in _duty_lines(answer.duties_new, False))
    yield from (("no longer to be done", line) for line in _duty_lines(answer.duties_cleared, False))
    yield from _finding_rows("advised now", "advise", answer.new, now=True)
    yield from _finding_rows("no longer advised", "advise", answer.cleared, now=False)


def _finding_rows(
    label: str, effect: str, changes: tuple[FindingChange, ...], *, now: bool
) -> Iterable[tuple[str, str]]:
    """Findings with the effect that they have where they stand, now or before, parts of one criterion together."""
    grouped: dict[tuple[str, str, str], list[str]] = {}
    for change in changes:
        finding = change.after if now else change.before
        if finding is not None and finding.criterion.effect == effect:
            grouped.setdefault((change.title, finding.verdict, change.criterion), []).append(change.label)
    for (title, verdict, criterion), labels in grouped.items():
        yield label, f"{compact_labels(labels)}: {title} ({verdict}; {criterion})"


def _duty_lines(changes: tuple[DutyChange, ...], before_departure: bool) -> list[str]:
    grouped: dict[str, list[str]] = {}
    for change in changes:
        duty = change.after or change.before
        if duty is None:
            continue
        requires = duty.requirement
        if (requires.when == "before departure" and requires.effect == "refuse") == before_departure:
            grouped.setdefault(f"{change.title} ({duty.consequence.id})", []).append(change.label)
    return [f"{compact_labels(labels)}: {words}" for words, labels in grouped.items()]


def _restriction(change: RestrictionChange) -> str:
    return f"{change.words}: {change.title} ({change.rule})"
