"""The JSON of `due`."""

from carknocker.page.json_encoder import Rules, answer_json, every_field
from carknocker.questions.due.model import DueAnswer
from carknocker.rulebook.model import Source

_RULES: Rules = {
    Source: every_field(Source),
    DueAnswer: tuple(key for key in every_field(DueAnswer) if key.name != "head"),
}


def due_json(answer: DueAnswer) -> str:
    """What lapses when, as JSON."""
    return answer_json("carknocker-due/1", answer, _RULES)
