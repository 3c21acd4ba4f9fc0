"""What a person's word for a part or a rule means: labels, positions, serials; ids in full or short."""

import re
from collections.abc import Iterable

from carknocker.documents import nearest
from carknocker.documents.suggestions import NO_OTHER_NAMES, OtherNames
from carknocker.judgement.model import Judgement
from carknocker.record.model import Part
from carknocker.record.part_keys import serial_of
from carknocker.rulebook.model import Consequence, Criterion, Rulebook
from carknocker.vocabulary.program_names import WHEELSET

_SHOWN = 12


class NotFound(Exception):
    """A word names nothing here. The text is a whole sentence with the nearest right word, or what there is.

    what: `part`, `rule`, `ruleset` or `edition`.
    """

    def __init__(
        self, what: str, found: str, choices: Iterable[str], where: str, other_names: OtherNames = NO_OTHER_NAMES
    ) -> None:
        self.what = what
        self.found = found
        self.choices = tuple(dict.fromkeys(choices))
        self.nearest = nearest(found, self.choices, other_names)
        super().__init__(f"there is no {what} `{found[:80]}` {where}{self._hint()}")

    def _hint(self) -> str:
        if self.nearest:
            return f"; did you mean `{self.nearest}`?"
        if not self.choices:
            return ""
        kind = self.found.split(" ")[0].casefold()
        alike = [one for one in self.choices if " " in one and one.split(" ")[0].casefold() == kind] or self.choices
        more = f" and {len(alike) - _SHOWN} more" if len(alike) > _SHOWN else ""
        return f"; there is {', '.join(alike[:_SHOWN])}{more}"


def find_parts(judgement: Judgement, word: str) -> tuple[Part, ...]:
    """The parts that a word names, in walking order: `truck B`, `L3` (every part at that place), `W-31` (the wheelset
    with what is in it), `bearings` (all of a kind), `car`. Raises NotFound."""
    wanted = _plain(word)
    parts = list(judgement.parts.values())
    labelled = [part for part in parts if wanted in (_plain(part.key), _plain(part.label))]
    serials = [part.position for part in parts if part.kind == WHEELSET]
    serial = next((one for one in serials if wanted in (_plain(one), _plain(f"wheelset {one}"))), "")
    for found in (
        labelled if not any(part.kind == WHEELSET for part in labelled) else [],
        [part for part in parts if serial and serial_of(part.key) == serial],
        [part for part in parts if part.position and wanted == _plain(part.position)],
        [part for part in parts if wanted in (_plain(part.kind), _plain(part.kind) + "s")],
    ):
        if found:
            return tuple(found)
    raise NotFound("part", word, _names(parts), "on this car or in this move")


def _names(parts: list[Part]) -> list[str]:
    return [
        *dict.fromkeys(part.label for part in parts),
        *dict.fromkeys(part.position for part in parts if len(part.position) > 1),
        *dict.fromkeys(part.kind for part in parts),
    ]


def _plain(word: str) -> str:
    return re.sub(r"[\s_]+", " ", word.strip()).casefold().removeprefix("the ")


def find_rules(rulebook: Rulebook, word: str) -> tuple[Criterion | Consequence, ...]:
    """The criteria and consequences that a word names, by their full id, their short one, or their title. A short id
    may stand in several rulesets: all of them. Raises NotFound."""
    wanted = _plain(word)
    rules: tuple[Criterion | Consequence, ...] = (*rulebook.criteria, *rulebook.consequences)
    for found in (
        [rule for rule in rules if _plain(rule.id) == wanted],
        [rule for rule in rules if _plain(rule.name) == wanted],
        [rule for rule in rules if _plain(rule.title) == wanted],
    ):
        if found:
            return tuple(found)
    choices = [rule.id for rule in rules] if "/" in word else [rule.name for rule in rules]
    raise NotFound("rule", word, choices, "in the rulebook of this move")
