"""What is asked of a new car, as fields of a page, and the record that the answers make. Runs in worker processes."""

from datetime import date

import msgspec

from carknocker.service.asked import in_plain_words, library_of
from carknocker.vocabulary.interview import Interview, Question

_FULL_DAYS = ("out", "back")
_OF_ENDS = ("B", "A", "both", "none")


class AskedField(msgspec.Struct, frozen=True):
    """One question of the interview. words: those that are allowed; none where any text or figure is; several: more
    than one of them may be. unit: of a bare figure. day: a whole day. note: how it is answered, where that needs
    saying. only_where: of which other answers it is asked."""

    key: str
    text: str
    words: tuple[str, ...] = ()
    several: bool = False
    unit: str = ""
    day: bool = False
    must: bool = False
    note: str = ""
    only_where: str = ""


class AskedScreen(msgspec.Struct, frozen=True):
    """Questions that stand together."""

    title: str
    fields: tuple[AskedField, ...]


def interview() -> tuple[AskedScreen, ...]:
    """The questions about a car, without its counted parts: those come in by forms."""
    from carknocker.vocabulary.interview import load_interview

    asked = load_interview()
    screens: list[AskedScreen] = []
    for screen in asked.screens:
        fields = [_field(one, asked) for one in screen.asks if one.entry != "numbers"]
        if screen.signed and fields:
            fields.append(AskedField(f"{screen.signed}_by", f"who {screen.signed}: name, and the role in brackets"))
            fields.append(AskedField(f"{screen.signed}_on", "on which day", day=True))
        if fields:
            screens.append(AskedScreen(screen.title, tuple(fields)))
    return tuple(screens)


def _field(question: Question, asked: Interview) -> AskedField:
    from carknocker.forms.rows import unit_of
    from carknocker.questions.new.people_and_gauges import SAMPLES
    from carknocker.record.value_reader import in_words
    from carknocker.vocabulary import load_vocabulary
    from carknocker.vocabulary.interview_reader import words_for

    where = "; ".join(f"{key.replace('_', ' ')}: {' or '.join(said)}" for key, said in question.when)
    told = AskedField(question.key, question.text, must=question.must, only_where=where)
    if question.entry == "kind of car":
        return msgspec.structs.replace(told, words=tuple(asked.kinds_of_car))
    if question.entry in SAMPLES:
        return msgspec.structs.replace(told, note=f"for example, {SAMPLES[question.entry]}; several apart by commas")
    if question.which:
        return msgspec.structs.replace(told, words=_OF_ENDS)
    attribute = load_vocabulary().attribute(*question.about)
    if attribute is None:
        return told
    if question.key in _FULL_DAYS:
        return msgspec.structs.replace(told, day=True)
    if attribute.type == "date":
        return msgspec.structs.replace(told, note="for example, 1949, 1949-06 or 1949-06-12")
    words = words_for(attribute)
    unit = unit_of(attribute)
    free = not words and attribute.type not in ("text", "identity")
    return msgspec.structs.replace(
        told, words=words, several=attribute.type == "list of", unit=unit,
        note=in_words(attribute).replace("`", "") if free and not unit else "",
    )  # fmt: skip


def first_record(answers: str | tuple[str, ...], editions: tuple[tuple[str, str], ...]) -> tuple[str, str]:
    """The record and the move that the answers make: the text of a file of them, or each as `key=value`. Raises
    Refused; of such a one the file of each problem names the key."""
    from carknocker.questions.new.answers import read_answers_file, read_options
    from carknocker.questions.new.ask import hosts_with_circular, starter_record
    from carknocker.vocabulary.interview import load_interview

    with in_plain_words():
        asked = load_interview()
        if isinstance(answers, str):
            given = read_answers_file(answers, "answers", asked)
        else:
            given = read_options(answers, asked)
        try:
            hosts = hosts_with_circular(library_of(editions), date.fromisoformat(given.said("out")))
        except ValueError:
            hosts = ()  # there is no day out yet, and that is refused
        car, move = starter_record(given, asked, hosts)
        return car.text, move.text
