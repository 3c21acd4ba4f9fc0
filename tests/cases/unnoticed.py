"""How many slips in the record of a READY demo car leave its page as it was: `python tests/cases/unnoticed.py`.

Each value of the record is made false once in each way that its form allows (a figure times ten and a tenth of it, a
`yes` for a `no`, a date ten years off), and each entry is left out once. A change is noticed where the record is
refused or any word of the page of `check` changes. Line numbers of the record do not count as words. Words of choices
and names are not changed here: a name can be any name.

Of each entry that can be left out unnoticed it says why that is right: no criterion that applies looks at anything that
the entry says, or it is of a kind in the table of reasons. What has no reason is counted apart.

`--list` names every change that nobody noticed, with the reason.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from copy import deepcopy
from datetime import date
from typing import Any

import msgspec
import yaml
from case_list import CASES, expected, library, names

from carknocker.cli.output import joined
from carknocker.documents import InputRefused
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.doubts import looks_of, seen_by
from carknocker.judgement.findings import view_for_must, view_for_when
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import CannotJudge, Judgement
from carknocker.questions.check.page import page_of
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Evidence, Move

Path_ = tuple[str | int, ...]
_NUMBER = re.compile(r"[0-9][0-9,]*(?:\.[0-9]+)?(?:-[0-9]+/[0-9]+|/[0-9]+)?")
_DATE = re.compile(r"([0-9]{4})(-[0-9]{2}){0,2}")
_LINE = re.compile(r"car\.yaml:[0-9]+(?::[0-9]+)?")
_OPPOSITE = {"yes": "no", "no": "yes"}


REASONS = {
    r"sheets > \d+ > (access|car|paper)": "says how a sheet came about; no rule asks",
    r"gauges > [^>]+ > (checked|due|reads_to)": "a kind that needs no check, or nothing that it read is near a limit",
    r"people > [^>]+ > telephone": "no rule asks; the dossier's first sheet then says that nobody to call is on file",
    r"spares > .*": "no duty of this move asks for such a spare",
    r"wheelsets > [^>]+ > where": "the work that took it off says the same",
    r"work > \d+ > (by|reason|cut)": "no rule at hand asks who did it, why, or how deep",
    r"work > \d+ > at": "there is one such part on the car",
    r"(tests|papers) > \d+ > [a-z_]+": "a fact that no rule at hand asks of such a test or paper",
    r"sheets > \d+ > readings > (boxes|side_bearings)( > .*)?": "an older reading says the same, and no rule at hand "
    "asks for a newer one",
    r"sheets > \d+ > readings > springs > [^>]+ > (leaf_broken|leaf_springs_broken|coils_broken)": "the other word or "
    "count of the same spring says it",
    r"sheets > \d+ > readings > trucks > [^>]+ > frame_crack_length": "the frame was seen to be sound, so that no "
    "length is asked",
    r"springs > [^>]+ > springs_in_nest": "none is broken, so that no share is asked",
    r"sheets > \d+ > readings > safety_appliances > all > weld_crack": "screws and bolts fasten it, no weld",
    r"sheets > \d+ > readings > wheels > [^>]+ > tape_base": "the other wheels of the tape say it",
    r"sheets > \d+ > readings > wheels > all > (discolored_plate_length|overheated)": "the plate and tread as read "
    "settle it",
    r"side_bearings( > all( > made_to_touch)?)?": "they were seen apart, so that none is made to touch",
    r"buffers( > .*)?": "the diaphragm was seen, so that it is there",
    r"brake_cylinders > [^>]+ > nominal_stroke": "the badge plate names the travel",
    r"reservoirs > [^>]+ > reservoir_kind": "the other reservoir is enough",
    r"electrical( > highest_voltage)?": "the trainline's own entry has the voltage",
    r"trucks > [^>]+ > built_on": "the frame and the age of the car settle it",
    r"car > (designed_to_carry|in_service_before_2007|length_over_couplers)": "the train and the car's age settle it",
    r"wheelsets > [^>]+ > wheels > (fitted_as_replacement|plate_shape|stamped_on)": "another word of the wheel lets it "
    "pass",
}
"""Why what a criterion that applies looks at, or what is no value at all, can be left out all the same."""

UNASKED = "no criterion that applies looks at it"


class Change(msgspec.Struct, frozen=True):
    """One slip: `sort` as the table names it; where; what stood there and what stands there now."""

    sort: str
    path: Path_
    before: str
    after: str


def leaves(node: Any, path: Path_ = ()) -> Iterator[tuple[Path_, str]]:
    """Every written value with its place."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from leaves(value, (*path, key))
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from leaves(value, (*path, number))
    else:
        yield path, str(node)


