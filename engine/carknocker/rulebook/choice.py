"""Chooses the editions that bind a move: those in force on its days, or those that the move pins. Also says where
editions come from, as far as a reader should know."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, timedelta

import msgspec

from carknocker.documents import InputRefused, Problem, nearest, some
from carknocker.record.host_names import like_names, same_railroad
from carknocker.record.model import Move
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.model import Edition, Rulebook


def in_force_on(heads: Iterable[EditionHead], day: date) -> tuple[EditionHead, ...]:
    """The editions of one ruleset in force on a day: one, none, or (a fault of the editions) several.

    An edition without `until` is superseded on the day the next one comes into force. With `until`, that is its last
    day in force.
    """
    begun = [head for head in heads if head.in_force <= day]
    newest = max((head.in_force for head in begun), default=day)
    return tuple(
        head for head in begun if (head.in_force == newest if head.until is None else day <= head.until)
    )  # fmt: skip


def overlaps(heads: Iterable[EditionHead]) -> list[Problem]:
    """Pairs of editions of one ruleset that are in force at once: `until` reaches into the next, or both begin on one
    day."""
    found: list[Problem] = []
    ordered = sorted(heads, key=lambda head: (head.in_force, head.name))
    for number, head in enumerate(ordered):
        for later in ordered[number + 1 :]:
            if later.in_force == head.in_force or (head.until is not None and head.until >= later.in_force):
                found.append(_overlap(head, later))
    return found


def the_one_in_force(ruleset: str, heads: Iterable[EditionHead], day: date) -> EditionHead:
    """The edition in force. Raises InputRefused, with the dates, if there is none or more than one."""
    known = sorted(heads, key=lambda head: (head.in_force, head.name))
    found = in_force_on(known, day)
    if len(found) == 1:
        return found[0]
    if len(found) > 1:
        raise InputRefused((_overlap(found[0], found[1]),))
    raise InputRefused((
        Problem(
            known[0].where, f"no edition of {ruleset} in force on {day}: " + "; ".join(h.dates() for h in known),
            f"an edition in force on {day}", remedy="add the edition of that day, or pin one in the move: `editions:`",
        ),
    ))  # fmt: skip


def _overlap(head: EditionHead, later: EditionHead) -> Problem:
    return Problem(
        later.where,
        f"two editions of {head.ruleset} in force at once: {head.dates()}; {later.dates()}",
        f"`until` of edition {head.name} before {later.in_force}, or no `until`: the next edition supersedes it",
        remedy="correct the dates, or pin one edition in the move: `editions:`",
    )


def read_pins(heads: Mapping[str, tuple[EditionHead, ...]], move: Move) -> dict[str, EditionHead]:
    """The editions that a move pins, by ruleset. Raises InputRefused for one that is not at hand."""
    found: dict[str, EditionHead] = {}
    for ruleset, name in move.editions.items():
        if ruleset not in heads:
            raise refused(
                move, f"the pinned ruleset `{ruleset[:60]}`", f"one of {some(heads)}", nearest(ruleset, heads)
            )
        names = [head.name for head in heads[ruleset]]
        if name not in names:
            raise refused(
                move, f"the pinned edition `{name[:60]}` of {ruleset}", f"one of {some(names)}", nearest(name, names)
            )
        found[ruleset] = heads[ruleset][names.index(name)]
    return found


def pin_notes(
    heads: Mapping[str, tuple[EditionHead, ...]], pins: Mapping[str, EditionHead], move: Move
) -> tuple[str, ...]:
    """Notes that say what is pinned, and on which days of the move a pinned edition is not the one in force."""
    notes: list[str] = []
    for ruleset, head in sorted(pins.items()):
        days = [day for day in dict.fromkeys((move.out, move.back)) if head not in in_force_on(heads[ruleset], day)]
        outside = f", which is not in force on {' and '.join(map(str, days))}" if days else ""
        notes.append(f"the move pins edition {head.name} of {ruleset}{outside}")
    return tuple(notes)


def refused(move: Move, found: str, expected: str, near: str = "", remedy: str = "") -> InputRefused:
    """A refusal of a move, at its place in its file."""
    return InputRefused((Problem(move.where, found, expected, near, remedy),))


Heads = Mapping[str, tuple[EditionHead, ...]]
BuildsOn = Callable[[EditionHead], tuple[str, ...]]


class RulebookChoice(msgspec.Struct, frozen=True):
    """The rulebooks of a move. `at_back`: on the day back; None if the same editions are in force."""

    at_out: Rulebook
    at_back: Rulebook | None
    notes: tuple[str, ...]


class ChosenEditions(msgspec.Struct, frozen=True):
    """Heads of the editions of a move, sorted by ruleset."""

    at_out: tuple[EditionHead, ...]
    at_back: tuple[EditionHead, ...]
    notes: tuple[str, ...]
    back: date


def choose(heads: Heads, builds_on: BuildsOn, move: Move) -> ChosenEditions:
    """The editions in force on the day out and on the day back, and those that they build on.

    A pinned edition holds on both days. Raises InputRefused for a host without a circular, two circulars of one host, a
    pin that fits no edition, no edition in force, two in force, or a change that lasts only part of the move.
    """
    pins = read_pins(heads, move)
    at_out = _on(move.out, heads, builds_on, pins, move)
    at_back = _on(move.back, heads, builds_on, pins, move)
    used = {head.ruleset for head in (*at_out, *at_back)}
    for ruleset in pins:
        if ruleset not in used:
            raise refused(
                move, f"an edition of {ruleset} pinned, which does not bind this move", f"one of {some(sorted(used))}"
            )
    for head in at_back:
        _between(heads[head.ruleset], head, at_out, pins, move)
    return ChosenEditions(at_out, at_back, pin_notes(heads, pins, move), move.back)


def latest_change(chosen: ChosenEditions) -> tuple[str, ...]:
    """Which editions come into force between departure and return, in words."""
    return tuple(
        f"edition {head.name} of {head.ruleset} comes into force on {head.in_force}, before the return on "
        f"{chosen.back}: the car is judged by both editions"
        for head in chosen.at_back if head not in chosen.at_out
    )  # fmt: skip


def _on(
    day: date, heads: Heads, builds_on: BuildsOn, pins: Mapping[str, EditionHead], move: Move
) -> tuple[EditionHead, ...]:
    if move.circular:
        host = _host_edition(day, heads, pins, move)
        found = editions_binding([host], day, heads, builds_on, pins)
        problem = beside_the_law(host, found, heads, builds_on)
        if problem is not None:
            raise InputRefused((problem,))
        return found
    _refuse_a_circular_passed_over(day, heads, move)
    start = [
        pins.get(ruleset) or the_one_in_force(ruleset, group, day)
        for ruleset, group in heads.items()
        if _binds_by_itself(pins.get(ruleset), in_force_on(group, day))
    ]
    if without_law(start, heads):
        dates = "; ".join(
            f"{head.ruleset} {head.dates()}" for group in heads.values() for head in group if head.layer == "law"
        )
        raise refused(move, f"no law in force on {day}: {dates or 'no edition of law is here'}",
                       "an edition of that day")  # fmt: skip
    return editions_binding(start, day, heads, builds_on, pins)


def _refuse_a_circular_passed_over(day: date, heads: Heads, move: Move) -> None:
    """`circular: none` is for a host whose circular is not at hand: it passes none over that is in force, of that host
    or of one whose name is so like it that it may be meant, unless the move says that it is not."""
    if not move.host:
        return
    in_force = {head.host: head for group in heads.values() for head in in_force_on(group, day) if head.host}
    for host, head in in_force.items():
        if same_railroad(move.host, host):
            raise refused(
                move, f"`circular: none`, though {head} of {host} is at hand and in force on {day}",
                "`circular: none` only where the host's circular is not at hand", remedy="leave `circular` out",
                near="" if move.host.casefold() == host.casefold() else host,
            )  # fmt: skip
    for host in like_names(move.host, in_force):
        if host not in move.host_is_not:
            raise refused(
                move, f"`circular: none` for the host `{move.host[:60]}`, though {in_force[host]} of {host} is at hand "
                f"and in force on {day}: the two names are much alike",
                f"`host: {host}` without `circular`; or `host_is_not: {host}` where it is another railroad", host,
                f'`carknocker new CAR --add --answer "host_is_not={host}"` writes the latter',
            )  # fmt: skip


def _binds_by_itself(pinned: EditionHead | None, in_force: tuple[EditionHead, ...]) -> bool:
    """Whether an edition binds without a circular. Only the editions in force, or pinned, have a say; those of other
    days do not."""
    if pinned is not None:
        return pinned.layer != "host"
    return any(head.layer != "host" and not head.only_where_named for head in in_force)


def without_law(chosen: list[EditionHead], heads: Heads) -> bool:
    """The refusal if nothing binds, or the law at hand is not in force: there is no rulebook to judge by."""
    law_is_here = any(head.layer == "law" for group in heads.values() for head in group)
    return not chosen or (law_is_here and all(head.layer != "law" for head in chosen))


def beside_the_law(
    host: EditionHead, bound: tuple[EditionHead, ...], heads: Heads, builds_on: BuildsOn
) -> Problem | None:
    """What is wrong with a host's edition that leads to no law although law is at hand: a circular adds to the law and
    never takes its place. bound: all editions that bind with it.

    Law that binds only where it is named is law for the host that names it, and is required of no other.
    """
    if any(head.layer == "law" for head in bound):
        return None
    laws = {ruleset: [head for head in group if head.layer == "law"] for ruleset, group in heads.items()}
    if all(head.only_where_named for group in laws.values() for head in group):
        return None
    below = builds_on(host)
    found = f"{host}, a host's edition, builds on {some(below) if below else 'nothing'}: no law binds with it"
    return Problem(
        host.builds_on_where or host.where, found,
        f"an edition of law in what it builds on: one of {some(ruleset for ruleset, group in laws.items() if group)}",
        remedy="name the law in `builds_on`",
    )  # fmt: skip


def editions_binding(
    start: list[EditionHead], day: date, heads: Heads, builds_on: BuildsOn, pins: Mapping[str, EditionHead]
) -> tuple[EditionHead, ...]:
    """Some editions and all that they build on, as in force on a day; sorted by ruleset.

    Raises InputRefused if one of them is not at hand or not in force.
    """
    found: dict[str, EditionHead] = {}
    waiting = list(start)
    while waiting:
        head = waiting.pop()
        if head.ruleset in found:
            continue
        found[head.ruleset] = head
        for ruleset in builds_on(head):
            if ruleset not in heads:
                raise InputRefused((
                    Problem(head.where, f"{head} builds on `{ruleset[:60]}`, which is not here",
                            f"one of {some(heads)}", nearest(ruleset, heads)),
                ))  # fmt: skip
            waiting.append(pins.get(ruleset) or the_one_in_force(ruleset, heads[ruleset], day))
    return tuple(found[ruleset] for ruleset in sorted(found))


def _host_edition(day: date, heads: Heads, pins: Mapping[str, EditionHead], move: Move) -> EditionHead:
    wanted = move.host.casefold()
    groups = {
        ruleset: group for ruleset, group in heads.items() if any(head.host.casefold() == wanted for head in group)
    } if wanted else {}  # fmt: skip
    if not groups:
        hosts = sorted({head.host for group in heads.values() for head in group if head.host})
        raise refused(
            move, f"the host `{move.host[:60]}`, whose circular is not here",
            f"one of {some(hosts)}" if hosts else "`circular: none` in the move: no host's circular is here",
            nearest(move.host, hosts), "`circular: none` in the move judges by the law and the trade's practice alone",
        )  # fmt: skip
    pinned = [pins[ruleset] for ruleset in groups if ruleset in pins]
    found = pinned or [head for group in groups.values() for head in in_force_on(group, day)]
    if len({head.ruleset for head in found}) > 1:
        raise refused(
            move, f"{len(found)} circulars of {found[0].host} in force on {day}: {', '.join(map(str, found))}",
            "one circular of a host", remedy="pin one in the move: `editions:`",
        )  # fmt: skip
    if pinned:
        return pinned[0]
    ruleset = found[0].ruleset if found else next(iter(groups))
    return the_one_in_force(ruleset, groups[ruleset], day)


def _between(
    group: tuple[EditionHead, ...], at_back: EditionHead, at_out: tuple[EditionHead, ...],
    pins: Mapping[str, EditionHead], move: Move,
) -> None:  # fmt: skip
    """Refuses a move during which an edition is in force only between the two days: nobody would judge by it."""
    if at_back.ruleset in pins:
        return
    before = next((head for head in at_out if head.ruleset == at_back.ruleset), at_back)
    if before is not at_back and before.until is not None and before.until + timedelta(days=1) < at_back.in_force:
        raise refused(
            move, f"no edition of {at_back.ruleset} in force between {before.until} and {at_back.in_force}, during the "
            "move", "an edition in force on every day of it", remedy="correct the dates, or pin one edition",
        )  # fmt: skip
    for head in group:
        if move.out < head.in_force < move.back and head is not at_back and head not in at_out:
            raise refused(
                move, f"edition {head.name} of {head.ruleset} is in force only from {head.in_force} until before the "
                "return", "at most one change of edition during a move", remedy="write the move as two moves",
            )  # fmt: skip


_MOST_NAMED = 6


def origin_notes(rulebook: Rulebook, head_of: Callable[[str, str], EditionHead]) -> Iterator[str]:
    """Notes that say which editions did not come with the program, and what amending editions removed.

    Consequences that an installed edition removed are left out: there the body behind it changed its own rules. What
    an edition from another folder removed is listed in full. head_of: the head of a ruleset's edition, by name.
    """
    for edition in rulebook.editions:
        if not head_of(edition.ruleset, edition.name).installed:
            yield (
                f"{edition.ruleset} {edition.name} is not installed with the program: it comes from a folder of "
                "rulesets beside the car or given with --rules"
            )
        yield from _removals(edition, head_of)


def _removals(edition: Edition, head_of: Callable[[str, str], EditionHead]) -> Iterator[str]:
    by_edition: dict[str, list[str]] = {}
    for one in edition.removed:
        if one.sort == "criterion" or not head_of(edition.ruleset, one.edition).installed:
            by_edition.setdefault(one.edition, []).append(one.name)
    for amending, names in by_edition.items():
        by_way = "" if amending == edition.name else f", by way of edition {amending} that it amends,"
        more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
        yield (
            f"{edition.ruleset} {edition.name}{by_way} removes from what an earlier edition says: "
            f"{', '.join(names[:_MOST_NAMED])}{more}"
        )
