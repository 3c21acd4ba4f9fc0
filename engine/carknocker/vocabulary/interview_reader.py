"""Reads the file of what `carknocker new` asks, and checks every word in it against the vocabulary."""

from collections.abc import Iterator, Mapping
from typing import cast, get_args

from carknocker.documents import Node, ProblemList, nearest, read_document
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.attribute_reader import (
    entries_of,
    flag_of,
    named,
    text_of,
    texts_of,
    unknown_kind,
    unknown_word,
    word_of,
)
from carknocker.vocabulary.interview import Entry, Interview, Question, Screen
from carknocker.vocabulary.model import Attribute, Stands, Stated, Vocabulary
from carknocker.vocabulary.stands_reader import number_of

_SCREEN_KEYS = frozenset(("title", "asks", "signed"))
_QUESTION_KEYS = frozenset(("about", "entry", "key", "question", "when", "must", "which", "puts_in", "axles"))
_ENTRIES: tuple[str, ...] = get_args(Entry)
_CHOICES = {"yes or no": ("yes", "no")}
_NUMBERS = "numbers"


def read_interview(text: str, file: str, vocabulary: Vocabulary) -> Interview:
    """The interview of a file. Raises InputRefused, with every problem at its place."""
    problems = ProblemList()
    document = read_document(text, file, problems)
    top = {} if document is None else entries_of(document, frozenset(("interview",)), "the file", problems)
    node = top.get("interview")
    parts = {} if node is None else entries_of(node, frozenset(("kinds_of_car", "screens")), "the interview", problems)
    listed = parts.get("screens")
    screens = [_screen(one, vocabulary, problems) for one in (() if listed is None else listed.as_sequence())]
    screens = _with_deciders(screens, vocabulary)
    questions = {one.key: one for screen in screens for one in screen.asks}
    if listed is not None:
        _check(listed, screens, questions, vocabulary, problems)
    kinds_of_car = {
        name: _usual(given, questions, vocabulary, problems)
        for name, given in named(parts.get("kinds_of_car"), "kinds of car", problems)
    }
    problems.refuse_if_any()
    return Interview(kinds_of_car, tuple(screens))


def words_for(attribute: Attribute) -> tuple[str, ...]:
    """The words that an attribute allows; none where it takes a figure or any text."""
    return _CHOICES.get(attribute.type, attribute.one_of)


def _screen(node: Node, vocabulary: Vocabulary, problems: ProblemList) -> Screen:
    entries = entries_of(node, _SCREEN_KEYS, "a screen", problems)
    asks = entries.get("asks")
    return Screen(
        text_of(entries.get("title"), "title", problems),
        tuple(_question(one, vocabulary, problems) for one in (() if asks is None else asks.as_sequence())),
        text_of(entries.get("signed"), "signed", problems),
    )


def _question(node: Node, vocabulary: Vocabulary, problems: ProblemList) -> Question:
    entries = entries_of(node, _QUESTION_KEYS, "a question", problems)
    entry = word_of(entries.get("entry"), _ENTRIES, "the entry", problems)
    path = text_of(entries.get("about"), "what it is about", problems)
    kind, _, name = path.rpartition(".")
    attribute = vocabulary.attribute(kind, name)
    if "about" in entries and kind not in vocabulary.kinds:
        problems.add(unknown_kind(entries["about"], kind, vocabulary.kinds))
    elif "about" in entries and attribute is None:
        near = nearest(name, vocabulary.kinds[kind].attributes)
        problems.add(problem_at(entries["about"], f"`{kind}` has no attribute `{name}`", "one of its own", near))
    elif ("about" in entries) == ("entry" in entries):
        problems.add(problem_at(node, "a question about nothing, or about two things", "`about` or `entry`"))
    words = text_of(entries.get("question"), "the question", problems)
    return Question(
        key=text_of(entries.get("key"), "key", problems) or name or entry.replace(" ", "_"),
        text=words or ("" if attribute is None else attribute.label),
        about=(kind, name),
        entry=cast(Entry, entry),
        when=tuple(
            (key, texts_of(one, "words", problems)) for key, one in named(entries.get("when"), "keys", problems)
        ),
        must=flag_of(entries.get("must"), "must", problems),
        which=flag_of(entries.get("which"), "which", problems),
        puts_in=tuple(
            (word, text_of(one, "a kind of part", problems))
            for word, one in named(entries.get("puts_in"), "words", problems)
        ),
        axles=tuple((word, number_of(one, problems)) for word, one in named(entries.get("axles"), "words", problems)),
    )


