"""What can be shown after work, without more work: the findings that a reading, a test, a paper or a spare clears."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Literal

from msgspec.structs import replace

from carknocker.judgement.evidence import DEVICE_DUE
from carknocker.judgement.facts import StateFact
from carknocker.judgement.model import Duty, Finding, Judgement, Refusal
from carknocker.judgement.observed_value import exact, text_of
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.record.model import NO_END, Evidence, Person, Spare
from carknocker.record.part_keys import serial_of, wheelset_key
from carknocker.record.values import Day, Value, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.whatif.hypothetical_car import NOWHERE
from carknocker.whatif.suitable_values import Assumer, Limits, Wanted
from carknocker.whatif.work.model import AssumedEvidence, Job, Need, TrialEvidence
from carknocker.whatif.work.offers import Offers, on_wheels
from carknocker.whatif.work.record_after import new_serial


def spare_to_carry(duty: Duty, judgement: Judgement, taken: Mapping[str, Spare]) -> Spare | None:
    """One more spare to carry: off the shelf if one fits, else bought. None if the record does not tell what would fit,
    and for a whole wheelset that is not on record, since it must be named before it can be judged."""
    name = duty.requirement.spare
    wanted = _wanted(duty, judgement)
    if wanted is None:
        return None
    kind = load_vocabulary().spares[name]
    for spare in judgement.situation.standing.car.spares:
        now = taken.get(spare.id, spare)
        if spare.name == name and now.shelf > 0 and _fits(now, wanted, judgement):
            return replace(now, carried=now.carried + 1, shelf=now.shelf - 1)
    if kind.thing:
        return None
    bought = taken.get(f"bought {name}", Spare(f"bought {name}", name, "", 0, 0, wanted, NOWHERE))
    return replace(bought, carried=bought.carried + 1)


def _wanted(duty: Duty, judgement: Judgement) -> dict[str, Value] | None:
    """The spare's own attributes, with the values that the part needs; None if one of them is not on record."""
    situation = judgement.situation
    wanted: dict[str, Value] = {}
    for attribute, fitted in load_vocabulary().spares[duty.requirement.spare].fits.items():
        owner = situation.owner(duty.part.key, fitted.kind)
        if owner is None:
            owner = next(iter(situation.standing.reach(duty.part.key, fitted.kind)), None)
        held = None if owner is None else situation.values_of(owner).get(fitted.name)
        if held is None:
            return None
        wanted[attribute] = held.value
    return wanted


def _fits(spare: Spare, wanted: Mapping[str, Value], judgement: Judgement) -> bool:
    own = wheelset_key(spare.serial)
    for attribute, value in wanted.items():
        given = spare.facts.get(attribute)
        if given is None and spare.serial and own in judgement.situation.values:
            held = judgement.situation.values_of(own).get(attribute)
            given = None if held is None else held.value
        if given is None or (exact(given), _word(given)) != (exact(value), _word(value)):
            return False
    return True


def _word(value: Value) -> str:
    return (text_of(value) or "").casefold()


def _tells_the_build(wanted: Wanted) -> bool:
    """Whether it is a choice by which a part is built, so that it decides what else is asked of it."""
    return wanted.attribute.description and wanted.attribute.type in ("one of", "yes or no", "list of")


_READABLE = frozenset({"not shown", "void", "lapses", "borderline"})