def entries(node: Any, path: Path_ = ()) -> Iterator[Path_]:
    """Every entry that can be left out: a key of a mapping or an item of a list, at any depth."""
    inside: Iterator[tuple[str | int, Any]] = iter(())
    if isinstance(node, dict):
        inside = iter(node.items())
    elif isinstance(node, list):
        inside = iter(enumerate(node))
    for key, value in inside:
        yield (*path, key)
        yield from entries(value, (*path, key))


def false_values(text: str) -> Iterator[tuple[str, str]]:
    """What a slip makes of a written value: the sort of slip and the value that stands there then."""
    if text in _OPPOSITE:
        yield "yes for no", _OPPOSITE[text]
        return
    dated = _DATE.fullmatch(text)
    if dated is not None and 1800 < int(dated[1]) < 2200:
        year = int(dated[1])
        yield "ten years early", f"{year - 10}{text[4:]}"
        yield "ten years late", f"{year + 10}{text[4:]}"
        return
    number = _NUMBER.match(text)
    if number is None or number[0] == "0" or "ft" in text or text.startswith("0 "):
        return
    yield "times ten", _scaled(number[0], 10) + text[number.end() :]
    yield "a tenth", _scaled(number[0], 0.1) + text[number.end() :]


def _scaled(written: str, factor: float) -> str:
    whole, _, rest = written.replace(",", "").rpartition("-")
    over, _, under = rest.partition("/")
    value = float(whole or 0) + float(over) / float(under or 1)
    return f"{value * factor:.6f}".rstrip("0").rstrip(".")


def changed(record: Any, path: Path_, value: str | None) -> Any:
    """The record with another value at a place; None leaves the entry out."""
    copy = deepcopy(record)
    node = copy
    for key in path[:-1]:
        node = node[key]
    if value is None:
        del node[path[-1]]
    else:
        node[path[-1]] = value
    return copy


def page(record: Any, move: Move, day: date) -> str:
    """The page of `check`, or why there is none; without the line numbers of the record."""
    try:
        answer = check(read_record(record), move, library(), day)
        return _LINE.sub("car.yaml", joined([page_of(view_of(answer))]))
    except InputRefused as refused:
        return f"refused: {refused}"
    except CannotJudge as error:
        return f"cannot judge: {error}"


Told = tuple[str, ...]


def told(one: Evidence) -> Told:
    """All that a value says and rests on, wherever it stands in the file."""
    gauge = "" if one.gauge is None else repr((one.gauge.name, one.gauge.kind, one.gauge.checked, one.gauge.due))
    by = "" if one.by is None else one.by.name
    return (
        one.part, one.attribute, repr(one.value), str(one.on), str(one.until), repr(one.facts), by, gauge,
        repr(one.uncertainty), str(one.ungauged),
    )  # fmt: skip


def asked(car: CarRecord, move: Move, day: date) -> frozenset[Told]:
    """What the criteria that apply look at, in what they ask and in where they apply."""
    judgement = check_record(car, move, day)
    index, situation = JudgementIndex(judgement), judgement.situation
    found: set[Told] = set()
    for finding in judgement.findings:
        if finding.verdict == "not applicable":
            continue
        one, criterion = index.compiled(finding.criterion), finding.criterion
        looks = looks_of(criterion.must, criterion.when, criterion.unless)
        for view in (
            view_for_must(one, finding.part, situation, move.out), view_for_when(finding.part, situation, move.out),
        ):  # fmt: skip
            found.update(told(evidence) for evidence in seen_by(looks, view))
    return frozenset(found)


