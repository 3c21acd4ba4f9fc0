"""The answer to *place-wheels* as JSON (`carknocker-place-wheels/1`); docs/planning.md describes every key."""

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.place_wheels.model import Arranged, Place, Shortfall, Wheelset

FORMAT = "carknocker-place-wheels/1"
_RULES: Rules = {
    Arranged: keys(
        "as_of=check.day", "car=check.judgement.car", "axles[axle truck]", "best", "ties", "more_ties", "all_shown",
        "miles_decided=miles_used", "conflicts", "wheelsets", "places", "read_after=void_after",
        "test_after=tests_after", "still_open", "notes", "situations=tested", "digests=check.judgement.digests",
    ),
    Place: keys("axle", "serial", "against=reasons"),
    Shortfall: str,
    Wheelset: keys("serial", "where", "axle", "miles", "no_miles?"),
}  # fmt: skip


def place_wheels_json(answer: Arranged) -> str:
    """The whole answer. Ends in a line feed."""
    return answer_json(FORMAT, answer, _RULES)
