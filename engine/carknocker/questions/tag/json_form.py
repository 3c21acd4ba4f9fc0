"""The bad-order tag as JSON (`carknocker-tag/1`); docs/json.md describes every key. `null` is a blank to fill in."""

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.tag.ask import BadOrderTag, Defect, TagItem

FORMAT = "carknocker-tag/1"
_RULES: Rules = {
    BadOrderTag: keys(
        "car", "railroad?", "regime=text.regime", "items=text.items", "inspector=given.inspector?",
        "location=given.location?", "inspected_on=given.inspected_on?", "defects", "restrictions", "conditions",
        "destination=given.destination?", "signature=unsigned", "job_title=unsigned", "unseen",
        "complete=answer.complete",
    ),
    TagItem: keys("item=name", "heading", "asked_by"),
    Defect: keys("parts", "title", "fault=fault.text", "measured?", "limit=required", "seen?", "group", "sources"),
}  # fmt: skip


def tag_json(tag: BadOrderTag) -> str:
    """The tag as data, once: both copies say the same. Ends in a line feed."""
    return answer_json(FORMAT, tag, _RULES)
