"""JSON Schema of the car record and of the move, made from the vocabulary and the shapes of their entries."""

from carknocker.questions.rules_schemas.values import (
    SCALAR,
    VALUE_FORMS,
    Schema,
    day_or,
    described,
    entry,
    facts,
    mapping,
    or_nothing,
    words,
)
from carknocker.record.entries import (
    NO_CONDITION,
    CorrectionEntry,
    EventHead,
    GaugeEntry,
    LeaveConditions,
    LeaveEntry,
    LegHead,
    LogHead,
    MoveHead,
    MoveMadeEntry,
    PaperHead,
    PersonEntry,
    PhotographEntry,
    SheetHead,
    SpareHead,
    TestHead,
    WorkHead,
)
from carknocker.record.parts_reader import WHERE
from carknocker.vocabulary.model import Attribute, Kind, Vocabulary
from carknocker.vocabulary.program_names import AXLE, BEARING, MOVE_KINDS, WHEEL

_DIALECT = "http://json-schema.org/draft-07/schema#"
_CORRECT: Schema = {"description": "what is right: a value, as on a sheet or in the part's section"}
_SIDES = ("left_wheel", "right_wheel", "wheels", "left_bearing", "right_bearing", "bearings")


def schema(title: str, root: Schema, definitions: dict[str, Schema]) -> Schema:
    """A whole schema file."""
    return {"$schema": _DIALECT, "title": title, **root, "definitions": definitions}


def car_schema(vocabulary: Vocabulary) -> Schema:
    """What a car record may hold."""
    properties: dict[str, Schema] = {"format": {"const": "carknocker-car/1"}, "notes": {}}
    for kind in vocabulary.kinds.values():
        if kind.name not in MOVE_KINDS:
            properties[kind.section] = _section(kind)
    properties["people"] = _named(entry(PersonEntry, {"role": words(vocabulary.roles), "until": day_or("no end")}))
    properties["gauges"] = _named(entry(GaugeEntry, {"due": day_or("never")}))
    properties["sheets"] = _list(entry(SheetHead, {"readings": _readings(vocabulary)}, ["readings"]))
    properties["events"] = _list(entry(EventHead, {
        "happened": words(vocabulary.events), **facts(one.facts for one in vocabulary.events.values()),
    }))  # fmt: skip
    properties["work"] = _list(entry(WorkHead, {
        "did": words(vocabulary.work), **facts(one.facts for one in vocabulary.work.values()),
    }))  # fmt: skip
    properties["moves_made"] = _list(entry(MoveMadeEntry))
    properties["log"] = entry(LogHead)
    properties["photographs"] = _list(entry(PhotographEntry))
    properties["corrections"] = _list(entry(CorrectionEntry, {"is": _CORRECT}, ["is"]))
    properties["tests"] = _list(entry(TestHead, {
        "test": words(vocabulary.tests), **facts(one.facts for one in vocabulary.tests.values()),
    }))  # fmt: skip
    properties["spares"] = _list(entry(SpareHead, {
        "spare": words(vocabulary.spares), **facts(one.facts for one in vocabulary.spares.values()),
    }))  # fmt: skip
    properties["papers"] = _list(entry(PaperHead, {
        "paper": words(vocabulary.papers), "until": day_or("no end"),
        **facts(one.facts for one in vocabulary.papers.values()),
    }))  # fmt: skip
    properties["leaves"] = _list(
        entry(
            LeaveEntry,
            {
                "of": words(vocabulary.kinds),
                "leaves": {"anyOf": [{"const": NO_CONDITION}, entry(LeaveConditions)]},
            },
        )
    )
    root = mapping(properties, ("format", "car", "trucks", "wheelsets"))
    return schema("carknocker: car record", root, {**VALUE_FORMS, **_parts(vocabulary)})


def move_schema(vocabulary: Vocabulary) -> Schema:
    """What a move may hold."""
    written = {
        name: [one for one in vocabulary.kinds[name].attributes.values() if not one.derived] for name in MOVE_KINDS
    }
    neighbor = mapping(described(_descriptions(vocabulary.kinds["car"])))
    train = {**described(written["train"]), "neighbors": mapping({"ahead": neighbor, "behind": neighbor})}
    root = mapping(
        {
            "format": {"const": "carknocker-move/1"},
            "notes": {},
            "move": _widened(entry(MoveHead), described(written["move"])),
            "train": or_nothing(mapping(train)),
            "legs": {
                "type": "array", "minItems": 1, "items": _widened(entry(LegHead), described(written["leg"])),
            },
        },
        ("format", "move", "legs"),
    )  # fmt: skip
    return schema("carknocker: move", root, dict(VALUE_FORMS))


def _widened(shape: Schema, more: dict[str, Schema]) -> Schema:
    """An entry that may say more; what is fixed in it stays as it is."""
    return {**shape, "properties": {**more, **shape["properties"]}}


def _parts(vocabulary: Vocabulary) -> dict[str, Schema]:
    """For every kind what describes a part of it, and what is read of it, each under a name of its own."""
    found: dict[str, Schema] = {}
    for kind in vocabulary.kinds.values():
        if kind.name not in MOVE_KINDS:
            found[_name(kind.name, "description")] = mapping(_described(kind, vocabulary))
            read = described(
                one for one in kind.attributes.values()
                if not one.description and not one.derived and one.type not in ("test", "paper")
            )  # fmt: skip
            found[_name(kind.name, "readings")] = mapping(read)
    return found


def _described(kind: Kind, vocabulary: Vocabulary) -> dict[str, Schema]:
    own = described(_descriptions(kind))
    match kind.name:
        case "car":
            return {"mark": SCALAR, "name": SCALAR, **own}
        case "truck":
            return {**own, "axles": {"type": "object", "additionalProperties": SCALAR, "minProperties": 1}}
        case "wheelset":
            sides = {key: _defined(WHEEL if WHEEL in key else BEARING, "description") for key in _SIDES}
            return {**own, **sides, "axle": _defined(AXLE, "description"), "where": words(WHERE)}
    return {**own, "at": SCALAR} if kind.positions == "listed" else own


def _defined(kind: str, what: str) -> Schema:
    return {"$ref": f"#/definitions/{_name(kind, what)}"}


def _name(kind: str, what: str) -> str:
    return f"{kind} {what}".replace(" ", "_")


def _section(kind: Kind) -> Schema:
    """The section of a kind: what its parts are."""
    part = _defined(kind.name, "description")
    return part if kind.name == "car" else or_nothing(_positions(kind, or_nothing(part)))


def _positions(kind: Kind, part: Schema) -> Schema:
    """Part by position; the positions that every car has are named, so that an editor can offer them."""
    if kind.positions == "single":
        return part
    names = {"ends": ("B", "A"), "trucks": ("B", "A"), "sides of truck": ("BL", "BR", "AL", "AR")}
    known = names.get(kind.positions, ())
    return {"type": "object", "properties": {name: part for name in known}, "additionalProperties": part}


def _readings(vocabulary: Vocabulary) -> Schema:
    sections = {
        kind.section: _positions(kind, _defined(kind.name, "readings"))
        for kind in vocabulary.kinds.values()
        if kind.name not in MOVE_KINDS
    }
    return mapping(sections, minProperties=1)


def _descriptions(kind: Kind) -> list[Attribute]:
    return [one for one in kind.attributes.values() if one.description]


def _named(one: Schema) -> Schema:
    return or_nothing({"type": "object", "additionalProperties": one})


def _list(one: Schema) -> Schema:
    return or_nothing({"type": "array", "items": one})
