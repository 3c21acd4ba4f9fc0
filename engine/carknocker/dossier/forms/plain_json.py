"""An answer that is plain data already, as JSON: its own fields, under the name of its format."""

import json
from typing import Any

import msgspec


def plain_json(format_name: str, answer: msgspec.Struct, **more: Any) -> str:
    """The answer's fields in the order of its type. Ends in a line feed."""
    form = {"format": format_name, **more, **msgspec.to_builtins(answer)}
    return json.dumps(form, indent=2, ensure_ascii=False) + "\n"
