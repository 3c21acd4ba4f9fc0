"""The answer to *spares* as JSON, `carknocker-spares/1`."""

from carknocker.page.json_encoder import answer_json, every_field
from carknocker.page.sheet import LINE_RULES
from carknocker.questions.spares.model import SparesAnswer
from carknocker.rulebook.model import Source


def spares_json(answer: SparesAnswer) -> str:
    """The whole answer. Ends in a line feed."""
    return answer_json("carknocker-spares/1", answer, {**LINE_RULES, Source: every_field(Source)})
