"""`words`: what may be written of a kind of part, where, and what people call it."""

from collections.abc import Iterator

import msgspec

from carknocker.documents import nearest
from carknocker.judgement.names import NotFound
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute, Kind, Vocabulary
from carknocker.vocabulary.other_names import names_of_attributes, names_of_entries, names_of_kinds, names_of_words
from carknocker.wording.places_to_write import place_to_write, written_as


class KeyToWrite(msgspec.Struct, frozen=True):
    """A key, where it is written, what it means, what may stand there, and what people call it. measured: how it is
    read. called: other names of the key; words: each word with its other names, where it has some."""

    key: str
    place: str
    label: str
    says: str
    measured: str
    called: tuple[str, ...]
    words: tuple[tuple[str, tuple[str, ...]], ...]


class Words(msgspec.Struct, frozen=True):
    """What was asked, what it was taken for, and its keys. of: a part, a test, a paper, a job, an event, a spare."""

    asked: str
    of: str
    keys: tuple[KeyToWrite, ...]


def words_of_name(asked: str) -> Words:
    """What may be written under a name: `bearing`, `bearing.class`, `single-car brake test`, or what people call it.

    Raises NotFound, with the nearest right word, for a name that means nothing.
    """
    vocabulary = load_vocabulary()
    name = asked.strip()
    owner, dot, key = name.rpartition(".")
    kind = _kind(owner if dot else name, vocabulary)
    if kind is not None:
        keys = tuple(_keys(kind, key if dot else ""))
        return Words(name, kind.name, keys)
    entry = _entry(name, vocabulary)
    if entry is not None:
        return Words(name, entry, tuple(_facts(entry, vocabulary)))
    named = [(one, kind) for kind in vocabulary.kinds.values() for one in _written(kind) if one.name == name]
    if named:
        return Words(name, name, tuple(_key(one, kind) for one, kind in named))
    every_key = (one for kind in vocabulary.kinds.values() for one in kind.attributes)
    known = dict.fromkeys((*vocabulary.kinds, *_entries(vocabulary), *every_key))
    called = {**names_of_entries(), **names_of_kinds()}
    raise NotFound("part, key, test, paper, job, event or spare", name, known, "in the vocabulary", called)


def every_name() -> Words:
    """The kinds of part, each with its section and other names."""
    called = names_of_kinds()
    return Words(
        "",
        "",
        tuple(
            KeyToWrite(
                kind.name,
                f"`{kind.section}:`",
                kind.label,
                f"{len(list(_written(kind)))} keys",
                "",
                called.get(kind.name, ()),
                (),
            )  # fmt: skip
            for kind in load_vocabulary().kinds.values()
        ),
    )


def _kind(name: str, vocabulary: Vocabulary) -> Kind | None:
    spaced = name.replace("_", " ")
    for kind in vocabulary.kinds.values():
        if name in (kind.name, kind.section) or spaced == kind.name:
            return kind
    meant = nearest(name, vocabulary.kinds, names_of_kinds())
    exact = any(name.casefold() == one.casefold() for one in names_of_kinds().get(meant, ()))
    return vocabulary.kinds[meant] if meant and exact else None


def _entries(vocabulary: Vocabulary) -> list[str]:
    listed = (vocabulary.tests, vocabulary.papers, vocabulary.work, vocabulary.events, vocabulary.spares)
    return [name for names in listed for name in names]


def _entry(name: str, vocabulary: Vocabulary) -> str | None:
    known = _entries(vocabulary)
    if name in known:
        return name
    meant = nearest(name, known, names_of_entries())
    exact = any(name.casefold() == one.casefold() for one in names_of_entries().get(meant, ()))
    return meant if meant and exact else None


def _written(kind: Kind) -> Iterator[Attribute]:
    """What a person may write of the kind: not what is worked out, nor tests and papers."""
    return (one for one in kind.attributes.values() if not one.derived and one.type not in ("test", "paper"))


def _keys(kind: Kind, key: str) -> Iterator[KeyToWrite]:
    written = {one.name: one for one in _written(kind)}
    if key and key not in written:
        raise NotFound("key", key, written, f"of {kind.name}", names_of_attributes(kind))
    yield from (_key(one, kind) for name, one in written.items() if name == key or not key)


def _key(one: Attribute, kind: Kind) -> KeyToWrite:
    called = names_of_words(one) if one.type in ("one of", "list of") else {}
    return KeyToWrite(
        one.name,
        place_to_write(kind.name, one),
        one.label,
        written_as(one),
        one.measured,
        tuple(name for name in names_of_attributes(kind)[one.name] if name != one.short_label),
        tuple((word, tuple(names)) for word, names in called.items() if names),
    )


def _facts(name: str, vocabulary: Vocabulary) -> Iterator[KeyToWrite]:
    """The keys of an entry of the record: the one that names it, and its facts."""
    sorts = (
        (vocabulary.tests, "tests", "test"), (vocabulary.papers, "papers", "paper"), (vocabulary.work, "work", "did"),
        (vocabulary.events, "events", "happened"), (vocabulary.spares, "spares", "spare"),
    )  # fmt: skip
    for entries, section, key in sorts:
        entry = entries.get(name)
        if entry is not None:
            yield KeyToWrite(key, f"under `{section}:`", name, name, "", names_of_entries().get(name, ()), ())
            for one in entry.facts.values():
                yield KeyToWrite(one.name, f"under `{section}:`", one.label, written_as(one), one.measured, (), ())
