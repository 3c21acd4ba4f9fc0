"""Which tape sizes a wheelset may have at an axle, given the other wheels: found by asking the rules that compare them.

Sizes are in tapes of the tape with which the other wheels were read, since only sizes of one tape are compared.
"""

import msgspec

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.situation import PartValues, Situation
from carknocker.judgement.threshold import first_holding, last_outward
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.part_keys import wheel_key
from carknocker.record.value_words import value_words
from carknocker.vocabulary.program_names import TAPE_ID
from carknocker.whatif.hypothetical_car import fitted_now
from carknocker.whatif.wheelset_fit import ACROSS, faults_in
from carknocker.whatif.work.wheel_sizes import compares, tape_size_of, taped_wheels, unmet_with, with_sizes
from carknocker.wording.limits import clause_words
from carknocker.wording.record_lines import RecordLine
from carknocker.wording.set_aside import set_aside_words
from carknocker.workings.model import Missing


class TapeWindow(msgspec.Struct, frozen=True):
    """axles: all with wheels of one and the same size. least, most: sizes that pass, "" where that side is free.
    because: the rules at either end. mates: what they ask of the two wheels between themselves. tape: which tape.
    missing: why nothing can be said; then all else is empty. compared: whether any rule of the move compares wheels.
    """

    axles: tuple[int, ...]
    least: str
    most: str
    tape: str
    because: tuple[str, ...]
    mates: tuple[str, ...]
    missing: str
    compared: bool = True


def window_line(window: TapeWindow) -> RecordLine:
    """The window as a line of a sheet: the size wanted, or why none can be told."""
    label = "tape size wanted"
    if not window.compared:
        return RecordLine(label, "any: no rule of this move compares it with the other wheels")
    if window.missing:
        return RecordLine(label, f"can't be told: {window.missing}", False)
    if window.least and window.most:
        wanted = window.least if window.least == window.most else f"{window.least} to {window.most}"
    else:
        wanted = f"{window.least} or more" if window.least else f"{window.most} or less" if window.most else "any"
    alike = "both wheels alike" if len(window.axles) == 1 else f"all {2 * len(window.axles)} wheels alike"
    return RecordLine(label, f"{wanted}, by {window.tape}, {alike}")


_MOST = 240
"""Tapes on each side that are tried: more than any wheel wears from new to scrap."""
_MATES = frozenset({"mate difference", "mate difference in diameter"})


def tape_window(judgement: Judgement, *axles: int) -> TapeWindow:
    """The window of an axle, both wheels of the wheelset taken as alike; of several axles, whose wheelsets come
    together, the window of one size for all their wheels: sizes that pass one by one may not pass together."""
    rules = _rules(judgement)
    mates = tuple(
        f"{one.criterion.title}: {clause_words(one.criterion.must)}"
        for one in prepare(judgement.rulebook).criteria
        if compares(one, _MATES) and _may_apply(one, judgement)
    )
    if not rules:
        return TapeWindow(axles, "", "", "", (), mates, "", compared=False)
    tried = _Trial(judgement, axles, rules)
    if not tried.sizes:
        return TapeWindow(axles, "", "", "", (), mates, "no other wheel has a tape size on record that counts")
    return tried.window(mates)


def _may_apply(one: CompiledCriterion, judgement: Judgement) -> bool:
    return any(f.criterion.id == one.criterion.id and f.verdict != "not applicable" for f in judgement.findings)


def _rules(judgement: Judgement) -> tuple[CompiledCriterion, ...]:
    """The refusing rules that compare wheels, or where there are none those that advise."""
    found = [
        one for one in prepare(judgement.rulebook).criteria if compares(one, ACROSS) and _may_apply(one, judgement)
    ]
    refusing = tuple(one for one in found if one.criterion.effect == "refuse")
    return refusing or tuple(found)


class _Trial:
    def __init__(self, judgement: Judgement, axles: tuple[int, ...], rules: tuple[CompiledCriterion, ...]) -> None:
        self._judgement, self._axles, self._rules = judgement, axles, rules
        fitted = fitted_now(judgement.car)
        self._wheels = tuple(wheel_key(fitted[axle], side) for axle in axles for side in ("left", "right"))
        taped = list(taped_wheels(judgement.situation, self._wheels).values())
        self._donor: PartValues = taped[0] if taped else {}
        self.sizes = sorted({size for view in taped if (size := tape_size_of(view)) is not None})

    def window(self, mates: tuple[str, ...]) -> TapeWindow:
        least, greatest = self.sizes[0], self.sizes[-1]
        start = first_holding(lambda size: not self._unmet(size), least, greatest, range(least, greatest + 1))
        if start is None:
            return TapeWindow(self._axles, "", "", "", (), mates, self._why_none())
        low, low_why = self._edge(start, -1)
        high, high_why = self._edge(start, 1)
        because = tuple(dict.fromkeys((*low_why, *high_why)))
        tape = self._donor.get(TAPE_ID)
        named = "the tape of the other wheels" if tape is None else f"tape {value_words(tape.value)}"
        return TapeWindow(self._axles, _tapes(low), _tapes(high), named, because, mates, "")

    def _edge(self, start: int, step: int) -> tuple[int | None, tuple[str, ...]]:
        """The last size in a direction that passes, and what stops the next; None where nothing stops it."""
        last = last_outward(lambda steps: not self._unmet(start + steps * step), _MOST)
        if last is None:
            return None, ()
        size = start + last * step
        return size, tuple(
            f"{one.criterion.title}: {clause_words(one.criterion.must)}, at {one.part.label}"
            for one in self._unmet(size + step)
        )

    def _unmet(self, size: int) -> list[Finding]:
        return unmet_with(self._rules, self._situation(size))

    def _situation(self, size: int) -> Situation:
        return with_sizes(self._judgement.situation, dict.fromkeys(self._wheels, size), self._donor)

    def _why_none(self) -> str:
        size = self.sizes[0]
        situation = self._situation(size)
        unmet = self._unmet(size)
        for finding in unmet:
            if finding.verdict != "not shown":
                continue
            for comparison in comparisons_in(finding.criterion.must):
                told = situation.work_out(finding.part.key, comparison.path.attribute)
                if isinstance(told, Missing):
                    part = situation.standing.parts.get(told.part)
                    label = told.part if part is None else part.label
                    aside = situation.why_set_aside(told.part, told.attribute) if told.never_read else None
                    return f"{told.attribute.replace('_', ' ')} of {label}: {set_aside_words(aside) or told.reason}"
            return "; ".join(faults_in(self._judgement, situation, [finding]))
        faults = "; ".join(faults_in(self._judgement, situation, unmet))
        return f"no size passes: the other wheels differ too much already ({faults})"


def _tapes(size: int | None) -> str:
    return "" if size is None else write_quantity(Quantity.of("tapes", size))