def check_record(car: CarRecord, move: Move, day: date) -> Judgement:
    return check(car, move, library(), day).judgement


def read_record(record: Any) -> CarRecord:
    return read_car_text(yaml.safe_dump(record, sort_keys=False, allow_unicode=True, width=10_000), "car.yaml")


def reason(path: Path_, car: CarRecord, without: CarRecord, looked_at: frozenset[Told]) -> str:
    """Why an entry may be left out unnoticed; "" where nothing says so. without: the record that lacks it."""
    kept = set(map(told, without.evidence))
    lost = [one for one in map(told, car.evidence) if one not in kept]
    if lost and not any(one in looked_at for one in lost):
        return UNASKED
    where = " > ".join(map(str, path))
    return next((why for pattern, why in REASONS.items() if re.fullmatch(pattern, where)), "")


def changes_of(record: Any) -> Iterator[Change]:
    """Every single slip of a record. Its head (`format`) is left alone."""
    for path, text in leaves(record):
        if path != ("format",):
            for sort, value in false_values(text):
                yield Change(sort, path, text, value)
    for path in entries(record):
        if path != ("format",):
            yield Change("left out", path, "", "")


def ready_cases() -> list[str]:
    return [name for name in names() if str(expected(name)["outcome"]).startswith("ready")]


def read_case(name: str) -> tuple[Any, Move, date]:
    """The record of a case as plain data, every value as it is written; its move; its day."""
    folder = CASES / name
    written = yaml.load((folder / "car.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)
    record = json.loads(json.dumps(written))  # what an alias repeats is written out, so that each can be changed alone
    day = expected(name)["as_of"]
    assert isinstance(day, date)
    return record, read_move_text((folder / "move.yaml").read_text(encoding="utf-8"), "move.yaml"), day


def unnoticed(name: str) -> Iterator[tuple[Change, bool]]:
    """Every slip in the record of a case, and whether nobody noticed it."""
    record, move, day = read_case(name)
    before = page(record, move, day)
    for change in changes_of(record):
        value = None if change.sort == "left out" else change.after
        yield change, page(changed(record, change.path, value), move, day) == before


def reasons(name: str) -> Iterator[tuple[Path_, str]]:
    """Every entry of a case that can be left out unnoticed, and why that is right."""
    record, move, day = read_case(name)
    before, car = page(record, move, day), read_record(record)
    looked_at = asked(car, move, day)
    for change in changes_of(record):
        if change.sort == "left out":
            without = changed(record, change.path, None)
            if page(without, move, day) == before:
                yield change.path, reason(change.path, car, read_record(without), looked_at)


def main() -> None:
    counted: dict[str, list[int]] = {}
    silent: list[str] = []
    by_reason: dict[str, int] = {}
    for name in ready_cases():
        record, move, day = read_case(name)
        car = read_record(record)
        looked_at = asked(car, move, day)
        for change, nobody in unnoticed(name):
            row = counted.setdefault(change.sort, [0, 0])
            row[0] += 1
            row[1] += nobody
            if not nobody:
                continue
            why = ""
            if change.sort == "left out":
                why = reason(change.path, car, read_record(changed(record, change.path, None)), looked_at)
                by_reason[why or "no reason"] = by_reason.get(why or "no reason", 0) + 1
            where = " > ".join(str(key) for key in change.path)
            silent.append(f"{name}: {change.sort}: {where} {change.before} -> {change.after} {why}".rstrip())
    print(f"{'slip':<20}{'made':>8}{'unnoticed':>12}")
    for sort, (made, nobody) in counted.items():
        print(f"{sort:<20}{made:>8}{nobody:>12}")
    false = [row for sort, row in counted.items() if sort != "left out"]
    print(f"{'all false values':<20}{sum(row[0] for row in false):>8}{sum(row[1] for row in false):>12}")
    print("left out unnoticed, by reason:")
    for words, count in sorted(by_reason.items(), key=lambda one: (one[0] == "no reason", -one[1])):
        print(f"{count:>8}  {words}")
    if "--list" in sys.argv:
        print("\n".join(silent))


if __name__ == "__main__":
    main()
