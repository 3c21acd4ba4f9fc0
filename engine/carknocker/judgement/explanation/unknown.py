"""Why a comparison can't be settled on what is seen."""

from datetime import date

from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.situation import Situation, accepted_by_host
from carknocker.judgement.wording import path_words, requirement_words, value_words
from carknocker.record.model import Evidence
from carknocker.record.values import NotAccessible
from carknocker.workings import Worked


def why_unknown(leaf: CompiledComparison, sight: PartView) -> str:
    """Why one comparison can't be settled on what is seen: `flange thickness: not read`."""
    path = leaf.comparison.path
    label = path_words(path)
    situation = sight.situation
    held = leaf.get(sight)
    if held is not None:
        limit = (
            None if leaf.comparison.word in ("within", "in_force", "shown") else limit_getter(leaf.comparison)(sight)
        )
        if limit is None and leaf.comparison.word not in ("within", "in_force", "shown"):
            return f"{label}: its limit ({requirement_words(leaf.comparison)}) is not on record"
        return f"{label}: {value_words(held.value)} does not settle it"
    key = situation.owner(sight.key, path.owner) if path.owner else sight.key
    if key is None:
        return f"{label}: there is no {path.owner}"
    if path.attribute.derived:
        return f"{label} {_why_not_worked(leaf, sight, key)}"
    entries = situation.standing.evidence.get(key, {}).get(path.attribute.name, ())
    if not entries:
        return f"{label}: nothing on record" if path.attribute.type in ("test", "paper") else f"{label}: not read"
    if path.fact is not None and situation.view(key, shop=sight.shop).get(path.attribute.name) is not None:
        return f"{label}: not on record"
    return f"{label}: {_why_not_counted(entries[-1], sight, situation)}"


def _why_not_worked(leaf: CompiledComparison, sight: PartView, key: str) -> str:
    situation, attribute = sight.situation, leaf.comparison.path.attribute
    worked = situation.work_out(key, attribute, shop=sight.shop)
    if isinstance(worked, Worked):
        days = [one.on for one in worked.used if one.sort == "reading" and one.on is not None]
        oldest = min(days, default=None)
        return f"rests on a reading of {oldest}, too old on {sight.day.isoformat()}"
    named = f"{worked.attribute.replace('_', ' ')} of {worked.part} {worked.reason}"
    if sight.shop and isinstance(situation.work_out(key, attribute), Worked):
        return f"can't be worked out from what persons accepted by {situation.move.host} read: {named}"
    return f"can't be worked out: {named}"


def _why_not_counted(evidence: Evidence, sight: PartView, situation: Situation) -> str:
    excluded = situation.excluded.get(evidence.id)
    if excluded:
        return excluded
    if isinstance(evidence.value, NotAccessible):
        return value_words(evidence.value)
    on: date | None = evidence.on
    host = situation.move.host
    if (sight.shop or evidence.sort == "test") and on is not None and not accepted_by_host(evidence.by, host, on):
        who = evidence.by.name if evidence.by is not None else "nobody named"
        return f"{value_words(evidence.value)}, {on.isoformat()}, by {who}, whom {host} does not accept for that day"
    if sight.oldest is not None and on is not None and on < sight.oldest:
        return f"{value_words(evidence.value)} of {on.isoformat()} is too old on {sight.day.isoformat()}"
    return "not read"
