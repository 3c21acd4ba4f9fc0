"""The plan of a car's work with its jobs as boxes to tick, and the form that is made of the ticked ones. Runs in worker
processes."""

import json
from collections.abc import Mapping
from datetime import date

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.record.model import CarRecord
from carknocker.service.asked import Sources, checked, in_plain_words
from carknocker.whatif.work.model import Job


class FactField(msgspec.Struct, frozen=True):
    """What is said of a job that was done. words: those that are allowed. value: what is likely."""

    key: str
    label: str
    words: tuple[str, ...] = ()
    unit: str = ""
    value: str = ""


class JobBox(msgspec.Struct, frozen=True):
    """A job to tick. did, at: as the work log has it; name: by which its box is known again while the plan changes."""

    name: str
    did: str
    at: str
    facts: tuple[FactField, ...]


class StepLine(msgspec.Struct, frozen=True):
    """A step of the plan as its page says it. job: None for one that is not ticked."""

    number: int
    heading: str
    rows: tuple[tuple[str, str], ...]
    job: JobBox | None


class PlanToTick(msgspec.Struct, frozen=True):
    """mark: of the car. verdict, beside: what the plan comes to, and what limits that. done: the work log, the newest
    first."""

    mark: str
    verdict: str
    beside: tuple[str, ...]
    steps: tuple[StepLine, ...]
    people: tuple[str, ...]
    done: tuple[str, ...]


def plan_to_tick(sources: Sources) -> PlanToTick:
    """Raises Refused."""
    from carknocker.page.model import Rows
    from carknocker.questions.plan.ask import plan
    from carknocker.questions.plan.page import beside_verdict, step_item, verdict_words
    from carknocker.wording.evidence import work_with_parts

    with in_plain_words():
        answer = checked(sources)
        car = answer.judgement.car
        said = plan(answer)
        steps: list[StepLine] = []
        for step in said.steps:
            item = step_item(step, said)
            rows = tuple(row for block in item.blocks if isinstance(block, Rows) for row in block.rows)
            job = None if step.job is None else _box(step.job, answer, sources.day)
            steps.append(StepLine(step.number, item.heading, rows, job))
        newest = sorted((one for one in car.work if not one.event), key=lambda one: one.on, reverse=True)
        done = tuple(work_with_parts(one) for one in newest)
        return PlanToTick(
            car.mark, str(verdict_words(said)), beside_verdict(said), tuple(steps), tuple(car.people), done
        )


def _box(job: Job, answer: CheckAnswer, day: date) -> JobBox:
    from carknocker.forms.entries import SORTS, place_on_a_form
    from carknocker.forms.rows import row_for
    from carknocker.vocabulary import load_vocabulary

    parts = answer.judgement.parts
    standing = answer.judgement.situation.standing
    at = ", ".join(place_on_a_form(parts[key], standing) for key in job.at if key in parts)
    kind = load_vocabulary().work[job.work]
    facts: list[FactField] = []
    if kind.moves_wheelsets:
        likely = _wheelsets(job, answer.judgement.car, answer)
        for field in SORTS["job"].fields:
            if field.key in ("off", "fitted", "end_for_end"):
                facts.append(FactField(field.key, field.label, field.words, "", likely.get(field.key, "")))
    for fact in kind.facts.values():
        row = row_for(0, "job", fact, "decides now", "entry")
        facts.append(FactField(fact.name, row.label, row.words, row.unit))
    return JobBox(f"{job.work} at {at}", job.work, at, tuple(facts))


def _wheelsets(job: Job, car: CarRecord, answer: CheckAnswer) -> Mapping[str, str]:
    from carknocker.whatif.hypothetical_car import fitted_now

    position = answer.judgement.parts[job.at[0]].position
    off = fitted_now(car).get(int(position), "") if position.isdigit() else ""
    return {"off": off, "fitted": "" if job.bought else job.serial}


class DoneJob(msgspec.Struct, frozen=True):
    """A job that was ticked. said: the further facts."""

    box: JobBox
    said: tuple[tuple[str, str], ...]


class FormOfJobs(msgspec.Struct, frozen=True):
    """A form in YAML made of the ticked jobs. lines: first and last line of each, and its name."""

    text: str
    lines: tuple[tuple[int, int, str], ...]


def form_of_jobs(mark: str, on: str, by: str, jobs: tuple[DoneJob, ...]) -> FormOfJobs:
    """The form that `enter` reads, with a sheet for each job, so that what is wrong with one holds no other."""
    from carknocker.forms.rows import with_unit
    from carknocker.forms.text_forms import FORM, LAST_LINE

    rows = [f"format: {FORM}", f"car: {json.dumps(mark)}", "sheets:"]
    lines: list[tuple[int, int, str]] = []
    for one in jobs:
        first = len(rows) + 1
        rows += [f"  - sheet: {json.dumps(one.box.name)}", "    readings:", "      job 1:"]
        units = {fact.key: fact.unit for fact in one.box.facts}
        said = {"did": one.box.did, "at": one.box.at, "on": on, "by": by}
        said |= {key: with_unit(value, units.get(key, "")) for key, value in one.said}
        rows += [f"        {key}: {json.dumps(value)}" for key, value in said.items() if value]
        lines.append((first, len(rows), one.box.name))
    rows.append(f"{LAST_LINE}: yes")
    return FormOfJobs("\n".join(rows) + "\n", tuple(lines))
