"""Pieces of JSON Schema: values as files write them. A value may be text where YAML also knows a number or true."""

from collections.abc import Iterable, Mapping
from datetime import date
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from carknocker.documents.structure import Structure, needed_keys, types_of
from carknocker.record.possible_values import in_range
from carknocker.record.value_reader import NONE_FITTED, NOT_KNOWN
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.other_names import names_of_words, other_names

Schema = dict[str, Any]
SCALAR: Schema = {"type": ["string", "number", "boolean"]}
DAY: Schema = {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$", "examples": ["2026-09-12"]}


def day_or(word: str) -> Schema:
    """A whole day, or the word that says that there is none."""
    return {"anyOf": [DAY, {"const": word}]}


ANY_DAY: Schema = {
    "anyOf": [
        {"type": "string", "pattern": r"^\d{4}(-\d{2}(-\d{2})?)?$", "examples": ["2026-09-12", "2019-05", "1927"]},
        {"type": "integer"},
    ]
}
WHOLE: Schema = {"anyOf": [{"type": "integer", "minimum": 0}, {"type": "string", "pattern": r"^[0-9][0-9,]*$"}]}
YES_OR_NO: Schema = {"enum": ["yes", "no", True, False]}
_EXAMPLES: Mapping[str, str] = {
    "length": "1 1/16 in", "weight": "171,400 lb", "pressure": "110 psi", "temperature": "70 °F",
    "temperature difference": "95 °F", "speed": "40 mph", "distance": "212 mi", "ratio": "85 %",
    "degree of curve": "10°", "volume": "20 gal", "resistance": "1 megohm", "pressure per minute": "3 psi/min",
    "tapes": "2 tapes", "duration": "4 h 1 min", "period": "12 months",
}  # fmt: skip


def words(names: Iterable[str]) -> Schema:
    """One of some words; one that YAML reads as a number may stand without quotes."""
    listed: list[str | int] = list(dict.fromkeys(names))
    listed.extend(int(name) for name in tuple(listed) if isinstance(name, str) and name.isdigit())
    return {"enum": listed}


def one_or_several(one: Schema) -> Schema:
    """One value, or a list of them."""
    return {"anyOf": [one, {"type": "array", "items": one}]}


def mapping(properties: Mapping[str, Schema], required: Iterable[str] = (), **more: Any) -> Schema:
    """A mapping with these keys and no others."""
    found: Schema = {"type": "object", "properties": dict(properties), "additionalProperties": False, **more}
    needed = list(required)
    return {**found, "required": needed} if needed else found


def or_nothing(schema: Schema) -> Schema:
    """A section may be left empty."""
    return {"anyOf": [schema, {"type": "null"}]}


def plain_value(attribute: Attribute) -> Schema:
    """A value of an attribute written as one scalar (or a list, where it is a list)."""
    match attribute.type:
        case "yes or no":
            return YES_OR_NO
        case "one of":
            return words(attribute.one_of)
        case "list of":
            return one_or_several(words(attribute.one_of) if attribute.one_of else SCALAR)
        case "count":
            whole = _whole_within(attribute)
            return {"anyOf": [whole, {"const": NONE_FITTED}]} if attribute.counts else whole
        case "date":
            return ANY_DAY
        case _:
            example = _EXAMPLES.get(attribute.type)
            return SCALAR if example is None else {**SCALAR, "examples": [example]}


def _whole_within(attribute: Attribute) -> Schema:
    """A count between the ends of what can be. As a text it is bounded by its description alone."""
    possible = None if attribute.ranges is None else attribute.ranges.possible
    ends = {} if possible is None else {"minimum": possible.least, "maximum": possible.most}
    bounds = {word: end.n // end.d for word, end in ends.items() if end is not None}
    return {"anyOf": [{"type": "integer", "minimum": 0, **bounds}, WHOLE["anyOf"][1]]}


def value(attribute: Attribute) -> Schema:
    """A value of an attribute in any of the forms that a record knows, with what it is for the editor to show."""
    forms: list[Schema] = [plain_value(attribute), {"$ref": "#/definitions/reads"}]
    if forms[0].get("type") != SCALAR["type"]:
        forms.append({"$ref": "#/definitions/not_accessible"})
    if attribute.type in _EXAMPLES:
        forms.append({"$ref": "#/definitions/bound"})
    if attribute.type == "pressure per minute":
        forms.append({"$ref": "#/definitions/drop"})
    if attribute.type in ("yes or no", "one of", "identity", "text"):
        forms.append({"$ref": "#/definitions/opinion"})
    if attribute.description and forms[0].get("type") != SCALAR["type"]:
        forms.append({"$ref": "#/definitions/not_known"})
    return {"description": about(attribute), "anyOf": forms}


VALUE_FORMS: Mapping[str, Schema] = {
    "not_known": {"const": NOT_KNOWN},
    "not_accessible": {
        "type": "string", "pattern": r"^not accessible \(.+\)$", "examples": ["not accessible (car not moved)"],
    },
    "reads": mapping({"reads": one_or_several(SCALAR), "gauge": SCALAR, "sure": SCALAR}, ["reads"]),
    "bound": mapping(
        {key: SCALAR for key in (
            "takes_at", "does_not_take_at", "over", "under", "at_least", "at_most", "gauge", "sure",
        )}, minProperties=1,
    ),
    "drop": mapping(
        {key: SCALAR for key in ("before", "after", "minutes", "gauge", "sure")}, ("before", "after", "minutes")
    ),
    "opinion": mapping({key: SCALAR for key in ("opinion", "says", "gauge", "sure")}, ["opinion"]),
}  # fmt: skip


def about(attribute: Attribute) -> str:
    """What an attribute is, how it is measured and with what, what can be and is usual, and what people call its words,
    in one line: the editor shows it."""
    said = [f"{attribute.label} ({attribute.type})", attribute.measured, attribute.tool]
    ranges = attribute.ranges
    if ranges is not None and ranges.possible is not None:
        said.append(f"can be {in_range(ranges.possible)}")
    if ranges is not None and ranges.usual is not None:
        said.append(f"usually {in_range(ranges.usual)}")
    own = other_names().attributes.get(attribute.kind, {}).get(attribute.name, ())
    said += [f"also called {', '.join(own)}"] if own else []
    if attribute.one_of:
        called = names_of_words(attribute)
        said += [f"`{word}` is also called {', '.join(other)}" for word, other in called.items() if other]
    return "; ".join(word for word in said if word)


def described(attributes: Iterable[Attribute]) -> dict[str, Schema]:
    """Attributes by name, each with its value in any form."""
    return {attribute.name: value(attribute) for attribute in attributes}


def facts(kinds: Iterable[Mapping[str, Attribute]]) -> dict[str, Schema]:
    """The further facts of several tests, papers, jobs: a name that several have takes what any of them takes."""
    found: dict[str, list[Schema]] = {}
    for kind in kinds:
        for name, attribute in kind.items():
            one = value(attribute)
            if one not in found.setdefault(name, []):
                found[name].append(one)
    return {name: forms[0] if len(forms) == 1 else {"anyOf": forms} for name, forms in found.items()}


def entry(
    model: type[Structure], more: Mapping[str, Schema] | None = None, required: Iterable[str] = ()
) -> Schema:  # fmt: skip
    """An entry of a fixed shape. more: keys that it may have besides, and keys that are said more narrowly here."""
    properties = {key: _of_type(kind) for key, kind in types_of(model).items()}
    return mapping({**properties, **(more or {})}, [*needed_keys(model), *required])


def _of_type(annotation: Any) -> Schema:
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _of_type(arguments[0])
    if origin in (Union, UnionType):
        return _of_type(next(one for one in arguments if one is not type(None)))
    if origin is Literal:
        return YES_OR_NO if set(arguments) == {"yes", "no"} else words(arguments)
    if origin is tuple:
        return one_or_several(_of_type(arguments[0]))
    if origin is dict:
        return {"type": "object", "additionalProperties": SCALAR}
    if isinstance(annotation, type):
        if issubclass(annotation, Structure):
            return entry(annotation)
        if annotation is bool:
            return YES_OR_NO
        if annotation is int:
            return WHOLE
        if annotation is date:
            return DAY
    return SCALAR
