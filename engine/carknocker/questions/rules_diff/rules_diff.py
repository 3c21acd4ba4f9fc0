"""`rules diff`: two editions clause by clause, and the cars whose outcome or refusals change between them."""

from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec

from carknocker.questions.check_rules.shown import rule_shown
from carknocker.questions.diff.model import DiffAnswer
from carknocker.rulebook.model import Consequence, Criterion, Edition
from carknocker.wording.sources import place_words

_NOT_A_CLAUSE = frozenset({"example", "edition"})
"""Lines of a rule that are no part of what it says: how it is tried, and which edition wrote it."""


class LineChange(msgspec.Struct, frozen=True):
    """One clause of a rule, or one entry of an edition's head, before and after; "" where it is not there."""

    label: str
    before: str
    after: str


class RuleChange(msgspec.Struct, frozen=True):
    """One rule that is added (all its clauses `after`), withdrawn (all `before`) or changed (those that differ)."""

    id: str
    title: str
    sort: Literal["criterion", "consequence"]
    lines: tuple[LineChange, ...]


class CarChange(msgspec.Struct, frozen=True):
    """One car judged under both editions. answer: None where it could not be judged, and `note` says why."""

    car: str
    answer: DiffAnswer | None
    note: str = ""

    @property
    def changes(self) -> bool:
        """Another outcome, or another thing that stands against the move or restricts it."""
        answer = self.answer
        if answer is None:
            return False
        found = (
            answer.cleared, answer.new, answer.duties_cleared, answer.duties_new, answer.restrictions_gone,
            answer.restrictions_new, answer.against_gone, answer.against_new,
        )  # fmt: skip
        return answer.outcomes[0] != answer.outcomes[1] or any(found)


class RulesDiff(msgspec.Struct, frozen=True):
    """What differs between two editions. head: of the editions themselves. unchanged: rules that both say alike."""

    before: Edition
    after: Edition
    head: tuple[LineChange, ...]
    added: tuple[RuleChange, ...]
    withdrawn: tuple[RuleChange, ...]
    changed: tuple[RuleChange, ...]
    unchanged: int
    cars: tuple[CarChange, ...] = ()

    @property
    def rules_differ(self) -> bool:
        return bool(self.added or self.withdrawn or self.changed)


def diff_editions(before: Edition, after: Edition, cars: Iterable[CarChange] = ()) -> RulesDiff:
    """Two editions, amendments applied, rule by rule: rules of the same name are the same rule."""
    old, new = _rules(before), _rules(after)
    changed: list[RuleChange] = []
    unchanged = 0
    for name, rule in new.items():
        if name not in old:
            continue
        lines = tuple(_changes(_lines(old[name], before), _lines(rule, after)))
        if lines:
            changed.append(_rule_change(rule, lines))
        else:
            unchanged += 1
    added = (_rule_change(rule, tuple(_changes({}, _lines(rule, after)))) for name, rule in new.items()
             if name not in old)  # fmt: skip
    withdrawn = (_rule_change(rule, tuple(_changes(_lines(rule, before), {}))) for name, rule in old.items()
                 if name not in new)  # fmt: skip
    head = tuple(_changes(_head_lines(before), _head_lines(after)))
    return RulesDiff(before, after, head, tuple(added), tuple(withdrawn), tuple(changed), unchanged, tuple(cars))


def _rules(edition: Edition) -> dict[tuple[str, str], Criterion | Consequence]:
    found: dict[tuple[str, str], Criterion | Consequence] = {}
    found.update((("criterion", rule.name), rule) for rule in edition.criteria)
    found.update((("consequence", rule.name), rule) for rule in edition.consequences)
    return found


def _rule_change(rule: Criterion | Consequence, lines: tuple[LineChange, ...]) -> RuleChange:
    return RuleChange(rule.id, rule.title, "criterion" if isinstance(rule, Criterion) else "consequence", lines)


def _lines(rule: Criterion | Consequence, edition: Edition) -> dict[str, str]:
    """Label → text of every clause of a rule; clauses of one label, such as remedies, stand together."""
    lines: dict[str, list[str]] = {"title": [rule.title]}
    for label, text in rule_shown(rule, edition).lines:
        if label not in _NOT_A_CLAUSE:
            lines.setdefault(label, []).append(text)
    source = rule.source
    lines["source"] = [place_words(source)]
    lines["words"] = [f"“{source.words}”"] if source.words else []
    lines["status"] = [f"{source.status} ({source.year})" if source.year else source.status]
    lines["note"] = [source.note] if source.note else []
    return {label: "; ".join(texts) for label, texts in lines.items() if texts}


def _head_lines(edition: Edition) -> dict[str, str]:
    until = f" until {edition.until.isoformat()}" if edition.until is not None else ""
    borderline = {criterion.borderline for criterion in edition.criteria}
    lines = {
        "title": edition.title,
        "publisher": edition.publisher,
        "host": edition.host,
        "in force": f"since {edition.in_force.isoformat()}{until}",
        "text last checked": edition.checked.isoformat(),
        "builds on": ", ".join(edition.builds_on),
        "borderline figures": {"advise": "advice", "refuse": "refused"}[borderline.pop()] if len(borderline) == 1
        else "",
        "routine note": edition.routine_note,
        **{f"regime, {train} train": words for train, words in edition.regimes.items()},
        **{f"relaxes {criterion}": reason for criterion, reason in edition.relaxes.items()},
    }  # fmt: skip
    return {label: text for label, text in lines.items() if text}


def _changes(before: dict[str, str], after: dict[str, str]) -> Iterator[LineChange]:
    for label in dict.fromkeys((*before, *after)):
        one, two = before.get(label, ""), after.get(label, "")
        if one != two:
            yield LineChange(label, one, two)
