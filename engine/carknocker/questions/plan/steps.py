"""The steps of a plan: every job, reading, test, paper and spare, in workable order, with days and costs."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement, Refusal
from carknocker.questions.plan.model import Step
from carknocker.questions.plan.reading_counts import ReadingStep, not_shown_by_step, reading_words
from carknocker.questions.plan.schedule import Draft, days_after_arrival, days_of_steps, in_stages
from carknocker.questions.plan.tools import Tool, tool_details, tools_of
from carknocker.questions.plan.work_days import EVERY_DAY, WorkDays
from carknocker.record.model import Spare
from carknocker.record.part_keys import axle_key, bearing_key, serial_of, wheel_key, wheelset_key
from carknocker.record.value_words import value_words
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Fixed
from carknocker.rulebook.model import Source
from carknocker.vocabulary import Hazard, Stage, load_vocabulary
from carknocker.vocabulary.program_names import RIM_THICKNESS, WHEELSET
from carknocker.whatif.hypothetical_car import NOWHERE, fitted_now
from carknocker.whatif.work.model import Job, Trial
from carknocker.whatif.work.offers import truck_of
from carknocker.whatif.work.parts_put_on_record import PutOnRecord
from carknocker.whatif.work.prices import Price, Prices
from carknocker.whatif.work.record_after import new_serial
from carknocker.whatif.work.rows import Detail, Row, lines_of, row_of
from carknocker.wording.faults import faults_of
from carknocker.wording.parts import joined_labels

_UNKNOWN = Price()
_AT_HAND = Price(lead=0)


class Costs:
    """Looks up prices. unpriced: names that were looked up and have no price. spares: on record."""

    def __init__(self, prices: Prices, spares: Iterable[Spare]) -> None:
        self._prices = prices
        self._spares = tuple(spares)
        self.unpriced: dict[str, None] = {}

    def days_of(self, price: Price) -> int:
        """The days that something takes."""
        return self._prices.days_of(price)

    def work(self, name: str) -> Price:
        """The price of a work."""
        return self._known(self._prices.work, name)

    def test(self, name: str, times: int) -> Price:
        """The price of a test on that many parts."""
        one = self._known(self._prices.tests, name)
        return Price(_times(one.cost, times), _times(one.hours, times), one.days, one.lead)

    def paper(self, name: str) -> Price:
        """The price of a paper."""
        return self._known(self._prices.papers, name)

    def part(self, name: str, *, bought: bool) -> tuple[Price, str]:
        """The price of a part, and what to say of it. A part on record that need not be bought is free."""
        have = 0 if bought else sum(one.carried + one.shelf for one in self._spares if one.name == name)
        if have:
            return _AT_HAND, f"{name}, on hand ({have})"
        price = self._prices.spares.get(name, _UNKNOWN)
        if name not in self._prices.spares:
            self.unpriced[f"{name} (to be bought)"] = None
        if price.lead is None:
            return price, f"{name}, to be bought; lead time not on record"
        return price, f"{name}, to be bought; lead time {price.lead:,} day{'' if price.lead == 1 else 's'}"

    def _known(self, prices: dict[str, Price], name: str) -> Price:
        found = prices.get(name)
        if found is None:
            self.unpriced[name] = None
            return _UNKNOWN
        return found


def _times(one: Fraction | None, number: int) -> Fraction | None:
    return None if one is None else one * number


_LONG = 100
Sort = Literal["look", "job", "roll out", "roll back", "reading", "test", "paper", "spare"]


class StepText(msgspec.Struct, frozen=True):
    """The text of a step. waits_on: parts to be bought whose lead time nobody says. tools: with
    which it was last done."""

    sort: Sort
    what: str
    where: str
    why: tuple[str, ...]
    details: tuple[Detail, ...] = ()
    price: Price = Price()
    lead: int = 0
    not_before: date | None = None
    hazards: tuple[Hazard, ...] = ()
    waits_on: tuple[str, ...] = ()
    tools: tuple[Tool, ...] = ()
    job: Job | None = None
    rules: tuple[Source, ...] = ()


class Drafts:
    """The steps of one plan, gathered without their days. first_day: on which work may begin."""

    def __init__(self, first_day: date, costs: Costs, work_days: WorkDays = EVERY_DAY) -> None:
        self._day, self._costs, self._work_days = first_day, costs, work_days
        self._drafts: dict[str, Draft] = {}
        self._told: dict[str, StepText] = {}

    def numbered(self) -> tuple[Step, ...]:
        """All steps in workable order, numbered from 1."""
        drafts = in_stages(self._drafts)
        steps: list[Step] = []
        said: dict[str, int] = {}
        dated = days_of_steps(drafts, self._day, self._work_days)
        for number, (draft, days) in enumerate(zip(drafts, dated, strict=True), start=1):
            told = self._told[draft.name]
            lines = (*told.details, *tool_details(told.tools, days.last, earliest=days.earliest))
            details = tuple(_detail_words(line, said.setdefault(line.words, number), number) for line in lines)
            steps.append(
                Step(
                    number,
                    draft.stage,
                    told.sort,
                    told.what,
                    told.where,
                    told.why,
                    told.rules,
                    details,
                    tuple(one + 1 for one in days.after),
                    days.first,
                    days.last,
                    draft.days,
                    None if told.waits_on else told.lead,
                    told.not_before,
                    days.critical,
                    told.price.cost,
                    told.price.hours,
                    told.hazards,
                    told.waits_on,
                    days.earliest,
                    told.job,
                )  # fmt: skip
            )
        return tuple(steps)

    def days_after_arrival(self) -> tuple[tuple[str, int], ...]:
        """(part, work days from its arrival to the end) of each part whose lead time nobody says."""
        return days_after_arrival(in_stages(self._drafts), self._day, self._work_days)

    def add(self, name: str, stage: Stage, truck: str, told: StepText) -> None:
        """Adds a step; a step of the same name is replaced. truck: as in a draft. A look takes no days."""
        begin = self._day + timedelta(days=told.lead)
        if told.not_before is not None:
            begin = max(begin, told.not_before)
        self._drafts[name] = Draft(
            name, stage, truck, 0 if told.sort == "look" else self._costs.days_of(told.price), begin, told.waits_on
        )
        self._told[name] = told


def _detail_words(detail: Detail, first: int, number: int) -> str:
    """A detail in words. A long one that an earlier step has already is replaced by a reference to that step."""
    words = str(detail)
    return words if first == number or len(words) < _LONG else f"{detail.about}: as in step {first}"


def build_words(start: Judgement, after: Judgement, job: Job) -> Iterable[Detail]:
    """How a wheelset to be bought must be built: like the one it replaces, unless something refuses that one's
    build."""
    kinds = load_vocabulary().kinds
    serial = new_serial(job)
    off = fitted_now(start.car).get(int(start.parts[job.at[0]].position), "")
    for key in (wheelset_key(serial), axle_key(serial), wheel_key(serial, "left"), bearing_key(serial, "left")):
        kind = after.parts[key].kind
        words = [
            f"{kinds[kind].attributes[name].label}: {value_words(held.value)}"
            for name, held in after.situation.values[key].items()
            if held is not None and held.evidence is not None and held.evidence.sort == "description"
        ]
        if words:
            whole = f"like {off}" if kind == WHEELSET else f"{kind} like that of {off}"
            yield Detail(whole, "; ".join(words))


def rim_words(first: Judgement, job: Job) -> Iterable[Detail]:
    """How much rim the cut leaves on each wheel, if the readings tell."""
    for key in job.at:
        held = first.situation.values.get(key, {}).get(RIM_THICKNESS)
        if held is not None and held.evidence is not None and held.evidence.where == NOWHERE:
            yield Detail(first.parts[key].label, f"rim {value_words(held.value)} after the cut, or a little more")


def bought_words(rows: list[Row]) -> Iterable[Detail]:
    """What a wheelset to be bought must be, what its papers must say, and what is to be read on it."""
    told = {
        "it must be": [row for row in rows if row.attribute.description],
        "with": [row for row in rows if row.attribute.type == "test"],
        "read on it": [row for row in rows if not row.attribute.description and row.attribute.type != "test"],
    }
    for lead, own in told.items():
        words = dict.fromkeys(f"{row.attribute.label}: {row.must}" if row.must else row.attribute.label for row in own)
        if words:
            yield Detail(lead, "; ".join(words))


_ROLLING: tuple[Hazard, ...] = ("lifting",)


def waits_for_log(finding: Finding, judgement: Judgement) -> bool:
    """Whether a finding not shown has a limit of miles, and the record does not say since when its log is complete."""
    if judgement.car.log is not None or finding.verdict != "not shown":
        return False
    return any(
        comparison.word == "within"
        and isinstance(comparison.limit, Fixed)
        and any(isinstance(value, Figure) for value in comparison.limit.values)
        for clause in (finding.criterion.when, finding.criterion.unless, finding.criterion.must)
        for comparison in comparisons_in(clause)
    )


def _rules_of(rows: Iterable[Row]) -> tuple[Source, ...]:
    return tuple(dict.fromkeys(source for row in rows for source in row.rules.values()))


class StepMaker:
    """Makes the steps of one trial. start: the first day of work. clears: job → what it clears, in words. early: the
    (part, attribute) pairs that can be read before the work, because no work of the plan makes them void. put: parts
    that are to be looked at and written down. not_shown: part and attribute of each reading that is not shown now."""

    def __init__(
        self,
        trial: Trial,
        start: Judgement,
        prices: Prices,
        first_day: date,
        clears: Mapping[Job, tuple[str, ...]],
        early: frozenset[tuple[str, str]],
        put: tuple[PutOnRecord, ...] = (),
        work_days: WorkDays = EVERY_DAY,
        not_shown: frozenset[tuple[str, str]] = frozenset(),
    ) -> None:
        self._put = put
        self._trial, self._start, self._day = trial, start, first_day
        self.costs = Costs(prices, start.car.spares)
        self._clears, self._early = clears, early
        self._shown_by: dict[tuple[str, str], Refusal] = {}
        for one in start.refusals:
            if one.finding is not None and one.finding.verdict not in ("breached", "not shown"):
                self._shown_by[one.finding.criterion.id, one.finding.part.key] = one
            elif one.duty is not None:
                self._shown_by[one.duty.consequence.id, one.duty.part.key] = one
        self._not_shown = not_shown
        known = {one.id for one in start.situation.standing.work}
        self._void_after: dict[tuple[str, str], dict[str, None]] = {}
        for void in trial.judgement.voided:
            if void.work.id not in known:
                key = void.evidence.part, void.evidence.attribute
                self._void_after.setdefault(key, {})[void.work.name] = None
        self._vocabulary = load_vocabulary()
        self._standing = trial.judgement.situation.standing
        self._drafts = Drafts(first_day, self.costs, work_days)

    def steps(self) -> tuple[Step, ...]:
        """All steps, numbered in workable order. Afterwards `days_after_arrival` can be asked."""
        new = {new_serial(job): job for job in self._trial.jobs if job.bought}
        bought: dict[str, list[Row]] = {serial: [] for serial in new}
        rows: list[Row] = []
        for one in self._trial.assumed:
            if one.evidence.part not in self._standing.parts:
                continue  # what was not on record turns out not to stand there, by what else is assumed
            row = row_of(one, self._trial.judgement)
            serial = serial_of(row.part)
            bought.get(serial or "", rows).append(row)
        found = {key for one in self._put for key in one.keys}
        self._looks([row for row in rows if row.part in found and row.attribute.type not in ("test", "paper")])
        rows = [row for row in rows if row.part not in found or row.attribute.type in ("test", "paper")]
        self._log()
        for job in sorted(self._trial.jobs):
            self._job(job, bought.get(new_serial(job), []) if job.bought else [])
        self._readings([row for row in rows if row.attribute.type not in ("test", "paper")])
        self._tests([row for row in rows if row.attribute.type == "test"])
        for row in rows:
            if row.attribute.type == "paper":
                told = StepText(
                    "paper",
                    row.attribute.label,
                    row.label,
                    self._why([row]),
                    price=self.costs.paper(row.attribute.label),
                    rules=_rules_of([row]),
                )
                self._drafts.add(f"paper {row.attribute.name}", "papers", "", told)
        for spare in self._trial.spares:
            self._spare(spare)
        return self._drafts.numbered()

    def days_after_arrival(self) -> tuple[tuple[str, int], ...]:
        """(part, work days from its arrival to the end) of each part whose lead time nobody says."""
        return self._drafts.days_after_arrival()

    def _looks(self, rows: list[Row]) -> None:
        """One step for each container in which parts are not on record: look, count, write down."""
        containers: dict[str, list[PutOnRecord]] = {}
        for one in self._put:
            containers.setdefault(one.container, []).append(one)
        for container, put in containers.items():
            keys = {key for one in put for key in one.keys}
            own = [row for row in rows if row.part in keys]
            rules = tuple(dict.fromkeys(source for one in put for source in one.rules))
            first = dict.fromkeys(label for one in put for label in one.first)
            taken = {Detail("taken to be", f"{one.called}: {', '.join(one.taken)}"): None for one in put if one.taken}
            details = (*(Detail("first", label) for label in first), *taken, *lines_of(own))
            what = f"look and write down: {'; '.join(one.words for one in put)}"
            told = StepText("look", what, put[0].label, (), details, rules=rules)
            self._drafts.add(f"look {container}", "read first", "", told)

    def _log(self) -> None:
        """Look up since when the log is complete, where a limit of miles waits for that: nothing is assumed of it."""
        waiting = [
            one.finding
            for one in self._trial.left
            if one.finding is not None and waits_for_log(one.finding, self._start)
        ]
        if waiting:
            rules = tuple(dict.fromkeys(one.criterion.source for one in waiting))
            what = "write down since when the log of events, work and moves is complete: `log: {complete_since, by}`"
            self._drafts.add("look log", "read first", "", StepText("look", what, "the log", (), rules=rules))

    def _job(self, job: Job, bought: list[Row]) -> None:
        price = self.costs.work(job.work)
        truck = truck_of(job.at[0], self._standing) or ""
        why = self._clears.get(job, ())
        label = joined_labels(self._standing.parts[key].label for key in job.at if key in self._standing.parts)
        kind = self._vocabulary.work[job.work]
        if kind.does == "roll a truck out":
            others = [one for one in sorted(self._trial.jobs) if one != job and self._truck(one) == truck]
            reason = why or tuple(dict.fromkeys(one.work for one in others))
            self._drafts.add(f"out {truck}", "lift and roll out", truck, StepText(
                "roll out", f"disconnect, lift the body and roll out {label}", label, reason, price=price,
                lead=price.lead or 0, hazards=_ROLLING,
            ))  # fmt: skip
            back = StepText(
                "roll back",
                f"roll {label} back, lower the body, lock the retention, reconnect",
                label,
                (),
                hazards=_ROLLING,
                job=job,
            )
            self._drafts.add(f"back {truck}", "roll back and lower", truck, back)
            return
        at_kind = self._standing.parts[job.at[0]].kind if job.at[0] in self._standing.parts else kind.on[0]
        stage = kind.stages[at_kind]
        lead, cost = price.lead or 0, price.cost
        waits_on: list[str] = []
        details: list[Detail] = []
        what = job.work
        if job.serial:
            off = fitted_now(self._start.car).get(int(self._start.parts[job.at[0]].position), "")
            on = "a wheelset to be bought" if job.bought else job.serial
            what = f"{job.work}: {on} on, {off} off"
        for name in (*price.parts, *((WHEELSET,) if job.bought else ())):
            part, note = self.costs.part(name, bought=job.bought and name == WHEELSET)
            details.append(Detail("part", note))
            lead = max(lead, part.lead or 0)
            if part.lead is None:
                waits_on.append(name)
            cost = cost if part.cost is None else (cost or Fraction(0)) + part.cost
        if job.bought:
            details.extend(build_words(self._start, self._trial.judgement, job))
        details.extend(bought_words(bought))
        if kind.does == "turn wheels":
            details.extend(rim_words(self._trial.first, job))
        told = StepText(
            "job", what, label, why, tuple(details), Price(cost, price.hours, price.days, lead), lead,
            hazards=kind.hazards, waits_on=tuple(dict.fromkeys(waits_on)), job=job,
        )  # fmt: skip
        self._drafts.add(f"job {job.work} {job.at} {job.serial}", stage, truck, told)

    def _why(self, rows: list[Row]) -> tuple[str, ...]:
        """What readings, tests and papers are for: the fault that they clear as the car now is, or the work of the plan
        that makes the last one void."""
        void: dict[str, None] = {}
        refusals: dict[tuple[str, str], Refusal] = {}
        for row in rows:
            for rule in row.rules:
                refusal = self._shown_by.get((rule, row.part))
                if refusal is None or (refusal.duty is not None and row.attribute.type != "test"):
                    void.update(dict.fromkeys(self._void_after.get((row.part, row.attribute.name), ())))
                else:
                    refusals[rule, row.part] = refusal
        of_tests = [one for one in refusals.values() if one.finding is not None]  # a duty then says nothing of its own
        faults = faults_of(of_tests or refusals.values(), JudgementIndex(self._start))
        again = (f"what is on record is void after this work: {'; '.join(void)}",) if void else ()
        return (*dict.fromkeys(one.text for one in faults), *again)

    def _truck(self, job: Job) -> str:
        return truck_of(job.at[0], self._standing) or ""

    def _readings(self, rows: list[Row]) -> None:
        groups: dict[ReadingStep, list[Row]] = {}
        for row in rows:
            first = (row.part, row.attribute.name) in self._early
            truck = "" if first else truck_of(row.part, self._standing) or ""
            late = row.not_before if row.not_before is not None and row.not_before > self._day else None
            if first:  # the label before the work: a wheelset at hand is not yet at an axle
                row = replace(row, label=self._start.parts[row.part].label)
            stage: Stage = "read first" if first else "read anew"
            groups.setdefault((stage, truck, late), []).append(row)
        now = not_shown_by_step(groups, self._not_shown, self._early, self._void_after, self._standing)
        for (stage, truck, late), own in groups.items():
            label = self._standing.parts[truck].label if truck else "the car"
            why = self._why(own)
            what = reading_words(own, now.get((stage, truck, late), frozenset()), self._void_after)
            tools = tools_of(((row.part, row.attribute) for row in own), self._start.situation.standing)
            told = StepText(
                "reading", what, label, why, lines_of(own), not_before=late, tools=tools, rules=_rules_of(own)
            )
            self._drafts.add(f"{stage} {truck} {late}", stage, truck, told)

    def _tests(self, rows: list[Row]) -> None:
        by_test: dict[tuple[str, date | None], list[Row]] = {}
        for row in rows:
            late = row.not_before if row.not_before is not None and row.not_before > self._day else None
            by_test.setdefault((row.attribute.label, late), []).append(row)
        for (name, late), own in by_test.items():
            kind = self._vocabulary.tests[name]
            price = self.costs.test(name, len(own))
            why = self._why(own)
            tools = tools_of(((row.part, row.attribute) for row in own), self._start.situation.standing)
            told = StepText(
                "test", name, joined_labels(row.label for row in own), why, (), price, price.lead or 0, late, 
                kind.hazards, tools=tools, rules=_rules_of(own),
            )  # fmt: skip
            stage: Stage = "tests of the whole car" if kind.whole_car else "tests of parts"
            self._drafts.add(f"test {name} {late}", stage, "", told)

    def _spare(self, spare: Spare) -> None:
        before = next((one for one in self._start.car.spares if one.id == spare.id), None)
        more = spare.carried - (before.carried if before is not None else 0)
        name = spare.serial or spare.name
        hazards = self._vocabulary.spares[spare.name].hazards
        if before is not None:
            told = StepText("spare", f"take along {more} × {name} from the shelf", "the car", (), hazards=hazards)
        else:
            price, note = self.costs.part(spare.name, bought=True)
            told = StepText(
                "spare", f"buy and take along {more} × {name}", "the car", (), (Detail("part", note),), price,
                price.lead or 0,
                hazards=hazards, waits_on=() if price.lead is not None else (spare.name,),
            )  # fmt: skip
        self._drafts.add(f"spare {spare.id}", "spares aboard", "", told)
