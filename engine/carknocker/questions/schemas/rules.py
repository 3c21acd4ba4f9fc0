"""JSON Schema of the files of an edition: `edition.yaml`, and a chapter in the language of rules."""

from typing import Any, get_args

from carknocker.questions.schemas.consequences import consequence_schema
from carknocker.questions.schemas.records import schema
from carknocker.questions.schemas.references import CLAUSE, DOTTED, ID, KIND, SOURCE, WORK
from carknocker.questions.schemas.values import SCALAR, YES_OR_NO, Schema, entry, mapping, one_or_several, words
from carknocker.rulebook.criterion_reader import Effect
from carknocker.rulebook.head_reader import HeadEntry
from carknocker.rulebook.limit_reader import FIGURE_WORDS, WORDS
from carknocker.rulebook.model import ShownBy, SourceKind, Status, Verdict
from carknocker.rulebook.restriction_reader import PLACES, RIDERS
from carknocker.vocabulary.model import Vocabulary


def edition_schema(vocabulary: Vocabulary) -> Schema:
    """What `edition.yaml` may say."""
    root = entry(HeadEntry, {"format": {"const": "carknocker-edition/1"}})
    return schema("carknocker: edition", root, {})


def chapter_schema(vocabulary: Vocabulary) -> Schema:
    """What a chapter of an edition may say."""
    root = mapping(
        {
            "chapter": SCALAR,
            "when": CLAUSE,
            "source": SOURCE,
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
    return mapping({
        "speed": one_or_several({**SCALAR, "examples": ["40 mph", "half the train's speed"]}),
        "place": one_or_several(places), "riders": words(RIDERS), "tag": one_or_several(SCALAR),
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
    return mapping(
        {
            "id": ID,
            "title": SCALAR,
            "of": KIND,
            "when": CLAUSE,
            "unless": CLAUSE,
            "must": CLAUSE,
            "read_within": SCALAR,
            "effect": {"anyOf": [words(plain), restrict]},
            "shown_by": words(get_args(ShownBy)),
            "renewed": renewed,
            "source": SOURCE,
            "remedies": {"type": "array", "items": remedy},
            "examples": {"type": "array", "items": example},
            "may_be_relaxed": YES_OR_NO,
            "tightens": {"type": "string", "pattern": r"^[^/]+/[^/]+$"},
        },
        ("id", "title", "of", "must", "effect", "shown_by"),
    )
