"""What people call parts, readings, words, jobs and tests, so that a message can name the word to write.

Read only where a message needs it."""

from collections.abc import Collection, Mapping
from functools import cache

import msgspec

from carknocker.documents import Node, ProblemList, nearest, read_document
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.attribute_reader import entries_of, named, texts_of
from carknocker.vocabulary.load import OTHER_NAMES_FILE, load_vocabulary
from carknocker.vocabulary.model import Attribute, Kind, Vocabulary

_Names = Mapping[str, tuple[str, ...]]
_KEYS = frozenset(("words", "choices", "attributes", "kinds", "names"))


class OtherNames(msgspec.Struct, frozen=True):
    """Each word with its other names. words: in every choice that has it. choices: by `kind.attribute`. attributes: by
    kind. kinds: of parts. names: of tests, papers, jobs, events, spares, roles."""

    words: _Names
    choices: Mapping[str, _Names]
    attributes: Mapping[str, _Names]
    kinds: _Names
    names: _Names


@cache
def other_names() -> OtherNames:
    """The other names that are installed. Raises InputRefused where the file names what the vocabulary has not."""
    problems = ProblemList()
    file = OTHER_NAMES_FILE
    read = read_other_names(file.read_text(encoding="utf-8"), file.name, load_vocabulary(), problems)
    problems.refuse_if_any()
    return read


def read_other_names(text: str, file: str, vocabulary: Vocabulary, problems: ProblemList) -> OtherNames:
    """The other names that a text says, each of something in the vocabulary; what is not is noted in `problems`."""
    root = read_document(text, file, problems)
    entries = {} if root is None else entries_of(root, _KEYS, "the other names", problems)
    get = entries.get
    choices = {f"{kind.name}.{one.name}": one for kind in vocabulary.kinds.values() for one in kind.attributes.values()}
    every_word = {word for one in choices.values() for word in one.one_of}
    listed = (vocabulary.tests, vocabulary.papers, vocabulary.work, vocabulary.events, vocabulary.spares)
    entry_names = {name for names in listed for name in names} | {*vocabulary.roles}
    return OtherNames(
        _names(get("words"), every_word, "word", problems),
        {
            path: _names(node, choices[path].one_of, "word", problems)
            for path, node in named(get("choices"), "choices", problems)
            if _is_known(node, path, choices, "choice", problems)
        },
        {
            kind: _names(node, vocabulary.kinds[kind].attributes, "attribute", problems)
            for kind, node in named(get("attributes"), "kinds", problems)
            if _is_known(node, kind, vocabulary.kinds, "kind", problems)
        },
        _names(get("kinds"), vocabulary.kinds, "kind", problems),
        _names(get("names"), entry_names, "name", problems),
    )


def _is_known(node: Node, name: str, known: Collection[str], what: str, problems: ProblemList) -> bool:
    if name not in known:
        found = f"the {what} `{name}`, which there is not"
        problems.add(problem_at(node, found, f"a {what} of the vocabulary", nearest(name, known)))
    return name in known


def _names(node: Node | None, known: Collection[str], what: str, problems: ProblemList) -> _Names:
    """Each known word with its other names. One name of two words would be a guess: it may be of attributes alone."""
    return {
        name: texts_of(value, "other names", problems)
        for name, value in named(node, "names", problems)
        if _is_known(value, name, known, what, problems)
    }


def names_of_words(attribute: Attribute) -> _Names:
    """The words that an attribute may say, each with its other names; of one with yes and no, what is told by them."""
    if attribute.type == "yes or no":
        about = {attribute.label, attribute.name.replace("_", " ")}
        denied = [f"{no} {what}" for no in ("no", "not", "without") for what in about]
        return {
            "yes": ("y", "yep", "true", "x", "ok", "yes sir", *about),
            "no": ("n", "nope", "none", "nil", "never", "false", "not", *denied),
        }
    known = other_names()
    own = known.choices.get(f"{attribute.kind}.{attribute.name}", {})
    taken = {name for names in own.values() for name in names}
    return {
        word: (*own.get(word, ()), *(name for name in known.words.get(word, ()) if name not in taken))
        for word in attribute.one_of
    }


def names_of_attributes(kind: Kind) -> _Names:
    """The attributes of a kind, each with its label and its other names."""
    own = other_names().attributes.get(kind.name, {})
    return {name: (*own.get(name, ()), one.short_label) for name, one in kind.attributes.items()}


def names_of_sections(kinds: Mapping[str, Kind]) -> _Names:
    """The sections of a record, each with the names of its kind of part."""
    own = other_names().kinds
    return {
        kind.section: (name, kind.label, *((kind.plural,) if kind.plural else ()), *own.get(name, ()))
        for name, kind in kinds.items()
    }


def names_of_kinds() -> _Names:
    """The kinds of part, each with its other names."""
    return other_names().kinds


def names_of_entries() -> _Names:
    """Tests, papers, jobs, events, spares and roles, each with its other names."""
    return other_names().names
