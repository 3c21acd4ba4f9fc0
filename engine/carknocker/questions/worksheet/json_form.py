"""The answer to *worksheet* as JSON, `carknocker-worksheet/2`."""

from carknocker.forms import Form
from carknocker.page.json_encoder import answer_json


def worksheet_json(form: Form) -> str:
    """The whole form. Ends in a line feed."""
    return answer_json("carknocker-worksheet/2", form)
