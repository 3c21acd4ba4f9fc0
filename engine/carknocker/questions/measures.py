"""Whether a wheelset goes into a truck: the measures by which the vocabulary says that a spare wheelset fits.

No rule has to ask for them. A wheelset whose journal centers are not those of the truck does not go in, whatever the
rulebook of the move says of it.
"""

import msgspec

from carknocker.documents import Location
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.observed_value import ObservedValue, exact, text_of
from carknocker.questions.hypothetical.hypothetical import fitted_now
from carknocker.questions.record_lines import observed
from carknocker.record.model import Part
from carknocker.record.part_keys import truck_key, wheelset_key
from carknocker.rulebook.clauses import AllOf
from carknocker.rulebook.model import Criterion, Source
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.wording.limits import value_words


class Misfit(msgspec.Struct, frozen=True):
    """A measure by which a wheelset does not go into a truck, or (not known) of which only that of the truck is on
    record. words: both sides."""

    attribute: str
    label: str
    words: str
    known: bool = True


def misfits(judgement: Judgement, truck: str, serial: str) -> tuple[Misfit, ...]:
    """The measures by which a wheelset does not go into a truck (its key): on record on both sides, and different."""
    return tuple(one for one in measured(judgement, truck, serial) if one.known)


def measured(judgement: Judgement, truck: str, serial: str) -> tuple[Misfit, ...]:
    """Those, and the measures that the truck states and the wheelset does not: nothing shows that it goes in. Of one
    that stands in the truck today its standing there shows it."""
    there = any(
        truck_key(judgement.car.axle_trucks[axle]) == truck
        for axle, fitted in fitted_now(judgement.car).items()
        if fitted == serial
    )
    found = []
    labels = load_vocabulary().kinds[WHEELSET].attributes
    for attribute, wanted in load_vocabulary().spares[WHEELSET].fits.items():
        ours = observed(judgement, wheelset_key(serial), attribute)
        theirs = observed(judgement, truck, wanted.name)
        label = labels[attribute].short_label
        if theirs is None or (ours is None and there) or (ours is not None and _same(ours, theirs)):
            continue
        own = "not on record" if ours is None else value_words(ours.value)
        words = f"{label} {own}; {truck} takes {value_words(theirs.value)}"
        found.append(Misfit(attribute, label, words, ours is not None))
    return tuple(found)


def as_finding(misfit: Misfit, part: Part) -> Finding:
    """A misfit of a wheelset as a breach, or as not shown, for what weighs findings: of a criterion that no edition
    states."""
    source = Source("the car record", "", "", "common practice", "common practice")
    criterion = Criterion(
        f"measure/{misfit.attribute}", misfit.attribute, "measure", "", "trade", title_of(misfit.attribute), WHEELSET,
        None, None, AllOf(()), None, "refuse", (), "owner before the move", None, source, (), (), False, "refuse",
        Location("", 1, 1),
    )  # fmt: skip
    return Finding(criterion, part, "breached" if misfit.known else "not shown", None, unmet=True)


def title_of(attribute: str) -> str:
    """How such a breach is called, by the attribute that is the measure."""
    label = load_vocabulary().kinds[WHEELSET].attributes[attribute].short_label
    return f"Goes into the truck by its {label}"


def measure_titles() -> dict[str, str]:
    """The ids of the criteria of `as_finding`, each with its title."""
    return {f"measure/{name}": title_of(name) for name in load_vocabulary().spares[WHEELSET].fits}


def _same(ours: ObservedValue, theirs: ObservedValue) -> bool:
    left, right = exact(ours.value), exact(theirs.value)
    if left is not None and right is not None:
        return left == right
    return (text_of(ours.value) or "").casefold() == (text_of(theirs.value) or "").casefold()
