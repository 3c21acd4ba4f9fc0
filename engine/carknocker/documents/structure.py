"""Entries of a fixed shape: pydantic checks them, the problems come out in plain words at the place of the value."""

import re
from collections.abc import Callable
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, ValidationError

from carknocker.documents.location import Location
from carknocker.documents.nearest import nearest
from carknocker.documents.node import Node
from carknocker.documents.problems import Problem, ProblemList
from carknocker.documents.words import some


class Structure(BaseModel):
    """Base of the shapes that files may have: frozen, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


_CHOICE = re.compile(r"'([^']*)'")
ModelType = TypeVar("ModelType", bound=BaseModel)


def problem_at(place: Node | Location, found: str, expected: str = "", nearest: str = "", remedy: str = "") -> Problem:
    """A problem at a node or a place."""
    where = place.where if isinstance(place, Node) else place
    return Problem(where, found, expected, nearest, remedy)


def read_as(node: Node, model: type[ModelType], problems: ProblemList) -> ModelType | None:
    """The node as a `model`, or None with each thing wrong noted at its own place."""
    if node.kind != "mapping":
        problems.add(problem_at(node, node.describe(), f"a mapping with the keys {some(_keys(model))}"))
        return None
    plain = {key: value for key, value in node.plain().items() if value is not None}
    try:
        return model.model_validate(plain)
    except ValidationError as error:
        for detail in error.errors(include_url=False, include_context=True):
            problems.add(_translate(node, model, dict(detail)))
        return None


def _translate(node: Node, model: type[BaseModel], detail: dict[str, Any]) -> Problem:
    path = [part for part in detail["loc"] if isinstance(part, (str, int))]
    place, key_where, last = _walk(node, path)
    kind = str(detail["type"])
    if kind == "missing":
        return problem_at(place, f"the key `{path[-1]}` is missing", f"`{path[-1]}: …` here")
    if kind == "extra_forbidden":
        known = _keys(_inner_model(model, path[:-1]))
        return Problem(
            key_where, f"the key `{last[:60]}`", f"one of {some(known)}" if known else "no such key here",
            nearest(last, known), "correct the key, or take it out",
        )  # fmt: skip
    found = place.describe()
    word = _EXPECTED.get(kind)
    context = detail.get("ctx") or {}
    if kind == "literal_error":
        choices = [choice for choice in _CHOICE.findall(str(context.get("expected", ""))) if choice]
        return problem_at(place, found, f"one of {some(choices)}", nearest(place.text, choices))
    if kind == "value_error" and isinstance(context.get("error"), Exception):
        error = context["error"]
        return problem_at(
            place, getattr(error, "found", str(error)), getattr(error, "expected", ""),
            getattr(error, "nearest", ""), getattr(error, "remedy", ""),
        )  # fmt: skip
    return problem_at(place, found, word(context) if word else "a value of another form")


_EXPECTED: dict[str, Callable[[dict[str, Any]], str]] = {
    "string_type": lambda context: "a text",
    "string_too_long": lambda context: f"a text of at most {context.get('max_length'):,} characters",
    "string_too_short": lambda context: "a text that is not empty",
    "string_pattern_mismatch": lambda context: "a text of the agreed form",
    "int_parsing": lambda context: "a whole number",
    "int_type": lambda context: "a whole number",
    "int_from_float": lambda context: "a whole number",
    "greater_than_equal": lambda context: f"at least {context.get('ge')}",
    "greater_than": lambda context: f"more than {context.get('gt')}",
    "less_than_equal": lambda context: f"at most {context.get('le')}",
    "bool_parsing": lambda context: "yes or no",
    "bool_type": lambda context: "yes or no",
    "date_from_datetime_parsing": lambda context: "a day such as 2026-09-12",
    "date_parsing": lambda context: "a day such as 2026-09-12",
    "date_type": lambda context: "a day such as 2026-09-12",
    "list_type": lambda context: "a list",
    "tuple_type": lambda context: "a list",
    "dict_type": lambda context: "a mapping",
    "model_type": lambda context: "a mapping",
}


def _walk(node: Node, path: list[str | int]) -> tuple[Node, Location, str]:
    """The deepest node on the path that exists, the place of the last key, and that key."""
    where, last = node.where, ""
    for part in path:
        last = str(part)
        if node.kind == "mapping" and isinstance(part, str):
            child = node.get(part)
            if child is None:
                break
            where = node.key_where(part)
            node = child
        elif node.kind == "sequence" and isinstance(part, int) and part < len(node.nodes):
            node = node.nodes[part]
            where = node.where
        else:
            break
    return node, where, last


def _keys(model: type[BaseModel] | None) -> tuple[str, ...]:
    return () if model is None else tuple(field.alias or name for name, field in model.model_fields.items())


def _inner_model(model: type[BaseModel], path: list[str | int]) -> type[BaseModel] | None:
    """The model of the mapping at a path inside a model; None where the path leads to no model."""
    for part in path:
        field = next((one for name, one in model.model_fields.items() if (one.alias or name) == part), None)
        inner = None if field is None else _model_in(field.annotation)
        if inner is None:
            return None
        model = inner
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """The model that an annotation is, or may be beside None."""
    for choice in (annotation, *get_args(annotation)):
        if isinstance(choice, type) and issubclass(choice, BaseModel):
            return choice
    return None
