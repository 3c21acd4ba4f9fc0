"""`rules diff`: two editions clause by clause, and the cars whose outcome or refusals change between them."""

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.documents import InputRefused, Location, Problem
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook import Library, load_library
from carknocker.rulebook.edition_head import HEAD_FILE
from carknocker.rulebook.model import Consequence, Criterion, Edition
from carknocker.whatif.differences.compare import compare
from carknocker.whatif.differences.model import CompareAnswer
from carknocker.wording.edition_text import rule_shown
from carknocker.wording.parts import car_title
from carknocker.wording.sources import place_words

_NOT_A_CLAUSE = frozenset({"example", "edition", "fault"})
"""Lines of a rule that are no part of what it says: how it is tried, which edition wrote it, how a page says its
fault."""


class LineChange(msgspec.Struct, frozen=True):
    """One clause of a rule, or one entry of an edition's head, before and after; "" where it is not there."""

    label: str
    before: str
    after: str


class RuleChange(msgspec.Struct, frozen=True):
    """One rule that is added (all its clauses `after`), removed (all `before`) or changed (those that differ)."""

    id: str
    title: str
    sort: Literal["criterion", "consequence"]
    lines: tuple[LineChange, ...]


class CarChange(msgspec.Struct, frozen=True):
    """One car judged under both editions. answer: None where it could not be judged, and `note` says why."""

    car: str
    answer: CompareAnswer | None
    note: str = ""

    @property
    def changes(self) -> bool:
        """Another outcome, or another item that keeps the car from moving or restricts it."""
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
    removed: tuple[RuleChange, ...]
    changed: tuple[RuleChange, ...]
    unchanged: int
    cars: tuple[CarChange, ...] = ()

    @property
    def rules_differ(self) -> bool:
        return bool(self.added or self.removed or self.changed)


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
    removed = (_rule_change(rule, tuple(_changes(_lines(rule, before), {}))) for name, rule in old.items()
                 if name not in new)  # fmt: skip
    head = tuple(_changes(_head_lines(before), _head_lines(after)))
    return RulesDiff(before, after, head, tuple(added), tuple(removed), tuple(changed), unchanged, tuple(cars))


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


Side = tuple[Edition, Library]
"""An edition and the library in which it stands."""


def car_change(car: CarRecord, move: Move, before: Side, after: Side, as_of: date) -> CarChange:
    """What changes for a car when the second edition binds its move instead of the first.

    A host's edition is tried on any car: as if that host hauled it. Raises CannotJudge; a move that an edition can't
    bind is said in the note.
    """
    name = car_title(car)
    place = f"{name} ({car.file})"
    try:
        one, two = _judged(car, move, before, as_of), _judged(car, move, after, as_of)
    except InputRefused as refused:
        return CarChange(place, None, "not judged: " + "; ".join(problem.found for problem in refused.problems))
    return CarChange(place, compare(one, two), _as_if(move, before[0], after[0]))


def _judged(car: CarRecord, move: Move, side: Side, as_of: date) -> CheckAnswer:
    edition, library = side
    return check(car, _bound_by(edition, move, library), library, as_of)


def _bound_by(edition: Edition, move: Move, library: Library) -> Move:
    """The move with the edition pinned. Under another host's circular the pin of the first host's falls away."""
    if edition.layer != "host":
        return replace(move, editions={**move.editions, edition.ruleset: edition.name})
    pins = {
        ruleset: name for ruleset, name in move.editions.items()
        if ruleset in library.heads and library.heads[ruleset][-1].layer != "host"
    }  # fmt: skip
    return replace(move, host=edition.host, circular=True, editions={**pins, edition.ruleset: edition.name})


def _as_if(move: Move, before: Edition, after: Edition) -> str:
    hosts = dict.fromkeys(edition.host for edition in (before, after) if edition.layer == "host")
    if not hosts or (move.circular and [move.host.casefold()] == [host.casefold() for host in hosts]):
        return ""
    return f"judged as if hauled by {' and by '.join(hosts)}; the move says {move.host}"


def side_of(given: str, library: Library) -> Side:
    """The edition that `RULESET/EDITION`, or the path of an edition's folder, names.

    A folder counts before what is at hand: its ruleset's other editions are taken from beside it too, so that a draft
    may amend an edition that is at hand, or stand in for it. Raises InputRefused, in plain words.
    """
    folder = Path(given)
    if _is_edition(folder):
        return _in_folder(folder.resolve(), library)
    ruleset, sign, name = given.strip("/").partition("/")
    if not sign or not name or "/" in name:
        raise InputRefused((
            Problem(Location(given[:200] or ".", 1, 1), f"`{given[:60]}`, which names no edition",
                    f"RULESET/EDITION, or a folder with {HEAD_FILE} in it"),
        ))  # fmt: skip
    return library.edition(ruleset, name), library


def _is_edition(folder: Path) -> bool:
    try:
        return (folder / HEAD_FILE).is_file()
    except (OSError, ValueError):
        return False


def _in_folder(folder: Path, library: Library) -> Side:
    ruleset = folder.parent.name
    found = load_library([folder.parent.parent], only=frozenset({ruleset}), vocabulary=library.vocabulary)
    own = [head for head in found.heads[ruleset] if head.folder.resolve() == folder]
    name = own[0].name
    beside = {head.name: head for head in found.heads[ruleset]}
    kept = [head for head in library.heads.get(ruleset, ()) if head.name not in beside]
    group = sorted((*kept, *beside.values()), key=lambda head: (head.in_force, head.name))
    together = Library({**library.heads, ruleset: tuple(group)}, library.vocabulary)
    return together.edition(ruleset, name), together
