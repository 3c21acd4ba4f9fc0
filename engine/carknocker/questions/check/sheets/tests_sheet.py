"""Sheet 6: the tests and who signed them, the brakes as last measured, the spares, the papers on file."""

from collections.abc import Mapping

from msgspec.structs import replace

from carknocker.dossier.brakes_measured import BrakeReading, brakes_measured
from carknocker.dossier.evidence import SignedTest, papers_of, signed_tests_of
from carknocker.dossier.not_refusing import void_in_short
from carknocker.dossier.people import PersonOnRecord, people_of
from carknocker.dossier.spares_on_record import SpareOnRecord, spares_on_record
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import NOT_ON_FILE, Block, Bullets, Item, Paragraph, Section, Table
from carknocker.questions.check.full_table import full_table
from carknocker.questions.check.record_lines import line_numbers
from carknocker.questions.check.sheets.fault_numbers import NumberedFault, fault_of_rule
from carknocker.wording.last_good_days import last_good_days
from carknocker.wording.parts import attribute_words
from carknocker.wording.sources import cite


def tests_sheet(faults: tuple[NumberedFault, ...], index: JudgementIndex) -> Section:
    """The sheet."""
    file = index.judgement.car.file
    tests = signed_tests_of(index)
    blocks: list[Block | Item] = (
        [_tests(tests, _short_of_the_return(index, faults), file)] if tests else [Paragraph("No test is on file.")]
    )
    people = people_of(index)
    if people:
        blocks.append(Item("Who may sign, and until when", (_people(people),)))
    void = void_in_short(index)
    if void:
        blocks.append(Item("Void", (Bullets(void),)))
    measured = brakes_measured(index)
    if measured:
        blocks.append(Item("Brakes as last measured", (_brakes(measured),)))
    spares, papers = spares_on_record(index), papers_of(index)
    if spares:
        blocks.append(Item("Spares", (_spares(spares, index.judgement.move.host, fault_of_rule(faults)),)))
    if papers:
        rows = tuple((one.paper, one.signed, one.until, one.more, line_numbers(one.at, file)) for one in papers)
        table = full_table("Papers on file", ("Paper", "Signed", "Until", "More", "Line"), rows, headed=True)
        blocks.append(Item("Papers on file", (table,)))
    lead = f"Newest first. The line is that of the owner’s record, {file.rpartition('/')[2]}."
    heading = "Tests and who signed them"
    return Section(heading, tuple(blocks), folded=True, sheet=True, lead=lead, counted=str(len(tests)))


def _short_of_the_return(index: JudgementIndex, faults: tuple[NumberedFault, ...]) -> Mapping[tuple[str, str], str]:
    """Name and day of a test → until when it counts, of those that run out before the return; of a void one the number
    of the fault."""
    numbers = fault_of_rule(faults)
    told = {
        (attribute_words(index.judgement.parts[one.part].kind, one.attribute), one.on.isoformat()): "no: void"
        for one in (voided.evidence for voided in index.judgement.voided)
        if one.sort == "test" and one.on is not None and one.part in index.judgement.parts
    }
    for one in last_good_days(index):
        if one.sort == "test" and one.state != "good" and one.since is not None:
            number = next((numbers[rule] for rule in one.criteria if rule in numbers), None)
            fault = "" if number is None else f": fault {number}"
            words = f"no: void{fault}" if one.state == "void" else f"to {one.last.isoformat()}{fault}"
            told[one.what, one.since.isoformat()] = words
    return told


def _tests(tests: tuple[SignedTest, ...], short: Mapping[tuple[str, str], str], file: str) -> Table:
    columns = ("Test", "Date", "Result", "Signed", "Paper, code, device", "Counts", "Line")
    rows = tuple(
        (
            one.test if one.parts in ("the car", "the brake system") else f"{one.test}: {one.parts}",
            one.on,
            one.result,
            one.signed_by.partition(" (")[0],
            "; ".join(word for word in (one.more, one.code and f"code {one.code}", one.device) if word),
            short.get((one.test, one.on), one.counts),
            line_numbers(one.at, file),
        )
        for one in tests
    )
    strong = tuple(number for number, row in enumerate(rows) if row[5] != "yes")
    return Table("Tests", columns, rows, strong=strong, headed=True)


def _brakes(measured: tuple[BrakeReading, ...]) -> Table:
    columns = ("Reading", "On", "Measured", "Must be", "Date, by")
    rows = tuple(
        (
            f"{one.what[:1].upper()}{one.what[1:]}",
            one.parts,
            one.measured,
            one.required or "–",
            ", ".join(word for word in (one.on, one.by) if word),
        )
        for one in measured
    )
    return Table("Brakes as last measured", columns, rows, headed=True)


def _people(people: tuple[PersonOnRecord, ...]) -> Table:
    columns = ("Initials", "Name", "Role", "Accepted by the host", "Tests signed", "Sheets read")
    rows = tuple(
        (
            one.name,
            one.full_name or NOT_ON_FILE,
            one.role,
            f"yes, until {one.until}" if one.accepted and one.until else "yes" if one.accepted else "no",
            str(one.tests),
            str(one.sheets),
        )
        for one in people
    )
    return Table("Who may sign", columns, rows, ("text", "text", "text", "text", "number", "number"), headed=True)


def _spares(spares: tuple[SpareOnRecord, ...], host: str, numbers: Mapping[str, int]) -> Table:
    columns = ("Spare", "Aboard", "On the shelf", "Asked for by", "Short of it")
    rows = tuple(
        (
            " ".join(word for word in (one.spare, one.serial, f"({one.more})" if one.more else "") if word),
            str(one.aboard),
            str(one.shelf),
            cite(one.asked_by, host) or "–",
            _short_of(one, numbers),
        )
        for one in _told_together(spares)
    )
    return full_table("Spares", columns, rows, ("text", "number", "number", "text", "text"), headed=True)


def _told_together(spares: tuple[SpareOnRecord, ...]) -> tuple[SpareOnRecord, ...]:
    """Those that are not on record, and of which the same is to be said, in one row."""
    alike: dict[tuple[object, ...], list[SpareOnRecord]] = {}
    for number, one in enumerate(spares):
        alike.setdefault((one.rules, one.short) if not str(one.at) else (number,), []).append(one)
    return tuple(replace(own[0], spare=", ".join(one.spare for one in own)) for own in alike.values())


def _short_of(spare: SpareOnRecord, numbers: Mapping[str, int]) -> str:
    """The number of the fault, or what is short of what is only advised."""
    fault = next((numbers[rule] for rule in spare.rules if rule in numbers), None)
    if spare.short and fault is not None:
        return f"fault {fault}"
    return f"advised: {spare.short}" if spare.short else ""
