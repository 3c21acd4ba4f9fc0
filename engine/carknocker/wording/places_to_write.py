"""Where a value is written and what may stand there: the key, its section, its words."""

from collections.abc import Iterable, Iterator

import msgspec

from carknocker.quantities import DIMENSIONS
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import MOVE_KINDS

_ONE_LINE = 150
_FEWEST_OF_A_CHOICE = 2


class Wanted(msgspec.Struct, frozen=True):
    """A value to be written: an attribute of a kind of part, or a further fact of the test or paper that it is."""

    kind: str
    attribute: Attribute
    fact: Attribute | None = None


def lines_to_write(wanted: Iterable[Wanted]) -> tuple[str, ...]:
    """``Write under `couplers:` on a dated sheet: `knuckle_condition` (sound, worn, cracked, broken)``, a sentence for
    each place. A long list is cut, and says which command shows the rest."""
    by_place: dict[tuple[str, str], list[str]] = {}
    for one in wanted:
        by_place.setdefault((place_to_write(one.kind, one.attribute), one.kind), []).append(_key(one))
    return tuple(
        f"Write {place}: {_as_far_as_fits(list(dict.fromkeys(keys)), kind, _ONE_LINE - len(place))}"
        for (place, kind), keys in by_place.items()
    )


def place_to_write(kind: str, attribute: Attribute) -> str:
    """``under `couplers:` on a dated sheet``."""
    if attribute.type == "test":
        return "under `tests:`"
    if attribute.type == "paper":
        return "under `papers:`"
    if attribute.name == "log":
        return "at the top of the record"
    section = load_vocabulary().kinds[kind].section
    if kind in MOVE_KINDS:
        return f"under `{section}:` in the move file"
    return f"under `{section}:`" + ("" if attribute.description else " on a dated sheet")


def words_of(attribute: Attribute) -> tuple[str, ...]:
    """The words that it may say; none for what is no choice."""
    if attribute.type == "yes or no":
        return ("yes", "no")
    return ("passed", "failed") if attribute.type == "test" else attribute.one_of


def written_as(attribute: Attribute) -> str:
    """What a value looks like: `yes, no`; `a length such as 1-1/16 in`."""
    words = words_of(attribute)
    if words:
        return ("several of: " if attribute.type == "list of" else "") + ", ".join(words)
    if attribute.type in DIMENSIONS:
        return f"a {attribute.type} such as {DIMENSIONS[attribute.type].example}"
    if attribute.counts:
        return "a whole number, or none fitted"
    return {
        "count": "a whole number", "period": "a period such as 12 months", "date": "a day such as 2026-09-12",
        "list of": "several words", "identity": "a mark or number, as it is written there", "text": "a few words",
    }.get(attribute.type, attribute.type)  # fmt: skip


def command_for(kind: str) -> str:
    """`carknocker words coupler`: the command that lists the keys of a kind."""
    return f"carknocker words {kind}" if " " not in kind else f"carknocker words '{kind}'"


def entry_of_test(test: str) -> str:
    """``under `tests:` `{test: hand brake test, at: …, on: …, by: …, result: passed}` ``."""
    known = load_vocabulary().tests.get(test)
    single = known is None or load_vocabulary().kinds[known.on].positions == "single"
    return f"under `tests:` `{{test: {test}, {'' if single else 'at: …, '}on: …, by: …, result: passed}}`"


def entry_of_spare(spare: str) -> str:
    """``under `spares:` `{spare: service portion, carried: 1, control_valve: …}` ``."""
    known = load_vocabulary().spares.get(spare)
    facts = "" if known is None or known.thing else "".join(f", {name}: …" for name in known.fits)
    if known is not None and known.thing:
        section = load_vocabulary().kinds[known.thing].section
        return f"under `{section}:` `{{where: carried, …}}`"
    return f"under `spares:` `{{spare: {spare}, carried: 1{facts}}}`"


def _key(one: Wanted) -> str:
    attribute = one.attribute if one.fact is None else one.fact
    if one.attribute.type in ("test", "paper"):
        name = f"{one.attribute.type}: {one.attribute.label}"
        return f"`{name}`" if one.fact is None else f"`{name}` with {_with_words(attribute)}"
    return _with_words(attribute)


def _with_words(attribute: Attribute) -> str:
    words = words_of(attribute)
    if attribute.counts:
        words = ("a number", "none fitted")
    return f"`{attribute.name}`" + (f" ({', '.join(words)})" if len(words) >= _FEWEST_OF_A_CHOICE else "")


def _as_far_as_fits(keys: list[str], kind: str, room: int) -> str:
    shown: list[str] = []
    for key in _bare_if_long(keys, room):
        if shown and len(", ".join((*shown, key))) > room:
            break
        shown.append(key)
    more = len(keys) - len(shown)
    return ", ".join(shown) + (f" and {more} more: `{command_for(kind)}`" if more else "")


def _bare_if_long(keys: list[str], room: int) -> Iterator[str]:
    """Each key with its words; without them where its words alone would fill the line."""
    for key in keys:
        yield key if len(key) <= room else key.partition(" (")[0]
