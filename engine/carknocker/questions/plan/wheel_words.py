"""What a plan says of wheelsets: how one that is to be bought must be, what a cut leaves."""

from collections.abc import Iterable

from carknocker.judgement.model import Judgement
from carknocker.questions.plan.model import Job
from carknocker.questions.plan.rows import Detail, Row
from carknocker.questions.plan.work import new_serial
from carknocker.record.part_keys import axle_key, bearing_key, wheel_key, wheelset_key
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import RIM_THICKNESS, WHEELSET
from carknocker.whatif.hypothetical_car import NOWHERE, fitted_now
from carknocker.wording.limits import value_words


def like_words(start: Judgement, after: Judgement, job: Job) -> Iterable[Detail]:
    """How a wheelset to be bought is built: as the one before it, where nothing refuses that."""
    kinds = load_vocabulary().kinds
    serial = new_serial(job)
    off = fitted_now(start.car).get(int(start.parts[job.at[0]].position), "")
    for key in (wheelset_key(serial), axle_key(serial), wheel_key(serial, "left"), bearing_key(serial, "left")):
        kind = after.parts[key].kind
        words = [
            f"{kinds[kind].attributes[name].label} {value_words(held.value)}"
            for name, held in after.situation.values[key].items()
            if held is not None and held.evidence is not None and held.evidence.sort == "description"
        ]
        if words:
            whole = f"like {off}" if kind == WHEELSET else f"{kind} like that of {off}"
            yield Detail(whole, ", ".join(words))


def rim_words(first: Judgement, job: Job) -> Iterable[Detail]:
    """What the cut leaves of each rim, where the readings tell."""
    for key in job.at:
        held = first.situation.values.get(key, {}).get(RIM_THICKNESS)
        if held is not None and held.evidence is not None and held.evidence.where == NOWHERE:
            yield Detail(first.parts[key].label, f"rim {value_words(held.value)} after the cut, or a little more")


def bought_words(rows: list[Row]) -> Iterable[Detail]:
    """What a wheelset that is to be bought must be, what its papers must say, and what is read on it."""
    told = {
        "it must be": [row for row in rows if row.attribute.description],
        "with": [row for row in rows if row.attribute.type == "test"],
        "read on it": [row for row in rows if not row.attribute.description and row.attribute.type != "test"],
    }
    for lead, own in told.items():
        words = dict.fromkeys(f"{row.attribute.label} {row.must}".strip() for row in own)
        if words:
            yield Detail(lead, ", ".join(words))
