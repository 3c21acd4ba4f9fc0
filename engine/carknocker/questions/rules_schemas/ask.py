"""`rules schemas`: JSON Schema files, with which an editor completes and checks what is typed into YAML files."""

import json
from collections.abc import Callable

from carknocker.cli.starter_files import StarterFile
from carknocker.questions.rules_schemas.records import car_schema, move_schema
from carknocker.questions.rules_schemas.rules import chapter_schema, edition_schema
from carknocker.questions.rules_schemas.values import Schema
from carknocker.vocabulary.model import Vocabulary

_MAKERS: dict[str, Callable[[Vocabulary], Schema]] = {
    "car": car_schema,
    "move": move_schema,
    "edition": edition_schema,
    "chapter": chapter_schema,
}


def schema_files(vocabulary: Vocabulary) -> tuple[StarterFile, ...]:
    """`car.schema.json` and the others, made from the vocabulary and the shapes that the readers check.

    They help while typing; only the readers know whether a file is right: a date before another, a part that the car
    has not.
    """
    return tuple(
        StarterFile(f"{name}.schema.json", json.dumps(make(vocabulary), indent=1, ensure_ascii=False) + "\n")
        for name, make in _MAKERS.items()
    )
