"""The answer to *arrange* as JSON (`carknocker-arrangement/1`); docs/planning.md describes every key."""

from typing import Any

from carknocker.page.json_text import amount_text, digests_of, json_text
from carknocker.questions.arrange.model import Arranged, Arrangement

FORMAT = "carknocker-arrangement/1"


def arrange_json(answer: Arranged) -> str:
    """The whole answer. Ends in a line feed."""
    judgement = answer.check.judgement
    form = {
        "format": FORMAT,
        "as_of": answer.check.day.isoformat(),
        "car": {"mark": judgement.car.mark, "name": judgement.car.name, "file": judgement.car.file},
        "axles": [{"axle": axle, "truck": truck} for axle, truck in answer.axles],
        "best": None if answer.best is None else _arrangement(answer.best),
        "ties": [_arrangement(one) for one in answer.ties],
        "more_ties": answer.more_ties,
        "all_shown": answer.best is not None and answer.strict,
        "miles_decided": answer.miles_used,
        "conflicts": [
            {"where": one.where, "criteria": list(one.criteria), "words": one.words} for one in answer.conflicts
        ],
        "wheelsets": [
            {
                "serial": one.serial, "where": one.where, "axle": one.axle, "miles": amount_text(one.miles),
                "no_miles": one.no_miles or None,
            }
            for one in answer.wheelsets
        ],
        "places": [
            {"axle": one.axle, "serial": one.serial, "against": list(map(str, one.reasons))} for one in answer.places
        ],
        "read_after": list(answer.void_after),
        "test_after": list(answer.tests_after),
        "still_open": list(answer.still_open),
        "notes": list(answer.notes),
        "situations": answer.tested,
        "digests": digests_of(judgement),
    }  # fmt: skip
    return json_text(form)


def _arrangement(one: Arrangement) -> dict[str, Any]:
    return {
        "serials": list(one.serials), "moved": list(one.moved), "miles": amount_text(one.miles),
        "to_show": list(map(str, one.to_show)),
    }  # fmt: skip
