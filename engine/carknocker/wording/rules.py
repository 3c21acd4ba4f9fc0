"""The content of a rulebook in words: rules, causes, consequences, examples, remedies."""

from collections.abc import Callable, Mapping

from carknocker.documents import listed
from carknocker.judgement.restrictions import restriction_words
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.value_words import value_words
from carknocker.record.values import Value
from carknocker.rulebook.model import (
    CarriesUp,
    Cause,
    ConsequenceExample,
    Criterion,
    Example,
    Relieves,
    Remedy,
    Requires,
    Restricts,
    Voids,
    Yield,
)
from carknocker.wording.duties import duty_words
from carknocker.wording.limits import clause_words
from carknocker.wording.sources import place_words


def rule_words(criterion: Criterion) -> str:
    """A rule as a wheel shop reads it: title, requirement, where it applies, source."""
    when = f", where {clause_words(criterion.when)}" if criterion.when is not None else ""
    return f"{criterion.title}: {clause_words(criterion.must)}{when} ({place_words(criterion.source)})"


def cause_words(cause: Cause, title: Callable[[str], str]) -> str:
    """A cause as written: `work: wheelset renewed or wheelset moved`. title: id → title of a rule."""
    names = " or ".join(cause.names)
    criteria = " or ".join(f"“{title(one)}”" for one in cause.criteria)
    on = f" on a {cause.of}" if cause.of else ""
    narrowed = f", where {clause_words(cause.when)}" if cause.when is not None else ""
    match cause.sort:
        case "work" | "event":
            return f"{cause.sort}: {names}{on}{narrowed}"
        case "state":
            if cause.when is None:
                return f"always, for each {cause.of}"
            return f"a {cause.of or 'car'} is so: {clause_words(cause.when)}"
        case "test":
            return f"a valid, passed {names}{narrowed}"
        case "leave":
            return f"a written permission of the host{narrowed}"
        case "finding":
            verdict = " or ".join(cause.verdicts) if cause.verdicts else "unmet"
            effect = f", its effect {cause.effect} standing" if cause.effect else ""
            return f"{criteria or 'a finding'}{on} is {verdict}{effect}{narrowed}"
        case "seen":
            return f"a reading beyond the limit of {criteria}, whenever it was made{narrowed}"
        case "unfit":
            return f"an unfit {names}{narrowed}"
        case "restricted":
            return f"a restriction of the {names}{narrowed}"
        case "duty":
            open_ = " or ".join(f"“{title(one)}”" for one in cause.names)
            return f"a duty not done{f' of {open_}' if open_ else ''}{on}{narrowed}"


def yield_words(given: Yield, title: Callable[[str], str]) -> str:
    """What follows from a cause, as written."""
    match given:
        case Voids(test, readings, of):
            what = [test] if test else [name.replace("_", " ") for name in readings]
            return f"void: {listed(what)} of the {of}"
        case CarriesUp(kinds):
            return f"unfit: {listed(kinds)}"
        case Requires():
            each = ", one for each" if given.each else ""
            routine = ", routine" if given.routine else ""
            asked = f"{duty_words(given)}{_timing(given)}{each}{routine}"
            return f"required of the {given.of}, {given.when}: {asked} ({given.effect})"
        case Restricts(restrictions):
            return f"restricted: {'; '.join(restriction_words(one) for one in restrictions)}"
        case Relieves():
            return f"relieved for {given.purpose}: {_relieved(given, title)}{_leaves(given)}"


def _relieved(given: Relieves, title: Callable[[str], str]) -> str:
    if given.finding_same:
        return "that finding"
    named = ["what the leave names"] if given.named else []
    rules = [f"“{title(one)}”" for one in (*given.criteria, *given.consequences)]
    return listed([*named, *rules]) + (f" on the {given.of}" if given.of else "")


def _leaves(given: Relieves) -> str:
    return f", leaving {'; '.join(restriction_words(one) for one in given.leaves)}" if given.leaves else ""


def nothing_reached(given: Yield) -> str:
    """Why nothing follows although the cause is there: what the consequence would have needed."""
    match given:
        case Voids(test, readings, of):
            what = test or listed(name.replace("_", " ") for name in readings)
            return f"the cause holds, but no {what} of the {of} is on record from before it: nothing to make void"
        case CarriesUp(kinds):
            return f"the cause holds, but it is in no {' and no '.join(kinds)}"
        case Requires(of=of):
            return f"the cause holds, but it reaches no {of} of the car"
        case Relieves():
            return "the cause holds, but it relieves nothing here: no such rule, or law that may not be relaxed"
        case Restricts():
            return "the cause holds"


def _timing(given: Requires) -> str:
    """How old the answering test may be, how often the duty comes round, within what it is first due."""
    words = "" if given.within is None else f", not older than {given.within}"
    if given.every:
        words += f", every {' or '.join(str(occasion) for occasion in given.every)}"
    if given.within_first is not None:
        words += f", within the first {given.within_first}"
    return words


def example_words(example: Example | ConsequenceExample) -> str:
    """An example with its result: `flange_thickness: 7/8 in: breached`."""
    if isinstance(example, Example):
        said: list[str] = [example.verdict]
        if example.clears is not None:
            said.append(f"cleared by {', '.join(example.clears) or 'nothing'}")
    else:
        said = [example.following]
        if example.due_after is not None:
            said.append(f"due {example.due_after} after departure")
    if example.capped_at is not None:
        said.append(capped_words(example.capped_at))
    if example.times is not None:
        said.append(times_words(example.times))
    return f"{given_words(example)}: {'; '.join(said)}"


def given_words(example: Example | ConsequenceExample) -> str:
    """What an example gives: `flange_thickness: 7/8 in`; if nothing, it says so."""
    words = [f"{name}: {value_words(value)}" for name, value in example.given.items()]
    words.extend(f"{name} aged {period}" for name, period in example.ages.items())
    words.extend(f"{name} with {period} left" for name, period in example.left.items())
    words.extend(f"{name} {write_quantity(miles)} ago" for name, miles in example.miles_ago.items())
    words.extend(f"a {kind} inside ({_given_words(given)})" for kind, given in example.parts)
    if isinstance(example, ConsequenceExample):
        words[:0] = [example.happened] if example.happened else []
        if example.answered_by is not None:
            words.append(f"the test made {example.answered_by} ago")
        if example.move_runs is not None:
            words.append(f"the move runs {write_quantity(example.move_runs)}")
    if example.move_lasts.days or example.move_lasts.months:
        words.append(f"the move lasts {example.move_lasts}")
    return "; ".join(words) if words else "nothing given"


def _given_words(given: Mapping[str, Value]) -> str:
    return ", ".join(f"{name}: {value_words(value)}" for name, value in given.items()) or "nothing given"


def capped_words(speed: Quantity | None) -> str:
    """The speed that remains allowed: `at most 50 mph`."""
    return "no speed" if speed is None else f"at most {write_quantity(speed)}"


def times_words(number: int) -> str:
    """How often a duty falls due on the way."""
    return f"due {number} time{'' if number == 1 else 's'} on the way"


def remedy_words(remedy: Remedy) -> str:
    """A remedy with its condition."""
    condition = f", if {clause_words(remedy.condition)}" if remedy.condition is not None else ""
    return f"{remedy.work}{condition}" + (f" ({remedy.note})" if remedy.note else "")
