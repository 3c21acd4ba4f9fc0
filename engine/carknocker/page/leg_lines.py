"""What must be done during the move, line by line under the leg on which it falls due."""

from carknocker.page.model import Entry
from carknocker.wording.days import days_words, is_span, runs_of
from carknocker.wording.duties import Due, DuringTheMove, LegDuties
from carknocker.wording.parts import compact_labels
from carknocker.wording.sources import place_words


def leg_entries(during: DuringTheMove) -> tuple[Entry, ...]:
    """An entry for each leg with duties, then for duties that may fall due on any leg, then for what the move does not
    say."""
    entries = [Entry(_heading(legs), tuple(leg_line(due) for due in legs.duties)) for legs in during.legs]
    if during.at_any_time:
        entries.append(Entry("On any leg, as it comes about", tuple(leg_line(due) for due in during.at_any_time)))
    if entries and during.undated:
        legs = ", ".join(str(number) for number in during.undated)
        plural = len(during.undated) > 1
        told = (
            f"Leg{'s' if plural else ''} {legs} {'have' if plural else 'has'} no day of departure in the move file. "
            f"Until there is one, duties are placed between the day out, {during.out.isoformat()}, and the return, "
            f"{during.back.isoformat()}. Write `on:` in the leg, and `until:` for the day it arrives."
        )
        entries.append(Entry("Days that are not known", (told,)))
    return tuple(entries)


def leg_name(legs: LegDuties) -> str:
    """`Leg 2`; or `Legs 2 to 4`, when it is one of these and the move does not say which."""
    return f"Leg {legs.first}" if legs.first == legs.last else f"Legs {legs.first} to {legs.last}"


def _heading(legs: LegDuties) -> str:
    days: list[str] = []
    if legs.on is not None and legs.on == legs.until:
        days.append(f"on {legs.on.isoformat()}")
    else:
        days.extend([f"leaves {legs.on.isoformat()}"] if legs.on is not None else [])
        days.extend([f"arrives {legs.until.isoformat()}"] if legs.until is not None else [])
    if legs.stands_until is not None:
        days.append(f"lays over until {legs.stands_until.isoformat()}")
    told = f": {', '.join(days)}" if days else ", on days that the move does not say"
    return f"{leg_name(legs)}, {legs.route}, {legs.miles}{told}"


def moment_words(due: Due) -> str:
    """When it falls due: the days, and what else is known. Empty if the duty's own words say when."""
    by = "by " if due.days and due.latest and not is_span(runs_of(due.days)[0]) else ""
    return ", ".join(word for word in (f"{by}{days_words(due.days)}", due.when) if word)


def leg_line(due: Due) -> str:
    """When, what, on which parts, by whom, and the source."""
    when = moment_words(due)
    lead = f"{when}: " if when else ""
    who = f", by the {due.by}" if due.by == "crew" else ""
    routine = "" if due.routine else " — a condition of the move"
    return f"{lead}{due.asked}: {compact_labels(due.labels)}{who}{routine} ({place_words(due.source)})"
