"""What a lift sheet was made from: weights, points of lifting, gear and lengths."""

from carknocker.questions.lift.lift import LiftAnswer
from carknocker.record.model import Evidence
from carknocker.wording.limits import value_words
from carknocker.wording.parts import attribute_words
from carknocker.workings.result import inches, number, written


def taken_rows(answer: LiftAnswer) -> tuple[tuple[str, str], ...]:
    """Weights with their day and who read them, then gear, lengths and files."""
    request, plan = answer.request, answer.plan
    tilting = request.tilting
    rows = [(weight_label(one), _weight_words(one)) for one in answer.weights]
    if answer.estimated:
        rows.insert(0, ("ESTIMATED", "the gross weight is no scale weight, as the record says: take it for no more"))
    if request.weights.on_near is None:
        rows.append(("body", "its halves are taken as equal, as the plan says"))
    rows.extend(
        (
            f"lifted at the {point.name}",
            f"{inches(point.beyond)} beyond the truck center, rated {_weight(point.rating)} by {point.rated_by}",
        )
        for point in request.points
    )
    rows.append(
        ("crane", f"{_weight(request.crane_rating)} at the radius of this lift; rigging {_weight(plan.rigging)}")
    )
    sling = request.sling
    legs = f"{sling.legs} leg{'' if sling.legs == 1 else 's'} at {number(sling.angle)}° from the level"
    carry = "" if sling.carrying == sling.legs else f", of which {sling.carrying} are taken to carry: the load is stiff"
    rows.append(("sling", f"{legs}{carry}, {_weight(sling.rating)} a leg upright"))
    crib = request.crib
    base = f"{inches(crib.height)} high on a base of {inches(crib.base)}"
    rows.append(("crib", f"{crib.count} of {crib.timbers} timbers laid {crib.pattern}, {base}"))
    rows.append(
        ("lengths", f"truck centers {inches(tilting.centers)}, far end {inches(tilting.overhang)} beyond its truck")
    )
    low = f"under the lowest part, {inches(tilting.outboard_height)} over the rail"
    high = f"truck {inches(tilting.truck_height)} high, by {inches(request.margin)} or more"
    rows.append(("to be cleared", f"{high}, {low}{_named(answer.outboard_thing)}"))
    lowest = f"lowest part {inches(tilting.far_end_height)} over the rail{_named(answer.far_end_thing)}"
    rows.append(("standing end", lowest))
    if tilting.over_wheels is None:
        unknown = "how near the body comes to its outer wheels is not on record: watch them, springs and brake gear too"
        rows.append(("standing truck", unknown))
    if len(request.points) == 1:
        rows.append(("coupler", "not worked out: nobody says in the plan that it may be lifted at for this lift"))
    rows.append(("files", ", ".join(file for file in (answer.car.file, answer.plan_file) if file)))
    return tuple(rows)


def _named(thing: str) -> str:
    return f" ({thing})" if thing else ""


def _weight(amount: object) -> str:
    return written("weight", amount)  # type: ignore[arg-type]


def weight_label(evidence: Evidence) -> str:
    """`truck B: weight of the truck alone`."""
    kind = evidence.part.split(" ")[0]
    label = attribute_words(kind, evidence.attribute)
    return label if evidence.part == "car" else f"{evidence.part}: {label}"


def _weight_words(evidence: Evidence) -> str:
    words = [value_words(evidence.value)]
    words.append("undated, as the record describes it" if evidence.on is None else evidence.on.isoformat())
    if evidence.by is not None:
        words.append(f"{evidence.by.full_name or evidence.by.name} ({evidence.by.role})")
    return ", ".join(words)
