"""Sources, evidence, facts and remedies in words, as every page says them."""

from datetime import date
from pathlib import PurePath

from carknocker.documents import Location
from carknocker.dossier.context import Context
from carknocker.dossier.part_names import label_of
from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import getter
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.truth import NEAR, UNKNOWN
from carknocker.judgement.wording import clause_words, value_words
from carknocker.record.model import Evidence, Work
from carknocker.rulebook.clauses import Clause, Comparison
from carknocker.rulebook.model import Remedy, Requires, Source


def place_words(source: Source) -> str:
    """Where a sentence stands: `49 CFR 238.303(e)(8)(vi)`."""
    return f"{source.document} {source.section}".strip()


def source_words(source: Source) -> str:
    """`49 CFR 238.303(e)(8)(vi) (2015, read): “worn to a 7/8 inch thickness or less”`; what rests on memory or
    inference says that it is to be checked."""
    place = place_words(source)
    read = ", ".join(word for word in (source.year, status_words(source)) if word)
    words = f"{place} ({read})" if read else place
    return f"{words}: “{source.words}”" if source.words else words


def status_words(source: Source) -> str:
    """How the source was read: `read`; `inference: check the current text`."""
    return f"{source.status}: check the current text" if source.to_be_checked else source.status


def place_of(where: Location, judgement: Judgement) -> str:
    """A place in a file: of the record or the move as the file was named, of an edition by RULESET/EDITION/FILE, which
    is the same wherever the rulesets lie."""
    if where.file in (judgement.car.file, judgement.move.file):
        return f"{where.file}:{where.line}"
    return f"{'/'.join(PurePath(where.file).parts[-3:])}:{where.line}"


def evidence_words(evidence: Evidence | None) -> str:
    """Who, when, with what, and where it is written; empty where there is no evidence."""
    if evidence is None:
        return ""
    words: list[str] = []
    if evidence.on is not None:
        words.append(evidence.on.isoformat())
    elif evidence.sort == "description":
        words.append("as the record describes it")
    if evidence.by is not None:
        words.append(f"{evidence.by.full_name or evidence.by.name} ({evidence.by.role})")
    if evidence.gauge is not None:
        checked = evidence.gauge.checked
        words.append(f"gauge {evidence.gauge.name}" + (f" checked {checked.isoformat()}" if checked else ""))
    words.append(f"{evidence.where.file}:{evidence.where.line}")
    return ", ".join(words)


def reading_words(evidence: Evidence) -> str:
    """A value with its day and who read it: `1 in (2026-09-12, RE)`."""
    value = value_words(evidence.value)
    if evidence.sort == "paper":
        value = "on record" + (f" until {evidence.until.isoformat()}" if evidence.until is not None else "")
    by = evidence.by.name if evidence.by is not None else ""
    told = ", ".join(word for word in (evidence.on.isoformat() if evidence.on else "", by) if word)
    return f"{value} ({told})" if told else value


def work_words(work: Work) -> str:
    """`J-12 service portion replaced, 2026-09-24`."""
    return f"{work.id} {work.name}, {work.on.isoformat()}"


def requirement_of_duty(requires: Requires, part: str, since: date | None) -> str:
    """What a duty asks for, on which part."""
    if requires.test:
        after = f", dated after {since.isoformat()}" if since is not None else ""
        return f"{requires.test} of {part}, passed{after}"
    if requires.spare:
        return f"{requires.spare}, sound and fitting {part}, rides along"
    return f"{requires.words} ({part})"


def remedy_condition(remedy: Remedy, finding: Finding, context: Context) -> bool | None:
    """Whether the remedy can work on this part; None where nothing shows whether its condition holds."""
    if remedy.condition is None:
        return True
    truth = clause_test(remedy.condition)(context.sight(finding))
    return None if truth == UNKNOWN else truth >= NEAR


def remedy_words(remedy: Remedy, finding: Finding, context: Context) -> str:
    """A remedy with its condition: whether that holds on this part, or is still to be shown."""
    note = f" ({remedy.note})" if remedy.note else ""
    if remedy.condition is None:
        return f"{remedy.work}{note}"
    words = _plain_condition(remedy.condition)
    seen = _seen_of(remedy.condition, finding, context)
    match remedy_condition(remedy, finding, context):
        case False:
            return f"{remedy.work} is no help here: it needs {words}{f', and that is {seen}' if seen else ''}{note}"
        case True:
            return f"{remedy.work}: it can, since it needs {words}{f', and that is {seen}' if seen else ''}{note}"
        case _:
            return f"{remedy.work}, if {words}; that is not shown yet{note}"


def _plain_condition(clause: Clause) -> str:
    return clause_words(clause).replace(" (exactly that passes)", "").replace(" (exactly that does not pass)", "")


def _seen_of(clause: Clause, finding: Finding, context: Context) -> str:
    """The value that a condition looks at, where it is one comparison and the value is shown."""
    if not isinstance(clause, Comparison):
        return ""
    held = getter(clause.path)(context.sight(finding))
    return "" if held is None else value_words(held.value)


def _state_words(consequence: str, number: str, context: Context) -> str:
    """The clause of a cause that is a state."""
    found = context.consequences.get(consequence)
    if found is None or not number.isdigit() or int(number) >= len(found.causes):
        return ""
    clause = found.causes[int(number)].when
    return "" if clause is None else _plain_condition(clause)


def fact_words(name: tuple[str, ...], context: Context) -> str:
    """A fact of the chain in words, by its name."""
    judgement = context.judgement

    def part(key: str) -> str:
        found = judgement.parts.get(key)
        return key if found is None else label_of(found)

    def title(identifier: str) -> str:
        found = context.criteria.get(identifier) or context.consequences.get(identifier)
        return identifier if found is None else found.title

    match name:
        case ("finding", criterion, key, *_):
            verdict = context.verdicts.get((criterion, key), "")
            return f"{part(key)}: {title(criterion)}" + (f" ({verdict})" if verdict else "")
        case ("seen", criterion, _, place, *_):
            return f"{part(place)}: seen against “{title(criterion)}”"
        case ("work" | "event", identifier, *_):
            entry = context.work.get(identifier)
            return identifier if entry is None else work_words(entry)
        case ("state", consequence, number, key, *_):
            return f"{_state_words(consequence, number, context) or title(consequence)} ({part(key)})"
        case ("test", evidence, *_):
            return f"test {evidence}"
        case ("leave", identifier, *_):
            return f"written leave {identifier}"
        case ("unfit", key, *_):
            return f"{part(key)} is unfit"
        case ("duty", consequence, _, key, *_):
            return f"{part(key)}: {title(consequence)}"
        case ("restricted", _, words, *_):
            return words
        case ("void", evidence, *_):
            return f"void: {evidence}"
        case ("relieved", criterion, key, *_):
            return f"{part(key)}: relieved of “{title(criterion)}”"
        case ("stopped", consequence, key, *_):
            return f"{part(key)}: “{title(consequence)}” does not follow"
        case _:
            return " ".join(name)