def _with_deciders(screens: list[Screen], vocabulary: Vocabulary) -> list[Screen]:
    """The screens, with the descriptions that decide whether parts stand, which no screen has, before the numbers."""
    asked = {question.about for screen in screens for question in screen.asks}
    keys = {question.key for screen in screens for question in screen.asks}
    more: dict[tuple[str, str], Question] = {}
    for kind in vocabulary.kinds.values():
        for one in _deciders(kind.stands):
            attribute = vocabulary.attribute(one.kind, one.attribute)
            place = (one.kind, one.attribute)
            if attribute is not None and place not in asked and place not in more:
                key = one.attribute if one.attribute not in keys else f"{one.kind}_{one.attribute}".replace(" ", "_")
                more[place] = Question(key, f"{vocabulary.kinds[one.kind].label}: {attribute.label}", place)
    at = next((index for index, one in enumerate(screens) if _asks_numbers(one)), len(screens))
    added = [Screen("What decides whether parts stand there", tuple(more.values()))] if more else []
    return [*screens[:at], *added, *screens[at:]]


def _deciders(rows: tuple[Stands, ...]) -> Iterator[Stated]:
    for row in rows:
        for conditions in row.only_if:
            yield from conditions


def _asks_numbers(screen: Screen) -> bool:
    return any(question.entry == _NUMBERS for question in screen.asks)


def _check(
    node: Node, screens: list[Screen], questions: Mapping[str, Question], vocabulary: Vocabulary, problems: ProblemList
) -> None:
    """Reports a key twice, a reading that nobody signs, a `when` of no other question, and a `puts_in` of no kind."""
    seen: set[str] = set()
    for screen in screens:
        for question in screen.asks:
            if question.key in seen:
                problems.add(problem_at(node, f"the key `{question.key}` a second time", "a key of its own"))
            seen.add(question.key)
            attribute = vocabulary.attribute(*question.about)
            if attribute is not None and not attribute.description and not screen.signed:
                found = f"`{question.key}`, a reading, on a screen that nobody signs"
                problems.add(problem_at(node, found, "`signed: …` of the screen"))
            for key, words in question.when:
                other = questions.get(key)
                told = None if other is None else vocabulary.attribute(*other.about)
                if told is None:
                    problems.add(unknown_word(node, key, questions, "the key of another question"))
                    continue
                for word in words:
                    if word not in words_for(told):
                        problems.add(unknown_word(node, word, words_for(told), f"the word for `{key}`"))
            for _, kind in question.puts_in:
                if kind not in vocabulary.kinds:
                    problems.add(unknown_kind(node, kind, vocabulary.kinds))


def _usual(
    node: Node, questions: Mapping[str, Question], vocabulary: Vocabulary, problems: ProblemList
) -> Mapping[str, str]:
    numbers = {row.number for kind in vocabulary.kinds.values() for row in kind.stands if row.number}
    usual: dict[str, str] = {}
    for key, given in named(node, "what is usual", problems):
        usual[key] = text_of(given, "a word", problems)
        question = questions.get(key)
        if question is None and key not in numbers:
            problems.add(unknown_word(given, key, {*questions, *numbers}, "the key"))
        attribute = None if question is None else vocabulary.attribute(*question.about)
        words = () if attribute is None else words_for(attribute)
        if words and usual[key] not in words:
            problems.add(unknown_word(given, usual[key], words, f"the word for `{key}`"))
    return usual
