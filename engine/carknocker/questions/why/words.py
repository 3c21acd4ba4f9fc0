"""Values, entries and facts in the few words that an answer needs."""

from collections.abc import Iterable

from carknocker.judgement.wording import value_words
from carknocker.record.model import Evidence, Leave, Part, Spare, Work
from carknocker.rulebook.model import Requires
from carknocker.vocabulary import load_vocabulary

_THE = {"car": "the car", "move": "the move", "train": "the train"}


def part_words(part: Part) -> str:
    """`wheel R5`, `the car`; what is not fitted says so."""
    label = _THE.get(part.key, part.label)
    return label if part.fitted else f"{label} (not fitted)"


def attribute_words(kind: str, name: str) -> str:
    """The label of an attribute of a kind of part."""
    attribute = load_vocabulary().attribute(kind, name)
    return name.replace("_", " ") if attribute is None else attribute.label


def evidence_value(evidence: Evidence) -> str:
    """The value, or for a paper its last day."""
    if evidence.sort != "paper":
        return value_words(evidence.value)
    return "on record" + ("" if evidence.until is None else f" until {evidence.until.isoformat()}")


def evidence_lines(evidence: Evidence) -> tuple[tuple[str, str], ...]:
    """Who, when, with which gauge, on which sheet, after what."""
    lines: list[tuple[str, str]] = []
    if evidence.on is not None:
        lines.append(("on", evidence.on.isoformat()))
    person, gauge = evidence.by, evidence.gauge
    if person is not None:
        lines.append(("by", f"{person.full_name or person.name} ({person.role})"))
    if gauge is not None:
        checked = f", checked {gauge.checked.isoformat()}" if gauge.checked is not None else ", no check on record"
        due = f", due {gauge.due.isoformat()}" if gauge.due is not None else ""
        lines.append(("gauge", f"{gauge.name} ({gauge.kind}{checked}{due})"))
    if evidence.sheet and evidence.sort == "reading":
        lines.append(("sheet", evidence.sheet))
    if evidence.after:
        lines.append(("after", ", ".join(sorted(evidence.after))))
    lines.extend((name.replace("_", " "), value_words(value)) for name, value in evidence.facts.items())
    return tuple(lines)


def work_words(work: Work) -> str:
    """`J-12 wheelset renewed, 2026-10-02, axle 3: W-33 off, W-41 fitted`."""
    changed = [f"{work.off} off"] if work.off else []
    changed.extend([f"{work.fitted} fitted"] if work.fitted else [])
    at = f", axle {work.axle}" if work.axle is not None else ""
    return f"{work.id} {work.name}, {work.on.isoformat()}{at}" + (f": {', '.join(changed)}" if changed else "")


def leave_words(leave: Leave) -> str:
    """`L-1 of HOST for flange-thickness, 2026-11-01 to 2026-11-30, signed by …`."""
    return (
        f"{leave.id} of {leave.host} for {leave.criterion}, {leave.first.isoformat()} to {leave.last.isoformat()}, "
        f"signed by {leave.signed_by}" + (f", {leave.paper}" if leave.paper else "")
    )


def spare_words(spare: Spare) -> str:
    """`wheelset W-50: 1 carried, 0 on the shelf`."""
    return f"{spare.name} {spare.serial}".strip() + f": {spare.carried} carried, {spare.shelf} on the shelf"


def duty_words(requires: Requires) -> str:
    """What a duty asks for."""
    if requires.test:
        return f"{requires.test}, passed"
    return f"{requires.spare}, fitting and sound, riding along" if requires.spare else requires.words


def listed(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    names = list(words)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + f" and {names[-1]}" if names else "nothing"
