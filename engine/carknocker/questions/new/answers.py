"""What an owner answers before a first record is written: each answer read as the record itself would read it."""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping

import msgspec
from msgspec.structs import replace

from carknocker.cli.starter_files import plain_words
from carknocker.documents import InputRefused, Location, Node, Problem, ProblemList, nearest, read_document, some
from carknocker.forms.rows import unit_of, with_unit
from carknocker.quantities import QuantityError
from carknocker.questions.new.people_and_gauges import SAMPLES, read_listed
from carknocker.questions.new.short_answers import word_meant
from carknocker.record.files import RecordReporter
from carknocker.record.parts_reader import ENDS
from carknocker.record.value_reader import NONE_FITTED, NOT_KNOWN, full_day, in_words, is_not_known, read_value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview, Question
from carknocker.vocabulary.interview_reader import words_for
from carknocker.vocabulary.model import Attribute, Vocabulary
from carknocker.vocabulary.other_names import names_of_entries
from carknocker.vocabulary.program_names import MOVE_KINDS

AS_OFFERED = "as offered"
"""The answer to `numbers` that takes every number as it is offered for this kind of car."""
ALIKE = ""
"""The position of what is said of all parts alike."""
HOST, HOST_IS_NOT = "host", "host_is_not"
BETWEEN_NAMES = "; "
"""What stands between several names in one answer."""
_WITH_POSITIONS = re.compile(r"""\s*("[^"]+"|[^:,"]+):\s""")
_RANGE = re.compile(r"([0-9]{1,2})(?:\s*-\s*([0-9]{1,2}))?")
_FULL_DAYS = ("out", "back")
_VOLTAGE, _VOLTS = "voltage", re.compile(r"(?<=[0-9])\s*(?:V|volts?)$", re.IGNORECASE)
"""A voltage is a number of volts, with or without the word."""

Values = Mapping[str, str]
"""Position → what is said of the part there; `ALIKE` for what is said of all others."""


class Answers(msgspec.Struct, frozen=True):
    """What was answered, by the key of the question. What is not in it is not known. given_in: what to call the answers
    in messages. overruled: answers that others, given before them, count before: key, what was said, what counts."""

    by_key: Mapping[str, Values]
    given_in: str = "answers"
    overruled: tuple[tuple[str, str, str], ...] = ()

    def said(self, key: str, position: str = ALIKE) -> str:
        """What is said of the part at a position; empty where nothing is."""
        values = self.by_key.get(key, {})
        return values.get(position, values.get(ALIKE, ""))

    def with_these(self, more: Mapping[str, Values]) -> "Answers":
        """These answers and others, which count before them."""
        return Answers({**self.by_key, **more}, self.given_in, self.overruled)


NO_ANSWERS = Answers({})


