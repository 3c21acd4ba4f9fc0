"""JSON Schema of the files of an edition: `edition.yaml`, and a chapter in the language of rules."""

from typing import Any, get_args

from carknocker.questions.rules_schemas.records import schema
from carknocker.questions.rules_schemas.values import SCALAR, YES_OR_NO, Schema, entry, mapping, one_or_several, words
from carknocker.rulebook.criterion_reader import Effect
from carknocker.rulebook.example_reader import KEYS as CONSEQUENCE_EXAMPLE_KEYS
from carknocker.rulebook.head_reader import HeadEntry
from carknocker.rulebook.limit_reader import FIGURE_WORDS, WORDS
from carknocker.rulebook.model import UNMET, Following, ShownBy, SourceKind, Status, Verdict
from carknocker.rulebook.restriction_reader import PLACES, RIDERS, SORTS
from carknocker.vocabulary.model import Vocabulary

CLAUSE: Schema = {"$ref": "#/definitions/clause"}
SOURCE: Schema = {"$ref": "#/definitions/source"}
KIND: Schema = {"$ref": "#/definitions/kind"}
WORK: Schema = {"$ref": "#/definitions/work"}
EVENT: Schema = {"$ref": "#/definitions/event"}
TEST: Schema = {"$ref": "#/definitions/test"}
SPARE: Schema = {"$ref": "#/definitions/spare"}
ID: Schema = {"type": "string", "pattern": r"^[a-z0-9]+(-[a-z0-9]+)*$"}
DOTTED = r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*){1,2}$"
NAMED: Schema = {"type": "string"}
NOT_ASKED: Schema = {
    "type": "object", "additionalProperties": {"type": "object", "additionalProperties": SCALAR, "minProperties": 1},
}  # fmt: skip


def consequence_schema() -> Schema:
    """One consequence of a chapter."""
    restriction: Schema = {"$ref": "#/definitions/restriction"}
    voids = mapping({"test": TEST, "readings": one_or_several(SCALAR), "of": KIND})
    occasion = {**SCALAR, "examples": ["day in service", "leg", "30 days", "1500 mi"]}
    requires = mapping({
        "test": TEST, "spare": SPARE, "duty": SCALAR, "of": KIND,
        "when": words(("before departure", "on the way")), "effect": words(("refuse", "advise")), "within": SCALAR,
        "each": YES_OR_NO, "number": SCALAR, "routine": YES_OR_NO, "every": one_or_several(occasion),
        "within_first": occasion,
    })  # fmt: skip
    relieves = mapping({
        "finding": {"const": "same"}, "criterion": one_or_several(NAMED), "consequence": one_or_several(NAMED),
        "of": KIND, "leaves": restriction, "for": words(("move", "repair")),
    })  # fmt: skip
    properties = {
        "id": ID,
        "title": SCALAR,
        "when": CLAUSE,
        "cause": one_or_several(_cause()),
        "voids": one_or_several(voids),
        "carries_up": one_or_several(KIND),
        "requires": one_or_several(requires),
        "restricts": one_or_several(restriction),
        "relieves": one_or_several(relieves),
        "fault": {"anyOf": [SCALAR, mapping({"requires": SCALAR, "restricts": SCALAR}, minProperties=1)]},
        "source": SOURCE,
        "examples": {"type": "array", "items": _consequence_example()},
    }
    return mapping(properties, ("id", "title", "cause"))


def _consequence_example() -> Schema:
    """Beside its own keys an example gives attributes and facts by name."""
    own: dict[str, Schema] = {key: SCALAR for key in CONSEQUENCE_EXAMPLE_KEYS}
    own["is"] = words(get_args(Following))
    own["parts"] = {"type": "array", "items": {"type": "object", "required": ["of"]}}
    own["answered_by"] = mapping({"aged": SCALAR}, ["aged"])
    return {"type": "object", "properties": own, "required": ["is"]}


def _cause() -> Schema:
    sorts: dict[str, Schema] = {
        "work": one_or_several(WORK),
        "event": one_or_several(EVENT),
        "state": {"anyOf": [{"const": "always"}, CLAUSE]},
        "test": one_or_several(TEST),
        "leave": {"const": "any"},
        "finding": one_or_several(words(("unmet", *UNMET, "borderline", "met"))),
        "seen": {"const": "breached"},
        "unfit": one_or_several(KIND),
        "restricted": one_or_several(words(SORTS)),
        "duty": {"const": "open"},
    }
    more: dict[str, Schema] = {
        "of": KIND, "when": CLAUSE, "criterion": one_or_several(NAMED), "consequence": one_or_several(NAMED),
        "effect": words(get_args(Effect)),
    }  # fmt: skip
    return {**mapping({**sorts, **more}), "oneOf": [{"required": [sort]} for sort in sorts]}


def edition_schema(vocabulary: Vocabulary) -> Schema:
    """What `edition.yaml` may say."""
    lacking = mapping({"no": SCALAR, "lacks": {"type": "array", "items": SCALAR, "minItems": 1}}, ["no", "lacks"])
    complete = {"oneOf": [{"enum": ["yes", True]}, lacking]}
    root = entry(HeadEntry, {"format": {"const": "carknocker-edition/1"}, "complete": complete})
    return schema("carknocker: edition", root, {})


