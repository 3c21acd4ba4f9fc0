"""JSON Schema of a consequence: its causes, what follows from them, its examples."""

from typing import get_args

from carknocker.questions.schemas.references import CLAUSE, EVENT, ID, KIND, NAMED, SOURCE, SPARE, TEST, WORK
from carknocker.questions.schemas.values import SCALAR, YES_OR_NO, Schema, mapping, one_or_several, words
from carknocker.rulebook.criterion_reader import Effect
from carknocker.rulebook.example_reader import KEYS as CONSEQUENCE_EXAMPLE_KEYS
from carknocker.rulebook.model import UNMET, Following


def consequence_schema() -> Schema:
    """One consequence of a chapter."""
    restriction: Schema = {"$ref": "#/definitions/restriction"}
    withdraws = mapping({"test": TEST, "readings": one_or_several(SCALAR), "of": KIND})
    occasion = {**SCALAR, "examples": ["day in service", "leg", "30 days", "1500 mi"]}
    requires = mapping({
        "test": TEST, "spare": SPARE, "duty": SCALAR, "of": KIND,
        "when": words(("before departure", "on the way")), "effect": words(("refuse", "advise")), "within": SCALAR,
        "each": YES_OR_NO, "routine": YES_OR_NO, "every": one_or_several(occasion), "within_first": occasion,
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
        "withdraws": one_or_several(withdraws),
        "carries_up": one_or_several(KIND),
        "requires": one_or_several(requires),
        "restricts": one_or_several(restriction),
        "relieves": one_or_several(relieves),
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
        "state": CLAUSE,
        "test": one_or_several(TEST),
        "leave": {"const": "any"},
        "finding": one_or_several(words(("unmet", *UNMET, "borderline", "met"))),
        "seen": {"const": "breached"},
        "unfit": one_or_several(KIND),
        "restricted": one_or_several(words(("speed", "place", "riders", "tag", "handling"))),
        "duty": {"const": "open"},
    }
    more: dict[str, Schema] = {
        "of": KIND, "when": CLAUSE, "criterion": one_or_several(NAMED), "consequence": one_or_several(NAMED),
        "effect": words(get_args(Effect)),
    }  # fmt: skip
    return {**mapping({**sorts, **more}), "oneOf": [{"required": [sort]} for sort in sorts]}
