"""The bad-order tag as JSON (`carknocker-tag/1`); docs/json.md describes every key. `null` is a blank to fill in."""

from carknocker.page.json_findings import source_form
from carknocker.page.json_text import json_text
from carknocker.questions.tag.ask import BadOrderTag

FORMAT = "carknocker-tag/1"


def tag_json(tag: BadOrderTag) -> str:
    """The tag as data, once: both copies say the same. Ends in a line feed."""
    given = tag.given
    form = {
        "format": FORMAT,
        "car": tag.car,
        "railroad": tag.railroad or None,
        "regime": tag.text.regime,
        "items": [{"item": item.name, "heading": item.heading, "asked_by": item.asked_by} for item in tag.text.items],
        "inspector": given.inspector or None,
        "location": given.location or None,
        "inspected_on": given.inspected_on or None,
        "defects": [
            {
                "parts": list(defect.parts),
                "title": defect.title,
                "measured": defect.measured,
                "limit": defect.required,
                "seen": defect.seen or None,
                "group": defect.group,
                "source": source_form(defect.source),
            }
            for defect in tag.defects
        ],
        "restrictions": list(tag.restrictions),
        "conditions": [words for group, words in tag.text.conditions if not group or group in tag.groups],
        "destination": given.destination or None,
        "signature": None,
        "job_title": None,
        "unseen": tag.unseen,
    }
    return json_text(form)
