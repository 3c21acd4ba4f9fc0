"""What a number, a day and a question in an address may be: what the databases hold, the years that a record may name,
and what the command line is asked."""

from datetime import date
from typing import Annotated, TypeAlias

from pydantic import AfterValidator, Field, WithJsonSchema

from carknocker.record.value_reader import FIRST_YEAR, LAST_YEAR
from carknocker.service.asked_questions import QUESTIONS

Number: TypeAlias = Annotated[int, Field(ge=1, le=2**31 - 1)]
"""Of a version, an entry of the history, a link."""

MOST_SEARCHED_FOR = 100
"""Characters, of a search in the list of cars."""

Day: TypeAlias = Annotated[date, Field(ge=date(FIRST_YEAR, 1, 1), le=date(LAST_YEAR, 12, 31))]


def _known(question: str) -> str:
    if question not in QUESTIONS:
        raise ValueError(f"one of {', '.join(QUESTIONS)}")
    return question


Question: TypeAlias = Annotated[
    str, AfterValidator(_known), WithJsonSchema({"type": "string", "enum": list(QUESTIONS)})
]
"""The name of a question about one car."""
