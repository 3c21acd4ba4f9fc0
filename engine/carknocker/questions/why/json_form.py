"""The answer to *why* as JSON (`carknocker-why/1`); docs/json.md describes every key."""

from functools import partial

from carknocker.documents import Location
from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.why.model import WhyAnswer, WhyNode
from carknocker.whatif.model import Change, Dates, JobSaid, Sets, Way
from carknocker.wording.sources import place_of

FORMAT = "carknocker-why/1"
_RULES: Rules = {
    WhyAnswer: keys(
        "outcome=check.outcome", "complete=check.complete", "as_of=check.day", "question", "answer", "parts", "rules",
        "otherwise", "nodes",
    ),
    WhyNode: keys(
        "sort", "said", "lines[label text]", "source", "at=where", "struck", "nearest", "leaving", "back_by", "because"
    ),
    Way: keys("changes", "verdict"),
    Change: keys(
        "part", "label=part.label", "attribute=attribute.name", "fact=fact.name", "now", "values", "side", "short?",
        "dated", "borderline_at=borderline",
    ),
    Sets: keys("put", "sets", "more", "assumed", "beyond", "left", "permitted"),
    JobSaid: keys("work", "at=labels", "serial?"),
    Dates: keys("back_by", "earlier", "later", "first_tried", "last_tried", "judged", "whatever"),
}  # fmt: skip


def why_json(answer: WhyAnswer) -> str:
    """The whole tree, nothing folded. Ends in a line feed."""
    place = partial(place_of, judgement=answer.check.judgement)
    return answer_json(FORMAT, answer, {**_RULES, Location: place})