class Asked(msgspec.Struct, frozen=True):
    """What the questions of an interview are, with those of signatures and numbers, by key.

    numbers: name of a number → kind of the container that has it. signed: keys of who read, and of the day.
    """

    questions: Mapping[str, Question]
    numbers: Mapping[str, str]
    signed_by: tuple[str, ...]
    signed_on: tuple[str, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        return (*self.questions, *self.signed_by, *self.signed_on, *self.numbers)


def asked_in(interview: Interview, vocabulary: Vocabulary) -> Asked:
    """Everything that can be answered."""
    signed = [screen.signed for screen in interview.screens if screen.signed]
    return Asked(
        {question.key: question for question in interview.questions},
        {row.number: row.container for kind in vocabulary.kinds.values() for row in kind.stands if row.number},
        tuple(f"{word}_by" for word in signed),
        tuple(f"{word}_on" for word in signed),
    )


def positions_of(kind: str, axles: int) -> tuple[str, ...]:
    """The positions that an answer about parts of a kind may tell apart; none where they are all alike. axles: of the
    car, as far as that is known."""
    found = load_vocabulary().kinds[kind]
    if found.positions in ("ends", "trucks"):
        return ENDS
    at_axles = found.thing or found.positions in ("axles", "sides of axle")
    return tuple(str(axle) for axle in range(1, axles + 1)) if at_axles else ()


def axles_of(answers: Answers, interview: Interview) -> dict[str, int]:
    """How many axles each truck has by the answers; none for a truck of which that is not known."""
    question = next(one for one in interview.questions if one.axles)
    numbers = dict(question.axles)
    said = {truck: answers.said(question.key, truck) for truck in ENDS}
    return {truck: numbers[word] for truck, word in said.items() if word in numbers}


def read_answers_file(text: str, file: str, interview: Interview, before: Answers | None = None) -> Answers:
    """The answers of a file, with those given before it, which count before them. Raises InputRefused with every
    problem."""
    problems = ProblemList()
    document = read_document(text, file, problems)
    if document is not None and document.kind != "mapping":
        problems.add(Problem(document.where, document.describe(), "a mapping: the key of a question, and its answer"))
    problems.refuse_if_any()
    given = [] if document is None else [(key, where, node) for key, where, node in document.items()]
    found = _read(given, interview, before or Answers({}, file), problems)
    problems.refuse_if_any()
    return found


def read_options(options: Iterable[str], interview: Interview, before: Answers | None = None) -> Answers:
    """The answers of options `KEY=VALUE`, with those given before. Raises InputRefused with every problem."""
    problems = ProblemList()
    given: list[tuple[str, Location, Node]] = []
    for option in options:
        key, sign, text = option.partition("=")
        where = Location(f"--answer {key.strip()[:60]}", 1, 1)
        if not sign:
            problems.add(Problem(where, f"`{option[:60]}`", "`KEY=VALUE`: the key of a question, and its answer"))
            continue
        given.append((key.strip(), where, node_of(key.strip(), text, where.file, interview, problems)))
    found = _read(given, interview, before or Answers({}, "the options"), problems)
    problems.refuse_if_any()
    return found


def node_of(key: str, text: str, file: str, interview: Interview, problems: ProblemList) -> Node:
    """What someone typed in one line: `word`, or `position: word, position: word` where the question knows positions.
    A name stays as it is, whatever is in it."""
    if _has_positions(key, interview) and _WITH_POSITIONS.match(text):
        read = read_document(f"{{{text}}}", file, problems)
        if read is not None:
            return read
    return Node("scalar", file, 0, 0, text.strip())


def _has_positions(key: str, interview: Interview) -> bool:
    """Whether an answer may say several things, each of a part, a spare, a person or a gauge."""
    question = next((one for one in interview.questions if one.key == key), None)
    if question is None:
        return key in asked_in(interview, load_vocabulary()).numbers
    attribute = load_vocabulary().attribute(*question.about)
    if attribute is None:
        return question.entry not in ("mark", "name", "kind of car", "host is not")
    return attribute.kind not in MOVE_KINDS


def read_answer(key: str, node: Node, answers: Answers, interview: Interview, problems: ProblemList) -> Values | None:
    """One answer, read. None, reported, if it can't be; empty where it is not known. answers: those before it."""
    vocabulary = load_vocabulary()
    asked = asked_in(interview, vocabulary)
    reporter = RecordReporter(problems, vocabulary)
    before = len(problems)
    if key in asked.signed_on:
        found: Values | None = _day(key, node, reporter)
    elif key in asked.signed_by:
        found = _text(node, reporter, "who read: a name, and the role in brackets unless it is the owner")
        if found:
            reporter.is_known(node, signer_of(found[ALIKE])[1], vocabulary.roles, "role", names_of_entries)
    elif key in asked.numbers:
        kind = asked.numbers[key]
        attribute = vocabulary.kinds[kind].attributes[key]
        found = _of_attribute(attribute, node, positions_of(kind, 0), reporter)
    else:
        found = _of_question(asked.questions[key], node, answers, interview, reporter)
    return None if len(problems) > before else found


def signer_of(text: str) -> tuple[str, str]:
    """Name and role in `Jane Doe (shop inspector)`. Without a role it is the owner, as the question says."""
    name, bracket, role = text.partition("(")
    return name.strip(), role.rstrip(") ").strip() if bracket else load_vocabulary().roles[0]


def missing_answers(answers: Answers, interview: Interview, known: Answers | None = None) -> tuple[Problem, ...]:
    """What has to be answered and is not. known: those of the answers that are on record, signed there."""
    on_record = {} if known is None else known.by_key
    given = Answers({key: values for key, values in answers.by_key.items() if values != on_record.get(key)})
    vocabulary = load_vocabulary()
    asked = asked_in(interview, vocabulary)
    where = Location(answers.given_in, 1, 1)
    problems: list[Problem] = []
    for question in interview.questions:
        if question.must and not is_answered(answers, question, interview):
            expected = f"`{question.key}: …`: {question.text}"
            problems.append(Problem(where, f"no answer to `{question.key}`", expected_words(question, expected)))
    for screen in interview.screens:
        if screen.signed and any(_is_reading(key, given, asked, vocabulary) for key in _keys_of(screen.asks, asked)):
            for key in (f"{screen.signed}_by", f"{screen.signed}_on"):
                if not answers.said(key):
                    expected = f"`{key}: …`: who read, and on which day; or leave the readings out"
                    problems.append(Problem(where, f"readings, and no answer to `{key}`", expected))
    return tuple(problems)


def expected_words(question: Question, text: str) -> str:
    """What is asked for, with the words that are allowed."""
    attribute = load_vocabulary().attribute(*question.about)
    words = () if attribute is None else words_for(attribute)
    return f"{text}; one of {some(words)}" if words else text


def is_asked(question: Question, answers: Answers) -> bool:
    """Whether a question is asked after these answers: each `when` holds at some part."""
    return all(set(words) & set(answers.by_key.get(key, {}).values()) for key, words in question.when)


def _keys_of(questions: Iterable[Question], asked: Asked) -> Iterator[str]:
    for question in questions:
        yield question.key
        if question.entry == "numbers":
            yield from asked.numbers


def _is_reading(key: str, answers: Answers, asked: Asked, vocabulary: Vocabulary) -> bool:
    if not answers.by_key.get(key):
        return False
    question = asked.questions.get(key)
    attribute = None if question is None else vocabulary.attribute(*question.about)
    return attribute is None or not attribute.description


def is_answered(answers: Answers, question: Question, interview: Interview) -> bool:
    """Whether a question is answered of every part that it is about."""
    values = answers.by_key.get(question.key, {})
    if ALIKE in values or (values and question.entry in SAMPLES):
        return True
    axles = sum(axles_of(answers, interview).values())
    positions = positions_of(question.about[0], axles) if question.about[0] else ()
    return bool(positions) and all(position in values for position in positions)


def _read(
    given: Iterable[tuple[str, Location, Node]], interview: Interview, before: Answers, problems: ProblemList
) -> Answers:
    """Answers in the order of the questions, since one may decide how another is read."""
    asked = asked_in(interview, load_vocabulary())
    by_key: dict[str, Node] = {}
    for key, where, node in given:
        if key in asked.keys:
            by_key[key] = node
        else:
            problems.add(Problem(
                where, f"the key `{key[:60]}`, which is no question", f"one of {some(asked.keys)}",
                nearest(key, asked.keys), "correct the key, or take it out",
            ))  # fmt: skip
    answers = before
    for key in asked.keys:
        if key in by_key:
            found = read_answer(key, by_key[key], answers, interview, problems)
            if found:
                known = answers.by_key.get(key, {})
                others = tuple(dict.fromkeys(_overruled(key, found, known)))
                answers = replace(
                    answers.with_these({key: {**found, **known}}), overruled=(*answers.overruled, *others)
                )
    return answers


def _overruled(key: str, found: Values, known: Values) -> Iterator[tuple[str, str, str]]:
    """What is said of a question and not taken, since something else is known of the same part."""
    for position, text in found.items():
        kept = list(known.values()) if position == ALIKE else [known.get(position, known.get(ALIKE, text))]
        yield from ((key, text, one) for one in kept if one.casefold() != text.casefold())


def _of_question(
    question: Question, node: Node, answers: Answers, interview: Interview, reporter: RecordReporter
) -> Values | None:
    vocabulary = load_vocabulary()
    match question.entry:
        case "mark" | "name":
            return _text(node, reporter, question.text)
        case "host is not":
            return _names(node, reporter, question.text)
        case "kind of car":
            return _one_of(node, tuple(interview.kinds_of_car), reporter, "kind of car")
        case "numbers":
            return _one_of(node, (AS_OFFERED,), reporter, "answer")
        case "spares":
            return _spares(node, vocabulary, reporter)
        case "people" | "gauges":
            return read_listed(question.entry, node, reporter)
    attribute = vocabulary.kinds[question.about[0]].attributes[question.about[1]]
    if attribute.kind == "move" and attribute.name in _FULL_DAYS:
        return _day(question.key, node, reporter)
    axles = sum(axles_of(answers, interview).values())
    positions = positions_of(attribute.kind, axles)
    if question.which:
        return _which(node, positions, reporter)
    if question.must and is_not_known(node):
        reporter.note(node, f"`{NOT_KNOWN}` for `{question.key}`", expected_words(question, question.text))
        return None
    return _of_attribute(attribute, node, positions, reporter)


def _text(node: Node, reporter: RecordReporter, what: str) -> Values | None:
    text = plain_words(reporter.text(node, what))
    return {} if not text or text == NOT_KNOWN else {ALIKE: text}


def _names(node: Node, reporter: RecordReporter, what: str) -> Values | None:
    """One name or a list of them, kept in one line."""
    names = [plain_words(reporter.text(one, what)) for one in node.as_sequence()]
    told = [one for one in names if one and one not in ("none", NOT_KNOWN)]
    return {ALIKE: BETWEEN_NAMES.join(told)} if told else {}


def _one_of(node: Node, words: tuple[str, ...], reporter: RecordReporter, what: str) -> Values | None:
    text = word_meant(reporter.text(node, what), words)
    if not text or text == NOT_KNOWN:
        return {}
    return {ALIKE: text} if reporter.is_known(node, text, words, what) else None


def _day(key: str, node: Node, reporter: RecordReporter) -> Values | None:
    text = reporter.text(node, key)
    if not text:
        return {}
    try:
        return {ALIKE: full_day(text).isoformat()}
    except QuantityError as error:
        reporter.note_error(node, error, key)
        return None


def _spares(node: Node, vocabulary: Vocabulary, reporter: RecordReporter) -> Values | None:
    if node.is_empty or (node.kind == "scalar" and node.text in ("none", NOT_KNOWN)):
        return {}
    if node.kind != "mapping":
        reporter.note(node, node.describe(), "spares and how many of each: `air hose: 1, hose gasket: 4`")
        return None
    found: dict[str, str] = {}
    for name, _, value in node.items():
        if reporter.is_known(node.key_where(name), name, vocabulary.spares, "spare", names_of_entries):
            if re.fullmatch(r"[1-9][0-9]{0,2}", value.text) is None:
                reporter.note(value, value.describe(), f"how many `{name}` are aboard: a whole number")
            found[name] = value.text
    return found


def _which(node: Node, positions: tuple[str, ...], reporter: RecordReporter) -> Values | None:
    """The parts of which something is yes, by their positions; `none` for none, `both` for both ends."""
    texts = (
        [one.text for one in node.nodes] if node.kind == "sequence" else [one.strip() for one in node.text.split(",")]
    )
    if texts == ["both"] and len(positions) == 2:
        texts = [*positions]
    if node.kind == "mapping" or any(
        not reporter.is_known(node, one, (*positions, "none", NOT_KNOWN), "place", _names_of_no_place) for one in texts
    ):
        if node.kind == "mapping":
            reporter.note(node, node.describe(), f"the places where there is one: {some(positions)}, or none")
        return None
    if NOT_KNOWN in texts:
        return {}
    return {position: "yes" if position in texts else "no" for position in positions}


def _names_of_no_place() -> Mapping[str, tuple[str, ...]]:
    return {"none": ("no", "neither", "nowhere", "no end"), NOT_KNOWN: ("unknown", "do not know")}


def _of_attribute(
    attribute: Attribute, node: Node, positions: tuple[str, ...], reporter: RecordReporter
) -> Values | None:
    if node.kind != "mapping":
        value = _value(attribute, node, positions, reporter)
        return None if value is None else {ALIKE: value} if value else {}
    if not positions and positions_of(attribute.kind, 1):
        expected = f"one answer, alike at all axles: {in_words(attribute)}; or first how many axles each truck has"
        reporter.note(node, node.describe(), expected)
        return None
    if not positions:
        reporter.note(node, node.describe(), f"one answer: {in_words(attribute)}")
        return None
    found: dict[str, str] = {}
    for text, where, value_node in node.items():
        value = _value(attribute, value_node, positions, reporter)
        for position in _positions_in(text, where, positions, reporter):
            if position in found:
                reporter.note(where, f"`{position}` a second time", "each once")
            elif value is not None:
                found[position] = value or NOT_KNOWN
    return {position: value for position, value in found.items() if value != NOT_KNOWN}


def _positions_in(text: str, where: Location, positions: tuple[str, ...], reporter: RecordReporter) -> Iterator[str]:
    """The positions that `B`, `1`, `1-3` or `1, 2` names; an unknown one is reported."""
    for word in (piece.strip() for piece in text.split(",")):
        match = _RANGE.fullmatch(word)
        names = [word]
        if match is not None:
            names = [str(number) for number in range(int(match[1]), int(match[2] or match[1]) + 1)] or [word]
        for name in names:
            if reporter.is_known(where, name, positions, "position"):
                yield name


def _value(attribute: Attribute, node: Node, positions: Collection[str], reporter: RecordReporter) -> str | None:
    """The text of a value that a record would take; empty where it is not known; None, reported, for any other. A
    position alone is no beginning of a word."""
    if node.is_empty or is_not_known(node):
        return ""
    if attribute.type == "list of" and node.kind == "scalar":
        words = words_for(attribute)
        members = tuple(_with_text(node, word_meant(one.strip(), words)) for one in node.text.split(","))
        node = Node("sequence", node.where.file, node.where.line - 1, node.where.column - 1, nodes=members)
    if node.kind == "scalar" and node.text.strip() not in positions:
        node = _with_text(node, with_unit(word_meant(node.text.strip(), words_for(attribute)), unit_of(attribute)))
    if attribute.type == "count" and _VOLTAGE in attribute.label and node.kind == "scalar":
        node = _with_text(node, _VOLTS.sub("", node.text.strip()))
    if attribute.counts and node.kind == "scalar" and node.text in ("0", "none"):
        node = _with_text(node, NONE_FITTED)
    if node.kind == "mapping" or (node.kind == "sequence" and attribute.type != "list of"):
        reporter.note(node, node.describe(), f"one answer: {in_words(attribute)}")
        return None
    if read_value(node, attribute, reporter) is None:
        return None
    return ", ".join(one.text for one in node.nodes) if node.kind == "sequence" else node.text.strip()


def _with_text(node: Node, text: str) -> Node:
    """A scalar at the place of another node."""
    return Node("scalar", node.where.file, node.where.line - 1, node.where.column - 1, text)


def refuse_missing(answers: Answers, interview: Interview) -> None:
    """Raises InputRefused where something has to be answered and is not."""
    problems = missing_answers(answers, interview)
    if problems:
        raise InputRefused(problems)


def sample_answers(interview: Interview) -> str:
    """A file of answers to be filled in: each key with what it may say."""
    vocabulary = load_vocabulary()
    lines: list[str] = []
    for screen in interview.screens:
        for question in screen.asks:
            attribute = vocabulary.attribute(*question.about)
            words = () if attribute is None else words_for(attribute)
            if question.entry == "kind of car":
                words = tuple(interview.kinds_of_car)
            if question.entry == "numbers":
                words = (AS_OFFERED,)
            if question.entry in SAMPLES:
                words = (f"{{{SAMPLES[question.entry]}}}",)
            if question.which:
                words = (*positions_of(question.about[0], 0), "none")
            told = f"{'needed; ' if question.must else ''}{question.text}{': ' if words else ''}{', '.join(words)}"
            lines.append(f"{question.key}:  # {told}")
        if screen.signed:
            lines.append(f"{screen.signed}_by:  # who read; the role in brackets unless it is the owner")
            lines.append(f"{screen.signed}_on:  # the day")
    return "\n".join(lines)
