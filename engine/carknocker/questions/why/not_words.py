"""Causes and what follows from them, as written, in words."""

from collections.abc import Callable

from carknocker.judgement.restrictions import restriction_words
from carknocker.judgement.wording import clause_words
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.words import duty_words, listed
from carknocker.rulebook.model import CarriesUp, Cause, Relieves, Requires, Restricts, Withdraws, Yield


def cause_words(cause: Cause, asked: Asked) -> str:
    """A cause as written: `work: wheelset renewed or wheelset moved`."""
    return cause_as_written(cause, asked.title)


def cause_as_written(cause: Cause, title: Callable[[str], str]) -> str:
    """A cause in words; `title` says what a rule is called by its id."""
    names = " or ".join(cause.names)
    criteria = " or ".join(f"“{title(one)}”" for one in cause.criteria)
    on = f" on a {cause.of}" if cause.of else ""
    narrowed = f", where {clause_words(cause.when)}" if cause.when is not None else ""
    match cause.sort:
        case "work" | "event":
            return f"{cause.sort}: {names}{on}{narrowed}"
        case "state":
            return f"a {cause.of or 'car'} is so: {clause_words(cause.when) if cause.when is not None else 'always'}"
        case "test":
            return f"a valid, passed {names}{narrowed}"
        case "leave":
            return f"a written leave of the host{narrowed}"
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
            return f"an open duty{f' of {open_}' if open_ else ''}{on}{narrowed}"


def yield_words(given: Yield, title: Callable[[str], str]) -> str:
    """What follows, as written."""
    match given:
        case Withdraws(test, readings, of):
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
    """The cause is there, and yet nothing follows from it: what it would have needed."""
    match given:
        case Withdraws(test, readings, of):
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
    """How old its answer may be, how often it comes round, within what it is done first."""
    words = "" if given.within is None else f", not older than {given.within}"
    if given.every:
        words += f", every {' or '.join(str(occasion) for occasion in given.every)}"
    if given.within_first is not None:
        words += f", within the first {given.within_first}"
    return words
