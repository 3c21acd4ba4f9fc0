"""A worksheet filled in, entered and judged again, on every demo case: what was asked for is asked for no longer."""

import csv
import io
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from carknocker.forms.model import Tick
from carknocker.forms.names import kind_and_position
from carknocker.forms.text_forms import csv_form, yaml_form
from carknocker.judgement.answer import check
from carknocker.questions.enter.ask import enter
from carknocker.questions.worksheet.ask import worksheet
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

CASES = Path(__file__).parent.parent.parent / "cases"
GAUGE = "XX-1"
"""One that reads whatever is read with a gauge."""
DAYS = {
    "nothing-measured": date(2027, 3, 20),
    "wren-hollow/before": date(2026, 10, 8),
    "wren-hollow/after": date(2026, 10, 24),
    "larkspur/passenger": date(2026, 9, 1),
    "larkspur/freight": date(2026, 9, 1),
    "two-nations/south": date(2026, 9, 1),
}
SOME_VALUE = {
    "yes or no": "no", "identity": "X-1", "text": "words", "date": "2026-01-01",
}  # fmt: skip
FITTING = {  # what must agree with other readings, or it is doubtful and wanted again
    "gross_weight": "240000 lb", "weight_on_truck_A": "120000 lb", "weight_on_truck_B": "120000 lb",
    "back_to_back": "53-1/4 in", "back_to_back_largest": "53-3/8 in", "bolster_crack_length": "0 in",
    "flange_thickness": "1-1/8 in",
}  # fmt: skip


def some_value(part, name, *, in_yaml):
    """Any value that the attribute of a part may have."""
    attribute = load_vocabulary().attribute(kind_and_position(part)[0].name, name)
    if name in FITTING:
        return FITTING[name]
    if attribute.type == "pressure per minute":
        return "{before: 90 psi, after: 88 psi, minutes: 1}" if in_yaml else "before 90 psi after 88 psi minutes 1"
    if attribute.one_of or attribute.ranges is None or attribute.type == "date":
        return attribute.one_of[0] if attribute.one_of else SOME_VALUE[attribute.type]
    return attribute.ranges.usual.most.written


def filled_csv(asked, day, by):
    rows = list(csv.DictReader(io.StringIO(csv_form(asked), newline="")))
    stream = io.StringIO(newline="")
    writer = csv.DictWriter(stream, rows[0], delimiter=";")  # as a spreadsheet of another country saves it
    writer.writeheader()
    for row in rows:
        if kind_and_position(row["part"]) is None:  # who read, and with what: that is on record; the last row
            writer.writerow(row)
            continue
        if row["words"] != "x":
            row["value"] = some_value(row["part"], row["attribute"], in_yaml=False)
            row["gauge"] = GAUGE if row["tool"] else ""
        writer.writerow({**row, "on": day.isoformat(), "by": by})
    return stream.getvalue()


def filled_yaml(asked, day, by):
    heads = {"on": day.isoformat(), "by": by}
    lines, part, section = [], "", ""
    for line in yaml_form(asked).splitlines():
        words = line.strip()
        name = words.partition(":")[0]
        section = name if line.startswith("    ") and not line.startswith("     ") else section
        if line.startswith(("    on:", "    by:")):
            line = f"    {name}: {heads[name]}"
        elif section == "gauges" and line.startswith('      "'):
            line = f"      {name}: {GAUGE}"  # of a tool
        elif words.startswith('"'):
            part = words.rpartition('":')[0].strip('"')
        elif (
            line.startswith("        ")
            and kind_and_position(part) is not None
            and not line.startswith(("        parts:", "        says:"))
        ):
            line = f"        {name}: {some_value(part, name, in_yaml=True)}"
        lines.append(line)
    return "\n".join(lines) + "\n"


def with_readings_alone(form):
    """The sheets of a form without descriptions, statements and new parts: those must fit each other and the car."""
    for sheet in form.sheets:
        blocks = []
        for block in sheet.blocks:
            if isinstance(block, Tick):
                blocks += [block] if block.writes == "reading" else []
            else:
                kept = {row.number for row in block.rows if row.writes == "reading"}
                boxes = tuple(box for box in block.boxes if box.row in kept)
                blocks += [replace(block, boxes=boxes)] if boxes else []
        if blocks:
            yield replace(sheet, blocks=tuple(blocks))


def readings(form):
    """The boxes of a form that a dated sheet of the record takes."""
    return {
        (box.part, box.attribute)
        for sheet in form.sheets for block in sheet.blocks for row, box in block.answers() if row.writes == "reading"
    }  # fmt: skip


def dated(car):
    return [one for one in car.evidence if one.on is not None]


@pytest.fixture(scope="module")
def library():
    return load_library(rulesets_folders())


@pytest.mark.parametrize("case", DAYS)
@pytest.mark.parametrize(("fill", "name"), [(filled_csv, "form.csv"), (filled_yaml, "form.yaml")])
def test_what_a_worksheet_asks_for_can_be_entered_and_is_then_shown(case, fill, name, library):
    day = DAYS[case]
    text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    move = read_move_text((CASES / case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    head, people, rest = text.partition("\npeople:\n")
    inspector = f"  XX: {{role: shop inspector, accepted_by: [{move.host}], until: 2030-01-01}}\n"
    text = head + (people or "\npeople:\n") + inspector + rest
    head, gauges, rest = text.partition("\ngauges:\n")
    one = f"  {GAUGE}: {{kind: universal gauge, checked: 2026-01-05, due: 2029-01-05}}\n"
    text = head + gauges + one + rest if gauges else f"{head}\ngauges:\n{one}"
    asked = worksheet(check(read_car_text(text, "car.yaml"), move, library, day), before_departure=True, advised=True)
    asked = replace(asked, sheets=tuple(with_readings_alone(asked)), entries=None, who=None, move=None)
    assert readings(asked)
    entered = enter(text, "car.yaml", fill(asked, day, "XX"), name, day)
    assert entered.held == ()
    before, after = read_car_text(text, "car.yaml"), read_car_text(entered.text, "car.yaml")
    assert len(dated(after)) - len(dated(before)) == len(readings(asked))
    again = worksheet(check(read_car_text(entered.text, "car.yaml"), move, library, day))
    assert not readings(asked) & readings(again)
