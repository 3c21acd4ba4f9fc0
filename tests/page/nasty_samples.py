"""A demo car, its move and its rulesets with markup in every text that their authors are free to choose."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from itertools import count
from pathlib import Path
from typing import Any

from yaml_texts import texts_of, yaml_of

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.library import Library
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute

ROOT = Path(__file__).resolve().parents[2]
AS_OF = date(2026, 10, 8)
HOST = "Kestrel & Northern"
NASTY = (
    "zz\"'><zzelement zzattribute=1 onload=zz()></style></title></svg></td><script>zz()</script>"
    "[zz](javascript:zz) ![zz](zz.png) **zz** _zz_ `zz` | zz \\ ]]> --> <http://zz.invalid> &lt;zz&gt; "
    "{{ zz }} ;} * { zz: 1 }"
)
"""Ends whatever it may stand in (attribute, element, style, cell, comment), then adds an element, an attribute, a link,
a picture and a rule of its own. Every word of its own begins with `zz`."""

SHORT = "'><zzel zzat=1>**zz**`|\"</style>"
"""The same for names, which are short and have no comma."""

_FREE_IN_RULES = frozenset(
    {
        "title", "publisher", "chapter", "document", "section", "words", "note", "tag", "handling", "reason", "text",
        "fault", "not_asked", "unanswered", "routine_note", "typed_by", "checked_against", "what", "no", "lacks",
    }
)  # fmt: skip
_FREE = ("identity", "text")


def nasty(text: str = "") -> str:
    return f"{text} {NASTY}".strip()


def walked(value: Any, change: Callable[[str, str], str], key: str = "") -> Any:
    """The value with every text changed, keys too; `change` is told under which key a text stands, keys under `#`.

    Under `not_asked`, whose keys are words of the vocabulary, it is told that.
    """
    if isinstance(value, dict):
        return {
            change("#", name): walked(one, change, key if key == "not_asked" else name) for name, one in value.items()
        }
    if isinstance(value, list):
        return [walked(one, change, key) for one in value]
    return change(key, value)


def written(value: Any) -> str:
    return yaml_of(value, quoted=True)


def plain(file: Path) -> Any:
    return texts_of(file.read_text(encoding="utf-8"))


def free_names(attributes: dict[str, Attribute] | Any, *, description: bool | None = None) -> list[str]:
    return [
        one.name
        for one in attributes.values()
        if one.type in _FREE and not one.derived and description in (None, one.description)
    ]


def car() -> CarRecord:
    return read_car_text(car_text(), f"{NASTY.replace('/', '')}.yaml")


def car_text() -> str:
    record = plain(ROOT / "cases" / "wren-hollow" / "before" / "car.yaml")
    vocabulary = load_vocabulary()
    names = [*record["people"], *record["gauges"], *(one["id"] for one in record["work"]), HOST]
    serials = list(record["wheelsets"])
    number = count(1)

    def of_its_own(names: list[str]) -> dict[str, str]:
        """No two parts have one serial."""
        return {name: nasty(f"{next(number)}") for name in names}

    def renamed(key: str, text: str) -> str:
        return nasty(text) if text in names else f"{text} {SHORT}" if text in serials else text

    record = walked(record, renamed)
    record["car"]["mark"] = nasty(record["car"]["mark"])
    record["car"]["name"] = nasty(record["car"]["name"])
    record["notes"] = nasty()
    for section in ("reservoirs", "equalizers"):
        record[section] = {f"{name} {SHORT}": part for name, part in record[section].items()}
    for person in record["people"].values():
        person["full_name"] = nasty("A. Person")
        person["sure"] = nasty()
    for gauge in record["gauges"].values():
        gauge["kind"] = nasty(gauge["kind"])
        gauge["sure"] = nasty()
    for kind in vocabulary.kinds.values():
        section = record.get(kind.section)
        if kind.name in ("move", "train", "leg") or not isinstance(section, dict):
            continue
        parts = [section] if kind.positions == "single" else list(section.values())
        for part in parts:
            part.update(of_its_own([one for one in free_names(kind.attributes, description=True) if one not in part]))
    for wheelset in record["wheelsets"].values():
        for inner in ("wheels", "bearings"):
            kind = vocabulary.kinds[inner[:-1]]
            names = free_names(kind.attributes, description=True)
            shared = wheelset.pop(inner)
            for side in ("left", "right"):
                wheelset[f"{side}_{inner[:-1]}"] = {**shared, **of_its_own(names)}
        wheelset["axle"] = of_its_own(["serial"])
    for sheet in record["sheets"]:
        sheet.update(paper=nasty("sheet 1"), car=nasty())
    record["car"].update(
        lifting_points=["bolster"], lifting_points_rated_by=nasty(), lifting_point_from_truck_center="0 in",
        lifting_point_rating="90,000 lb", lowest_part_outboard_height="30 in", truck_height_over_rail="42 in",
        overhang_at_far_end="12 ft 7 in", far_end_lowest_part="20 in",
    )  # fmt: skip
    for truck in record["trucks"].values():
        truck["truck_weight"] = "26,400 lb"
    first = record["sheets"][0]["readings"]
    first["wheels"]["R6"]["turning_allowance"] = f"not accessible ({nasty()})"
    first["wheels"]["L4, R4"]["rim_thickness"] = {"reads": "1-5/8 in", "sure": nasty()}
    record["sheets"].append({
        "on": "2026-09-13", "by": nasty("RE"),
        "readings": {"underframe": {"center_sill_condition": {"opinion": "sound", "says": nasty()}}},
    })  # fmt: skip
    tests = {test.name: test for test in vocabulary.tests.values()}
    for test in record["tests"]:
        test["paper"] = nasty("paper")
        test.update({name: nasty() for name in free_names(tests[test["test"]].facts) if name != "host"})
    record["papers"] += [
        {"paper": paper.name, "on": "2026-09-01", "by": nasty("RE"), **dict.fromkeys(free_names(paper.facts), nasty())}
        for paper in vocabulary.papers.values()
        if paper.name not in ("liability insurance", "agreement with the host", "scale ticket")
    ]  # fmt: skip
    record["work"].append({
        "id": nasty("J-13"), "on": "2026-10-01", "did": "wheels turned", "at": "L5, R5", "by": nasty("HM"),
        **{name: nasty() for name in free_names(vocabulary.work["wheels turned"].facts)},
    })  # fmt: skip
    for one in (*record["spares"], *record["papers"], *record["moves_made"]):
        one["sure"] = nasty()
    for one in record["moves_made"]:
        one["remarks"] = nasty()
    record["events"] = [{
        "id": nasty("E-1"), "on": "2026-10-02", "happened": "hard coupling", "at": "B",
        **{name: nasty() for name in free_names(vocabulary.events["hard coupling"].facts)},
    }]  # fmt: skip
    record["corrections"] = [{
        "of": "car", "reading": "name", "said": nasty(), "is": record["car"]["name"], "by": nasty("HM"),
        "on": "2026-10-02", "why": nasty(),
    }]  # fmt: skip
    record["leaves"] = [{
        "id": nasty("L-1"), "host": nasty(HOST), "criterion": "kestrel-and-northern/bearing-class-accepted",
        "from": "2026-10-01", "until": "2026-12-01", "for": "move", "signed_by": nasty(), "paper": nasty(),
        "leaves": {"tag": nasty(), "speed": "20 mph"}, "sure": nasty(),
    }]  # fmt: skip
    return written(record)


def move() -> Move:
    return read_move_text(move_text(), f"move {NASTY.replace('/', '')}.yaml")


def move_text() -> str:
    planned = plain(ROOT / "cases" / "wren-hollow" / "before" / "move.yaml")
    vocabulary = load_vocabulary()
    planned["move"].update(host=nasty(HOST), sure=nasty())
    for leg in planned["legs"]:
        leg.update({"from": nasty(leg["from"]), "to": nasty(leg["to"])})
        names = free_names(vocabulary.kinds["leg"].attributes)
        leg.update({name: nasty() for name in names if name not in leg})
        leg["railroad"] = nasty(HOST)
    for kind in ("move", "train"):
        free = free_names(vocabulary.kinds[kind].attributes)
        planned[kind].update({name: nasty() for name in free if name not in planned[kind] and name != "host"})
    return written(planned)


def library_in(folder: Path) -> Library:
    """The installed rulesets, written anew into a folder, with markup in all that their authors wrote freely."""

    def changed(key: str, text: str) -> str:
        if text == HOST:
            return nasty(HOST)
        return nasty(text) if key in _FREE_IN_RULES and text else text

    for source in (Path(one) for one in rulesets_folders()):
        for file in sorted(source.rglob("*.yaml")):
            content = walked(plain(file), changed)
            if file.name == "edition.yaml" and "regimes" in content:
                content["regimes"] = {train: nasty(said) for train, said in content["regimes"].items()}
            if "confirmed_by" in content:
                content["confirmed_by"].update(name=nasty("Bram Teller"), role=nasty())
                content["routine_note"] = nasty()
                content["relaxes"] = [{"criterion": "trade-practice/middle-wheels-not-larger", "reason": nasty()}]
            target = folder / file.relative_to(source)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(written(content), encoding="utf-8")
    return load_library([folder])


def answer(library: Library, day: date = AS_OF) -> CheckAnswer:
    return check(car(), move(), library, day)


LIFT_PLAN = f"""\
format: carknocker-lift/1
lift:
  crane: {{rating: "80,000 lb"}}
  sling: {{legs: 2, angle: 60, rating: "40,000 lb"}}
  rigging: 1,800 lb
  crib: {{timbers: 6x6, pattern: 2x2, base: 36 in, height: 40 in}}
  coupler: {{rating: "60,000 lb", by: {written(NASTY).strip()}}}
"""
