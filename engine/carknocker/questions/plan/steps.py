"""The steps of a plan: every job, reading, test, paper and spare, in workable order, with days and prices."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from msgspec.structs import replace

from carknocker.judgement.model import Judgement
from carknocker.questions.plan.assumed import Trial
from carknocker.questions.plan.costs import Costs
from carknocker.questions.plan.drafting import Drafts, Said
from carknocker.questions.plan.jobs import truck_of
from carknocker.questions.plan.model import Job, Step
from carknocker.questions.plan.prices import Price, Prices
from carknocker.questions.plan.rows import Detail, Row, lines_of, row_of
from carknocker.questions.plan.wheel_words import bought_words, like_words, rim_words
from carknocker.questions.plan.work import new_serial
from carknocker.record.model import Spare
from carknocker.record.part_keys import serial_of
from carknocker.vocabulary import Hazard, Stage, load_vocabulary
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.whatif.hypothetical_car import fitted_now
from carknocker.whatif.wheelset_fit import measured
from carknocker.wording.parts import joined_labels

_ROLLING: tuple[Hazard, ...] = ("lifting",)


class StepMaker:
    """Makes the steps of one trial. start: the first day of work. clears: job → what it clears, in words. early: the
    (part, attribute) pairs that no work of the plan makes void, so that they can be read before it."""

    def __init__(
        self,
        trial: Trial,
        start: Judgement,
        prices: Prices,
        first_day: date,
        clears: Mapping[Job, tuple[str, ...]],
        early: frozenset[tuple[str, str]],
    ) -> None:
        self._trial, self._start, self._day = trial, start, first_day
        self.costs = Costs(prices, start.car.spares)
        self._clears, self._early = clears, early
        self._vocabulary = load_vocabulary()
        self._standing = trial.judgement.situation.standing
        self._drafts = Drafts(first_day, self.costs)

    def steps(self) -> tuple[Step, ...]:
        """All steps, numbered in workable order."""
        new = {new_serial(job): job for job in self._trial.jobs if job.bought}
        bought: dict[str, list[Row]] = {serial: [] for serial in new}
        rows: list[Row] = []
        for one in self._trial.assumed:
            row = row_of(one, self._trial.judgement)
            serial = serial_of(row.part)
            bought.get(serial or "", rows).append(row)
        for job in sorted(self._trial.jobs):
            self._job(job, bought.get(new_serial(job), []) if job.bought else [])
        self._readings([row for row in rows if row.attribute.type not in ("test", "paper")])
        self._tests([row for row in rows if row.attribute.type == "test"])
        for row in rows:
            if row.attribute.type == "paper":
                told = Said(
                    "paper", row.attribute.label, row.label, row.why, price=self.costs.paper(row.attribute.label)
                )
                self._drafts.add(f"paper {row.attribute.name}", "papers", "", told)
        for spare in self._trial.spares:
            self._spare(spare)
        return self._drafts.numbered()

    def _job(self, job: Job, bought: list[Row]) -> None:
        price = self.costs.work(job.work)
        truck = truck_of(job.at[0], self._standing) or ""
        why = self._clears.get(job, ())
        label = joined_labels(self._standing.parts[key].label for key in job.at if key in self._standing.parts)
        kind = self._vocabulary.work[job.work]
        if kind.does == "roll a truck out":
            others = [one for one in sorted(self._trial.jobs) if one != job and self._truck(one) == truck]
            reason = why or tuple(dict.fromkeys(one.work for one in others))
            self._drafts.add(f"out {truck}", "lift and roll out", truck, Said(
                "roll out", f"disconnect, lift the body and roll out {label}", label, reason, price=price,
                lead=price.lead, hazards=_ROLLING,
            ))  # fmt: skip
            back = Said(
                "roll back",
                f"roll {label} back, lower the body, lock the retention, reconnect",
                label,
                (),
                hazards=_ROLLING,
            )
            self._drafts.add(f"back {truck}", "roll back and lower", truck, back)
            return
        at_kind = self._standing.parts[job.at[0]].kind if job.at[0] in self._standing.parts else kind.on[0]
        stage = kind.stages[at_kind]
        lead, cost = price.lead, price.cost
        details: list[Detail] = []
        what = job.work
        if job.serial:
            off = fitted_now(self._start.car).get(int(self._start.parts[job.at[0]].position), "")
            on = "a wheelset to be bought" if job.bought else job.serial
            what = f"{job.work}: {on} on, {off} off"
            if not job.bought:
                details.extend(Detail("measure first", one.words) for one in measured(self._start, truck, job.serial))
        for name in (*price.parts, *((WHEELSET,) if job.bought else ())):
            part, note = self.costs.part(name, bought=job.bought and name == WHEELSET)
            details.append(Detail("part", note))
            lead = max(lead, part.lead)
            cost = cost if part.cost is None else (cost or Fraction(0)) + part.cost
        if job.bought:
            details.extend(like_words(self._start, self._trial.judgement, job))
        details.extend(bought_words(bought))
        if kind.does == "turn wheels":
            details.extend(rim_words(self._trial.first, job))
        told = Said(
            "job", what, label, why, tuple(details), Price(cost, price.hours, price.days, lead), lead,
            hazards=kind.hazards,
        )  # fmt: skip
        self._drafts.add(f"job {job.work} {job.at} {job.serial}", stage, truck, told)

    def _truck(self, job: Job) -> str:
        return truck_of(job.at[0], self._standing) or ""

    def _readings(self, rows: list[Row]) -> None:
        groups: dict[tuple[Stage, str, date | None], list[Row]] = {}
        for row in rows:
            first = (row.part, row.attribute.name) in self._early
            truck = "" if first else truck_of(row.part, self._standing) or ""
            late = row.not_before if row.not_before is not None and row.not_before > self._day else None
            if first:  # by the name that the part has before the work: a wheelset at hand is under no axle yet
                row = replace(row, label=self._start.parts[row.part].label)
            stage: Stage = "read first" if first else "read anew"
            groups.setdefault((stage, truck, late), []).append(row)
        for (stage, truck, late), own in groups.items():
            label = self._standing.parts[truck].label if truck else "the car"
            why = tuple(dict.fromkeys(title for row in own for title in row.why))
            what = f"{len(own)} reading{'' if len(own) == 1 else 's'}"
            told = Said("reading", what, label, why, lines_of(own), not_before=late)
            self._drafts.add(f"{stage} {truck} {late}", stage, truck, told)

    def _tests(self, rows: list[Row]) -> None:
        by_test: dict[tuple[str, date | None], list[Row]] = {}
        for row in rows:
            late = row.not_before if row.not_before is not None and row.not_before > self._day else None
            by_test.setdefault((row.attribute.label, late), []).append(row)
        for (name, late), own in by_test.items():
            kind = self._vocabulary.tests[name]
            price = self.costs.test(name, len(own))
            why = tuple(dict.fromkeys(title for row in own for title in row.why))
            told = Said(
                "test", name, joined_labels(row.label for row in own), why, (), price, price.lead, late, kind.hazards
            )
            stage: Stage = "tests of the whole car" if kind.whole_car else "tests of parts"
            self._drafts.add(f"test {name} {late}", stage, "", told)

    def _spare(self, spare: Spare) -> None:
        before = next((one for one in self._start.car.spares if one.id == spare.id), None)
        more = spare.carried - (before.carried if before is not None else 0)
        name = spare.serial or spare.name
        hazards = self._vocabulary.spares[spare.name].hazards
        if before is not None:
            told = Said("spare", f"take along {more} × {name} from the shelf", "the car", (), hazards=hazards)
        else:
            price, note = self.costs.part(spare.name, bought=True)
            told = Said(
                "spare", f"buy and take along {more} × {name}", "the car", (), (Detail("part", note),), price,
                price.lead,
                hazards=hazards,
            )  # fmt: skip
        self._drafts.add(f"spare {spare.id}", "spares that ride along", "", told)