class ClearingEvidence:
    """Decides what can be shown, given what stood in the way before any work. by: who signs. day: of all the
    evidence."""

    def __init__(self, start: Judgement, by: Person, day: date) -> None:
        self._move, self._by, self._day = start.move, by, day
        self._vocabulary = load_vocabulary()
        self._prepared = prepare(start.rulebook)
        self._limits = Limits(start.rulebook)
        self._base_offers = Offers(start)
        self._breached = {
            (one.criterion.id, one.part.key)
            for one in start.findings
            if one.verdict == "breached" and one.part.fitted and not self._only_shown(one)
        }

    def _only_shown(self, finding: Finding) -> bool:
        """Whether a test or a paper decides the finding, so that a new one clears it."""
        one = self._prepared.criterion(finding.criterion)
        kinds = {leaf.comparison.path.attribute.type for leaf in one.leaves}
        return bool(kinds) and kinds <= {"test", "paper"}

    def later(self, refusals: Iterable[Refusal], jobs: frozenset[Job]) -> set[Need]:
        """What is needed of a wheelset to be bought, once its description is known: its kind of bearing, for
        example."""
        new = {new_serial(job) for job in jobs if job.bought}
        settles: set[Need] = set()
        asks: set[Need] = set()
        for refusal in refusals:
            if refusal.finding is not None and serial_of(refusal.finding.part.key) in new:
                one = self._prepared.criterion(refusal.finding.criterion)
                described = any(leaf.comparison.path.attribute.description for leaf in one.leaves)
                (settles if described and one.when is None else asks).add(refusal.identity)
        return asks if settles else set()

    def assume_evidence(self, refusals: Iterable[Refusal], judgement: Judgement, shown: TrialEvidence) -> bool:
        """Assumes the evidence that would clear these refusals, if a reading, a test, a paper or a spare can. Returns
        whether there was anything new."""
        applies = frozenset(
            (one.criterion.id, one.part.key) for one in judgement.findings if one.verdict != "not applicable"
        )
        assumer = Assumer(judgement.situation, self._limits, self._day, applies)
        wanted = list(self._wanted(refusals, judgement, assumer, shown))
        # how a part is built comes first: it tells what there is to read on it
        if any([self._assume(one, by, shown) for one, by in wanted if _tells_the_build(one)]):
            return True
        added = any([self._assume(one, by, shown) for one, by in wanted if not _tells_the_build(one)])
        for refusal in refusals:
            if refusal.duty is not None:
                added = self._do(refusal.duty, judgement, assumer, shown) or added
        return added

    def _wanted(
        self, refusals: Iterable[Refusal], judgement: Judgement, assumer: Assumer, shown: TrialEvidence
    ) -> Iterator[tuple[Wanted, str]]:
        """What would clear these refusals, each with the criterion or consequence that needs it."""
        for refusal in refusals:
            finding, duty = refusal.finding, refusal.duty
            if finding is not None and self._showable(finding, shown.jobs):
                for one in assumer.meeting(finding.criterion, finding.part.key) or ():
                    yield one, finding.criterion.id
            causes = (duty.cause,) if duty is not None else (one for why in refusal.reasons for one in why.reasons)
            for cause in causes:
                if isinstance(cause, StateFact):
                    for one in self._deciding(cause, judgement, assumer):
                        yield one, cause.consequence

    def _deciding(self, cause: StateFact, judgement: Judgement, assumer: Assumer) -> Iterator[Wanted]:
        """The descriptions by which a state that burdens for want of them would not hold."""
        found = next((one for one in judgement.rulebook.consequences if one.id == cause.consequence), None)
        state = None if found is None else found.causes[cause.cause_number].when
        if state is not None:
            yield from (one for one in assumer.ruling_out(state, cause.part) or () if one.attribute.description)

    def take_back(self, judgement: Judgement, shown: TrialEvidence) -> bool:
        """Takes back assumed readings that a doubt touches: nobody reads an oil level on a bearing without oil. They
        are not assumed again. A description stays: it tells what there is. Returns whether there was any."""
        doubted = {one.id for doubt in judgement.doubts for one in doubt.touched}
        back = [
            key
            for key, one in shown.assumed.items()
            if one.evidence.id in doubted and one.evidence.sort == "reading" and not self._description(*key, judgement)
        ]
        for key in back:
            shown.taken_back.add((key, shown.assumed.pop(key).evidence.value))
        return bool(back)

    def _description(self, part: str, name: str, judgement: Judgement) -> bool:
        attribute = self._vocabulary.attribute(judgement.parts[part].kind, name)
        return attribute is not None and attribute.description

    def _showable(self, finding: Finding, jobs: frozenset[Job]) -> bool:
        """Whether reading or testing can clear the finding. If it was breached before the work, only the work that
        clears it can: a void reading does not make the part good."""
        key = (finding.criterion.id, finding.part.key)
        serial = serial_of(finding.part.key)
        if serial is not None and any(job.bought and new_serial(job) == serial for job in jobs):
            return True
        if self._only_shown(finding) or any(
            self._base_offers.clears(job, finding) for job in self._free(finding, jobs)
        ):
            return True
        return finding.verdict in _READABLE and key not in self._breached

    def _free(self, finding: Finding, jobs: frozenset[Job]) -> frozenset[Job]:
        """The jobs whose result for this finding is not known. Figures worked out from the sizes that wheels will have
        are known: a breach there stands."""
        if finding.verdict != "breached":
            return jobs
        one = self._prepared.criterion(finding.criterion)
        if not any(leaf.comparison.path.attribute.derived for leaf in one.leaves):
            return jobs
        return frozenset(job for job in jobs if not on_wheels(job))

    def _assume(self, wanted: Wanted, by: str, shown: TrialEvidence) -> bool:
        key = (wanted.part, wanted.attribute.name)
        if (key, wanted.value) in shown.taken_back:
            return False
        before = shown.assumed.get(key)
        if before is not None and before.evidence.value == wanted.value:
            shown.assumed[key] = replace(before, needs=tuple(dict.fromkeys((*before.needs, by))))
            return False
        if before is not None and by in before.needs:
            return False
        needs = (by,) if before is None else tuple(dict.fromkeys((*before.needs, by)))
        shown.assumed[key] = AssumedEvidence(self._evidence(wanted, shown.after), needs)
        return True

    def _evidence(self, wanted: Wanted, after: frozenset[str]) -> Evidence:
        attribute = wanted.attribute
        sort: Literal["reading", "test", "paper"] = "reading"
        if attribute.type == "test" or attribute.type == "paper":
            sort = attribute.type
        facts = dict(wanted.facts)
        if sort == "test" and DEVICE_DUE in self._vocabulary.facts_of(attribute):
            facts.setdefault(DEVICE_DUE, Day(NO_END, NO_END, NO_END.isoformat()))  # whoever tests has one in date
        return Evidence(
            f"planned {wanted.part} {attribute.name}", attribute.name, wanted.part, wanted.part, wanted.value, sort,
            self._day, NOWHERE, until=max(self._move.back, self._day) if sort == "paper" else None, by=self._by,
            after=after, facts=facts,
        )  # fmt: skip

    def _do(self, duty: Duty, judgement: Judgement, assumer: Assumer, shown: TrialEvidence) -> bool:
        requires = duty.requirement
        if requires.test:
            kind = self._vocabulary.tests[requires.test]
            attribute = self._vocabulary.kinds[kind.on].attributes[kind.attribute]
            added = False
            for target in judgement.situation.standing.reach(duty.part.key, kind.on):
                wanted = Wanted(target, attribute, Word("passed"), assumer.facts_of(attribute, target))
                added = self._assume(wanted, duty.consequence.id, shown) or added
            return added
        spare = spare_to_carry(duty, judgement, shown.spares) if requires.spare else None
        if spare is None or shown.spares.get(spare.id) == spare:
            return False
        shown.spares[spare.id] = spare
        return True
