"""Whether a wheelset goes into a truck: the measures by which the vocabulary says that a spare wheelset fits.

No rule has to ask for them. A wheelset whose journal centers are not those of the truck does not go in, whatever the
rulebook of the move says of it.
"""

import msgspec

from carknocker.documents import Location
from carknocker.judgement.held import Held, exact, text_of
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.wording import value_words
from carknocker.questions.told import held_of
from carknocker.record.model import Part
from carknocker.rulebook.clauses import AllOf
from carknocker.rulebook.model import Criterion, Source
from carknocker.vocabulary import load_vocabulary


class Misfit(msgspec.Struct, frozen=True):
    """A measure that is on record on both sides, and differs. words: both values."""

    attribute: str
    label: str
    words: str


def misfits(judgement: Judgement, truck: str, serial: str) -> tuple[Misfit, ...]:
    """The measures by which a wheelset does not go into a truck (its key). What is not on record on both sides tells
    nothing."""
    found = []
    labels = load_vocabulary().kinds["wheelset"].attributes
    for attribute, wanted in load_vocabulary().spares["wheelset"].fits.items():
        ours = held_of(judgement, f"wheelset {serial}", attribute)
        theirs = held_of(judgement, truck, wanted.partition(".")[2])
        if ours is not None and theirs is not None and not _same(ours, theirs):
            label = labels[attribute].label.partition(" (")[0]
            words = f"{label} {value_words(ours.value)}; {truck} takes {value_words(theirs.value)}"
            found.append(Misfit(attribute, label, words))
    return tuple(found)


def as_finding(misfit: Misfit, part: Part) -> Finding:
    """A misfit of a wheelset as a breach, for what weighs findings: of a criterion that no edition states."""
    source = Source("the car record", "", "", "common practice", "common practice")
    criterion = Criterion(
        f"measure/{misfit.attribute}", misfit.attribute, "measure", "", "trade", title_of(misfit.attribute), "wheelset",
        None, None, AllOf(()), None, "refuse", (), "owner before the move", None, source, (), (), False, "refuse",
        Location("", 1, 1),
    )  # fmt: skip
    return Finding(criterion, part, "breached", None, unmet=True)


def title_of(attribute: str) -> str:
    """How such a breach is called, by the attribute that is the measure."""
    label = load_vocabulary().kinds["wheelset"].attributes[attribute].label.partition(" (")[0]
    return f"Goes into the truck by its {label}"


def measure_titles() -> dict[str, str]:
    """The ids of the criteria of `as_finding`, each with its title."""
    return {f"measure/{name}": title_of(name) for name in load_vocabulary().spares["wheelset"].fits}


def _same(ours: Held, theirs: Held) -> bool:
    left, right = exact(ours.value), exact(theirs.value)
    if left is not None and right is not None:
        return left == right
    return (text_of(ours.value) or "").casefold() == (text_of(theirs.value) or "").casefold()