def chapter_schema(vocabulary: Vocabulary) -> Schema:
    """What a chapter of an edition may say."""
    root = mapping(
        {
            "chapter": SCALAR,
            "when": CLAUSE,
            "source": SOURCE,
            "not_asked": NOT_ASKED,
            "looks_within": SCALAR,
            "criteria": {"type": "array", "items": _criterion()},
            "consequences": {"type": "array", "items": consequence_schema()},
        },
        ["chapter"],
    )
    definitions = {
        "clause": _clause(vocabulary),
        "comparison": _comparison(),
        "restriction": _restriction(vocabulary),
        "source": _source(),
        "kind": words(vocabulary.kinds),
        "work": words(vocabulary.work),
        "event": words(vocabulary.events),
        "test": words(vocabulary.tests),
        "spare": words(vocabulary.spares),
    }
    return schema("carknocker: chapter of an edition", root, definitions)


def _source() -> Schema:
    return mapping({
        "document": SCALAR, "section": SCALAR, "words": SCALAR, "kind": words(get_args(SourceKind)),
        "status": words(get_args(Status)), "year": SCALAR, "note": SCALAR,
    })  # fmt: skip


def _attributes(vocabulary: Vocabulary) -> dict[str, str]:
    """Every attribute's name, with the kinds of part that have it."""
    found: dict[str, list[str]] = {}
    for kind in vocabulary.kinds.values():
        for attribute in kind.attributes.values():
            found.setdefault(attribute.name, []).append(f"{kind.name}: {attribute.label} ({attribute.type})")
    for spare in vocabulary.spares.values():
        for fact in spare.facts.values():
            found.setdefault(fact.name, []).append(f"spare {spare.name}: {fact.label} ({fact.type})")
    return {name: "; ".join(said) for name, said in sorted(found.items())}


def _clause(vocabulary: Vocabulary) -> Schema:
    parts = words((*vocabulary.kinds, *vocabulary.spares))
    compared: Schema = {"$ref": "#/definitions/comparison"}
    count = mapping(
        {"of": parts, "when": CLAUSE, **{word: SCALAR for word in (*FIGURE_WORDS, "is")}}, ["of"]
    )  # fmt: skip
    each = mapping({"of": parts, "when": CLAUSE, "must": CLAUSE}, ["of", "must"])
    properties: dict[str, Schema] = {
        name: {"description": said, "allOf": [compared]} for name, said in _attributes(vocabulary).items()
    }
    properties["any"] = properties["all"] = one_or_several(CLAUSE)
    properties["count"], properties["each"] = one_or_several(count), one_or_several(each)
    return mapping(properties, minProperties=1, patternProperties={DOTTED: compared})


def _comparison() -> Schema:
    table: Schema = {"type": "object", "properties": {"by": SCALAR}, "required": ["by"],
                     "additionalProperties": SCALAR}  # fmt: skip
    from_part = mapping({"attribute": SCALAR}, ["attribute"])
    limit: Schema = {"anyOf": [SCALAR, {"type": "array", "items": SCALAR}, table, from_part]}
    compared = mapping({word: limit for word in WORDS}, minProperties=1)
    return {"anyOf": [SCALAR, {"type": "array", "items": SCALAR, "minItems": 1}, compared]}


def _restriction(vocabulary: Vocabulary) -> Schema:
    place = vocabulary.kinds["train"].attributes.get("place")
    places = words((*PLACES, *(place.one_of if place is not None else ())))
    goes_to = vocabulary.kinds["move"].attributes.get("goes_to")
    destinations = goes_to.one_of if goes_to is not None else ()
    return mapping({
        "speed": one_or_several({**SCALAR, "examples": ["40 mph", "half the train's maximum allowable speed"]}),
        "place": one_or_several(places), "destination": one_or_several(words(destinations)),
        "riders": words(RIDERS), "tag": one_or_several(SCALAR),
        "handling": one_or_several(SCALAR),
    }, minProperties=1)  # fmt: skip


def _criterion() -> Schema:
    restrict = mapping({"restrict": {"$ref": "#/definitions/restriction"}}, ["restrict"])
    plain = [effect for effect in get_args(Effect) if effect != "restrict"]
    renewed = mapping({"by": words(("crew", "host")), "every": SCALAR, "routine": YES_OR_NO}, ["by"])
    remedy = mapping({"work": WORK, "if": CLAUSE, "note": SCALAR}, ["work"])
    example: dict[str, Any] = {
        "type": "object", "properties": {
            "is": words(get_args(Verdict)), "move_lasts": SCALAR, "clears": one_or_several(WORK), "times": SCALAR,
            "capped_at": SCALAR,
        },
        "required": ["is"],
    }  # fmt: skip
    properties: dict[str, Schema] = {
        "id": ID,
        "title": SCALAR,
        "of": KIND,
        "when": CLAUSE,
        "unless": CLAUSE,
        "must": {"anyOf": [CLAUSE, mapping({"unanswered": SCALAR}, ["unanswered"])]},
        "read_within": SCALAR,
        "effect": {"anyOf": [words(plain), restrict]},
        "shown_by": words(get_args(ShownBy)),
        "renewed": renewed,
        "source": SOURCE,
        "remedies": {"type": "array", "items": remedy},
        "examples": {"type": "array", "items": example},
        "may_be_relaxed": YES_OR_NO,
        "tightens": {"type": "string", "pattern": r"^[^/]+/[^/]+$"},
        "not_asked": NOT_ASKED,
        "fault": {"anyOf": [SCALAR, {"type": "object", "minProperties": 1, "additionalProperties": SCALAR}]},
    }
    shown = [{"required": ["shown_by"]}, {"properties": {"must": {"required": ["unanswered"]}}}]
    return {**mapping(properties, ("id", "title", "of", "must", "effect")), "anyOf": shown}
