"""What the forms of JSON have in common: text, digests, exact amounts; and an answer that is plain data already."""

import json
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import msgspec

from carknocker.judgement.model import Judgement


def json_text(form: Mapping[str, Any]) -> str:
    """A form as text. Ends in a line feed."""
    return json.dumps(form, indent=2, ensure_ascii=False) + "\n"


def digests_of(judgement: Judgement) -> dict[str, Any]:
    """What names the content of all that was judged."""
    return {"car": judgement.car.digest, "move": judgement.move.digest, "rulebook": judgement.rulebook.digest}


def amount_text(amount: Fraction | None) -> str | None:
    """An amount, exactly: `1/3`."""
    return None if amount is None else str(amount)


def plain_json(format_name: str, answer: msgspec.Struct, **more: Any) -> str:
    """The answer's fields in the order of its type. Ends in a line feed."""
    return json_text({"format": format_name, **more, **msgspec.to_builtins(answer)})
