"""What would make the car ready, as a section of a page: sets of work, then dates."""

from collections.abc import Iterable

from carknocker.dossier.writing.page import Block, Bullets, Item, Paragraph, Section
from carknocker.questions.counterfactual.model import Dates, JobSaid, Otherwise, Sets, Stands, WorkSet
from carknocker.questions.counterfactual.words import window_words
from carknocker.wording.parts import compact_labels

_MOST = 6


def otherwise_section(answer: Otherwise) -> Section:
    """The section; every line of it was found by judging."""
    return Section("What would make it ready", (_work(answer.work), _dates(answer.dates)))


def _work(sets: Sets) -> Item:
    blocks: list[Block] = []
    if sets.sets and any(one.jobs for one in sets.sets):
        assumed = f", if {sets.assumed:,} readings, tests and papers turn out good" if sets.assumed else ""
        clears = "clears all that work can clear" if sets.beyond else "makes the car ready"
        each = "This set" if len(sets.sets) == 1 else "Each of these sets"
        blocks.append(Paragraph(f"{each} {clears}{assumed}; no job of it can be left out."))
        blocks.append(Bullets(tuple(map(_set, sets.sets))))
        more = "There are more sets than these. " if sets.more else ""
        blocks.append(Paragraph(f"{more}In workable order, with days: `carknocker plan CAR`."))
    elif sets.sets:
        blocks.append(Paragraph(f"No work: {sets.assumed:,} readings, tests and papers, if they turn out good."))
    elif sets.more:
        blocks.append(Paragraph("The search for sets of work ended before one was found."))
    elif not sets.beyond:
        blocks.append(Paragraph("No set of the work on offer suffices."))
    if sets.beyond:
        blocks.append(Paragraph("No work on offer clears:"))
        blocks.append(Bullets(_stands(sets.beyond)))
    if sets.left:
        besides = " besides" if sets.beyond else ""
        blocks.append(Paragraph(f"The set of work that leaves least leaves{besides}:"))
        blocks.append(Bullets(_stands(sets.left)))
    return Item("Work", tuple(blocks))


def _set(one: WorkSet) -> str:
    return "; ".join((*map(_job, one.jobs), *one.provisos))


def _job(job: JobSaid) -> str:
    return f"{job.work} at {compact_labels(job.labels)}" + (f" ({job.serial})" if job.serial else "")


def _dates(dates: Dates) -> Item:
    tried = (
        f"departures from {dates.first_tried.isoformat()} to {dates.last_tried.isoformat()}, and every earlier return, "
        "with the record as it stands"
    )
    lines = []
    if dates.back_by is not None:
        lines.append(f"ready if back by {dates.back_by.isoformat()}, leaving as planned")
    lines.extend(f"ready {window_words(one)}" for one in (dates.earlier, dates.later) if one is not None)
    if lines:
        return Item("Dates", (Bullets(tuple(lines)), Paragraph(f"Tried: {tried}.")))
    if not dates.whatever:
        return Item("Dates", (Paragraph(f"No date helps; tried: {tried}. On each of them something else stands."),))
    return Item(
        "Dates",
        (Paragraph(f"No date helps; tried: {tried}. On every one of them stands:"), Bullets(_stands(dates.whatever))),
    )


def _stands(found: Iterable[Stands]) -> tuple[str, ...]:
    lines = [f"{one.title}: {compact_labels(one.labels)}" if one.labels else one.title for one in found]
    more = len(lines) - _MOST
    return (*lines[:_MOST], *((f"and {more:,} more",) if more > 0 else ()))
