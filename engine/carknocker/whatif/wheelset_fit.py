"""How a wheelset fits a place: the findings on wheelsets and what rests on their sizes, without the chain behind them.

A judgement asks every criterion about every part and then chains. Whether a wheelset suits an axle needs only the
criteria about wheelsets; so many places can be tried in the time of one judgement.
"""

from collections.abc import Iterable
from weakref import WeakKeyDictionary

import msgspec

from carknocker.documents import Location
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import CompiledCriterion, prepare
from carknocker.judgement.explanation import explain
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.observed_value import ObservedValue, exact, text_of
from carknocker.judgement.situation import Situation
from carknocker.record.model import Part
from carknocker.record.part_keys import serial_of, truck_key, wheelset_key
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, CountOf, EachOf
from carknocker.rulebook.model import Criterion, Rulebook, Source
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import AXLE_POSITION, TRUCK, WHEELSET, WHEELSET_KINDS
from carknocker.whatif.hypothetical_car import fitted_now, rearranged
from carknocker.wording.limits import value_words
from carknocker.wording.record_lines import observed
from carknocker.wording.verdicts import measured_words


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


ACROSS = frozenset({
    "car spread", "car spread in diameter", "middle axle step", "middle axle step in diameter", "step to neighbour",
    "truck spread", "truck spread in diameter",
})  # fmt: skip
"""The workings that compare wheelsets with each other; any other figure belongs to one wheelset and its place."""
_OF_CAR = frozenset({"car spread", "car spread in diameter"})


_IN_TRUCK = frozenset({TRUCK, AXLE_POSITION})


def _counts_things(clause: Clause | None) -> bool:
    """Whether a clause looks at wheelsets, or parts of them, inside the part."""
    match clause:
        case AllOf(clauses) | AnyOf(clauses):
            return any(_counts_things(member) for member in clauses)
        case CountOf(kind=kind) | EachOf(kind=kind):
            return kind in WHEELSET_KINDS
        case _:
            return False


def stays_refused(finding: Finding) -> bool:
    """Whether no reading clears it: a breach, or what the record says of the build (the day of a reconditioning) runs
    out before the return."""
    if finding.verdict == "lapses":
        return any(one.path.attribute.description for one in comparisons_in(finding.criterion.must))
    return finding.verdict == "breached"


class Fit:
    """The criteria of a rulebook about wheelsets, by what they look at. single: one wheelset in its place. in_truck,
    in_car: figures that compare wheelsets."""

    def __init__(self, rulebook: Rulebook) -> None:
        self.single: list[CompiledCriterion] = []
        self.in_truck: list[CompiledCriterion] = []
        self.in_car: list[CompiledCriterion] = []
        for one in prepare(rulebook).criteria:
            criterion = one.criterion
            if criterion.effect != "refuse":
                continue
            clauses = (criterion.must, criterion.when, criterion.unless)
            used = {c.path.attribute.derived for clause in clauses for c in comparisons_in(clause)}
            counts = any(_counts_things(clause) for clause in clauses)
            if used & _OF_CAR or (counts and criterion.of not in (*WHEELSET_KINDS, *_IN_TRUCK)):
                self.in_car.append(one)
            elif used & ACROSS or (counts and criterion.of in _IN_TRUCK):
                self.in_truck.append(one)
            elif criterion.of in WHEELSET_KINDS:
                self.single.append(one)

    @property
    def every(self) -> tuple[CompiledCriterion, ...]:
        """All of them."""
        return (*self.single, *self.in_truck, *self.in_car)


def unmet_of(compiled: Iterable[CompiledCriterion], situation: Situation, within: str = "") -> list[Finding]:
    """The refusing findings of these criteria on fitted parts; within: a container (a truck), else everywhere."""
    standing = situation.standing
    found: list[Finding] = []
    for one in compiled:
        for part in standing.by_kind.get(one.criterion.of, ()):
            if not part.fitted or (within and part.key != within and within not in standing.containers(part.key)):
                continue
            finding = judge_part(one, part, situation, lambda: None)
            if finding.unmet:
                found.append(finding)
    return found


_KEPT: "WeakKeyDictionary[Rulebook, Fit]" = WeakKeyDictionary()


def fit_of(rulebook: Rulebook) -> Fit:
    """The criteria about wheelsets of a rulebook; the same object for the same rulebook."""
    found = _KEPT.get(rulebook)
    if found is None:
        found = _KEPT[rulebook] = Fit(rulebook)
    return found


def against_spare(judgement: Judgement, axle_position: str, serial: str) -> str:
    """What stays refused of a spare wheelset itself at an axle, or why it does not go into the truck, in words; empty
    where nothing is."""
    fit = fit_of(judgement.rulebook)
    axle = int(judgement.parts[axle_position].position)
    situation = rearranged(judgement.situation, {axle: serial})
    found = [
        finding
        for finding in unmet_of(fit.single, situation, axle_position)
        if stays_refused(finding) and serial_of(finding.part.key) == serial
    ]
    if not found:
        unlike = misfits(judgement, truck_key(judgement.car.axle_trucks[axle]), serial)
        return f"it does not fit the truck: {'; '.join(one.words for one in unlike)}" if unlike else ""
    view = Judgement(
        judgement.car, judgement.move, judgement.rulebook, judgement.as_of, "not ready", tuple(found), (), (), (), (),
        (), (), (), situation.standing.parts, situation,
    )  # fmt: skip
    first = found[0]
    more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
    lapses = "" if first.lapses_on is None else f", good until {first.lapses_on.isoformat()}"
    return f"{first.part.label}: {first.criterion.title}: {measured_words(explain(view, first).measured)}{lapses}{more}"
