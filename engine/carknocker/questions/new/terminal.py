"""The interview on a terminal, screen by screen. A wrong answer is asked again with the words that are allowed."""

import re
from collections.abc import Collection, Mapping
from typing import Protocol

from carknocker.documents import InputRefused, Problem, ProblemList
from carknocker.forms.rows import unit_of, with_unit
from carknocker.questions.new.answers import (
    ALIKE,
    BETWEEN_NAMES,
    HOST,
    HOST_IS_NOT,
    Answers,
    Values,
    asked_in,
    axles_of,
    is_answered,
    is_asked,
    node_of,
    positions_of,
    read_answer,
)
from carknocker.questions.new.ask import rows_of
from carknocker.questions.new.draft import offered, places_draft
from carknocker.questions.new.people_and_gauges import PEOPLE, SAMPLES
from carknocker.questions.new.short_answers import long_answer
from carknocker.questions.new.usual_answers import hardly_so
from carknocker.record.host_names import like_names, same_railroad
from carknocker.record.unlisted_parts import PartsThere, fewest_there
from carknocker.record.value_reader import NONE_FITTED, NOT_KNOWN, in_words
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview, Question, Screen
from carknocker.vocabulary.interview_reader import words_for
from carknocker.vocabulary.model import Attribute
from carknocker.wording.parts import joined_labels

_LINE = re.compile(r"\s*([0-9]{1,3})\s*=\s*(.+)")
_NOT_KNOWN = ("?", NOT_KNOWN)
_BACK = "back"


class _Back(Exception):
    """The screen before is to be asked once more."""


class Console(Protocol):
    """Where questions are shown and answers typed."""

    def say(self, text: str) -> None:
        """Shows a line."""

    def read(self, prompt: str) -> str:
        """What is typed behind a prompt. Raises EOFError where nothing more can be."""


class _Asking:
    """One interview. hosts: those of which a circular is at hand. days: key → the day that is offered. shown: whether
    anything of the last screen was asked."""

    def __init__(self, console: Console, interview: Interview, hosts: Collection[str], days: Mapping[str, str]) -> None:
        self._console = console
        self._interview = interview
        self._hosts = hosts
        self._days = days
        self.shown = False
        self._vocabulary = load_vocabulary()
        self._asked = asked_in(interview, self._vocabulary)

    def _read(self, prompt: str) -> str:
        """What is typed. Raises _Back where the screen before is to be asked once more."""
        typed = self._console.read(prompt).strip()
        if typed.casefold() == _BACK:
            raise _Back
        return typed

    def _unit(self, key: str) -> str:
        """The unit of a figure that is typed without one; empty where an answer is no figure with a unit."""
        question = self._asked.questions.get(key)
        attribute = None if question is None else self._vocabulary.attribute(*question.about)
        return "" if attribute is None else unit_of(attribute)

    def screen(self, screen: Screen, title: str, answers: Answers) -> Answers:
        """The answers with those of one screen; of what is answered already nothing is asked."""
        found, self.shown = answers, False
        for question in screen.asks:
            if is_answered(found, question, self._interview) or not is_asked(question, found):
                continue
            if not self.shown:
                self._console.say("")
                self._console.say(title)
                self.shown = True
            if question.entry == "host is not":
                found = self._host(found)
            elif question.entry == "numbers":
                found = found.with_these(self._numbers(found, screen.signed))
            elif question.entry in SAMPLES:
                found = found.with_these({question.key: self._listed(question, found)})
            else:
                values = self._question(question, found)
                before = found.by_key.get(question.key, {})
                found = found.with_these({question.key: {**values, **before}}) if values else found
        if screen.signed and screen.asks[0].entry != "numbers" and self._has_readings(screen, found, answers):
            found = self._signed(screen.signed, found)
        return found

    def _has_readings(self, screen: Screen, answers: Answers, before: Answers) -> bool:
        """Whether a reading was answered that was not before."""
        for question in screen.asks:
            attribute = self._vocabulary.attribute(*question.about)
            reading = attribute is not None and not attribute.description
            if reading and answers.by_key.get(question.key) != before.by_key.get(question.key):
                return True
        return False

    def _signed(self, signed: str, answers: Answers) -> Answers:
        """Who read, and when."""
        by, on = f"{signed}_by", f"{signed}_on"
        if by not in answers.by_key:
            prompt = f"  Who {signed}: name, and in brackets the role unless it is the owner"
            answers = answers.with_these({by: self._until_read(by, prompt, (), "", answers, must=True)})
        if on not in answers.by_key:
            day = self._days.get(on, "")
            answers = answers.with_these(
                {on: self._until_read(on, f"  Day on which they were {signed}", (), day, answers, must=True)}
            )
        return answers

    def _question(self, question: Question, answers: Answers) -> Values:
        attribute = self._vocabulary.attribute(*question.about)
        words = self._words(question, attribute)
        usual = self._interview.kinds_of_car.get(answers.said("kind_of_car"), {}).get(question.key, "")
        prompt = f"  {question.text[:1].upper()}{question.text[1:]}"
        if words:
            self._console.say(prompt)
            for number, word in enumerate(words, start=1):
                self._console.say(f"    {number}  {word}{'   (usual)' if word == usual else ''}")
            prompt = f"  1-{len(words)} or the word"
        elif attribute is not None and not question.which and attribute.type not in ("text", "identity", "date"):
            unit = unit_of(attribute)
            prompt += f" ({in_words(attribute).replace('`', '')}{f'; without a unit: {unit}' if unit else ''})"
        if attribute is not None and attribute.type == "list of":
            prompt += ", several with commas"
        prompt += self._places_words(question, answers)
        if question.about == ("move", "host") and self._hosts:
            self._console.say(f"  Circulars are at hand of: {', '.join(sorted(self._hosts))}")
        default = self._days.get(question.key, usual if question.must else "")
        return self._until_read(question.key, prompt, words, default, answers, must=question.must)

    def _host(self, answers: Answers) -> Answers:
        """The answers with the host under the name that its circular has, where that was meant."""
        host = answers.said(HOST)
        others: list[str] = []
        for other in () if host in self._hosts else sorted(self._hosts):
            if same_railroad(host, other):
                self._console.say(f"  The host is written `{other}`, as its circular has it.")
                return answers.with_these({HOST: {ALIKE: other}})
            if not like_names(host, (other,)):
                continue
            self._console.say(f"  `{host}` is much like `{other}`, whose circular is at hand.")
            typed = ""
            while typed not in ("yes", "no"):
                typed = self._read(f"  Is the host {other}? yes or no [needed]: ").casefold()
            if typed == "yes":
                return answers.with_these({HOST: {ALIKE: other}})
            others.append(other)
        return answers.with_these({HOST_IS_NOT: {ALIKE: BETWEEN_NAMES.join(others)}}) if others else answers

    def _listed(self, question: Question, answers: Answers) -> Values:
        """People or gauges, one line each, until an empty line."""
        words = self._vocabulary.roles if question.entry == PEOPLE else tuple(self._vocabulary.gauge_kinds)
        self._console.say(f"  {question.text[:1].upper()}{question.text[1:]}, such as")
        self._console.say(f"    {SAMPLES[question.entry]}")
        self._console.say(f"  {'Roles' if question.entry == PEOPLE else 'Kinds'}: {', '.join(words)}")
        found: dict[str, str] = {}
        while True:
            typed = self._read("  One more, or Enter when there are no more: ")
            if not typed or typed in _NOT_KNOWN:
                return found
            problems = ProblemList()
            node = node_of(question.key, typed, "your answer", self._interview, problems)
            values = read_answer(question.key, node, answers, self._interview, problems)
            if values:
                found.update(values)
            else:
                self.say_why(problems.problems)

    def _words(self, question: Question, attribute: Attribute | None) -> tuple[str, ...]:
        if question.entry == "kind of car":
            return tuple(self._interview.kinds_of_car)
        return () if attribute is None or question.which else words_for(attribute)

    def _places_words(self, question: Question, answers: Answers) -> str:
        """How parts that are not alike are answered."""
        kind = question.about[0]
        if not kind:
            return ""
        axles = sum(axles_of(answers, self._interview).values())
        positions = positions_of(kind, axles)
        if question.which:
            return f": {', '.join(positions)}, {'both ' if len(positions) == 2 else ''}or none"
        if not positions:
            return ""
        alike = " and ".join(positions) if len(positions) == 2 else f"{positions[0]} to {positions[-1]}"
        return f", alike at {alike}; else `{positions[0]}: …, {positions[-1]}: …`"

    def _may_be_several(self, key: str) -> bool:
        question = self._asked.questions.get(key)
        attribute = None if question is None else self._vocabulary.attribute(*question.about)
        return attribute is not None and attribute.type == "list of"

    def _positions(self, key: str, answers: Answers) -> tuple[str, ...]:
        question = self._asked.questions.get(key)
        if question is None or not question.about[0]:
            return ()
        return positions_of(question.about[0], sum(axles_of(answers, self._interview).values()))

    def _until_read(
        self, key: str, prompt: str, words: tuple[str, ...], default: str, answers: Answers, *, must: bool
    ) -> Values:
        """Asks until the answer is one; empty where it is not known."""
        shown = f"{prompt} [{default or ('needed' if must else NOT_KNOWN)}]: "
        positions, several = self._positions(key, answers), self._may_be_several(key)
        doubted: Values = {}
        while True:
            typed = self._read(shown) or default
            if not typed or typed in _NOT_KNOWN:
                if not must:
                    return {}
                self._console.say("    This one has to be answered.")
                continue
            typed = with_unit(typed, self._unit(key))
            problems = ProblemList()
            said = long_answer(typed, words, positions, several=several)
            node = node_of(key, said, "your answer", self._interview, problems)
            values = read_answer(key, node, answers, self._interview, problems) if not len(problems) else None
            odd = hardly_so(key, values, self._interview) if values else ()
            if values and odd and values != doubted:
                doubted = values
                self.say_why(odd)
                question = self._asked.questions.get(key)
                stays = (
                    "; it stays doubtful until the record says why" if question is None or not question.which else ""
                )
                self._console.say(f"    If it is so, type it once more{stays}.")
                continue
            if values or (values is not None and not must):
                return values
            self.say_why(problems.problems)

    def say_why(self, problems: tuple[Problem, ...]) -> None:
        """Shows what is wrong with an answer, and what would do."""
        for problem in problems:
            self._console.say(f"    Found {problem.found}")
            for what, said in (("expected", problem.expected), ("nearest right word", problem.nearest)):
                if said:
                    self._console.say(f"    {what}: {said}")

    def _numbers(self, answers: Answers, signed: str) -> Mapping[str, Values]:
        """The parts that stand there, as one list, to be confirmed by name and day."""
        usual = self._interview.kinds_of_car.get(answers.said("kind_of_car"), {})
        rows = [
            one for one in rows_of(places_draft(answers, self._interview), answers) if one.row.number and one.only_if
        ]
        groups: dict[tuple[str, str], list[PartsThere]] = {}
        for row in rows:
            groups.setdefault((row.row.number, offered(row, usual)), []).append(row)
        found: dict[str, dict[str, str]] = {}
        for (number, said), group in groups.items():
            if said:
                for row in group:
                    found.setdefault(number, {})[row.container.position] = said
        lines = list(groups)
        for at, (number, said) in enumerate(lines, start=1):
            where = joined_labels([row.container.label for row in groups[number, said]])
            called = groups[number, said][0].row.called
            self._console.say(f"    {at:>2}  {where}: {called}  {said or '?'}")
        self._console.say("  Count them on the car. Change a line as in `3=2`, `3=none`, `3=?` or `3=B: 2, A: 4`.")
        while True:
            typed = self._read("  A change, or Enter when the list is right: ")
            if not typed:
                break
            match = _LINE.fullmatch(typed)
            if match is None or not 1 <= int(match[1]) <= len(lines):
                self._console.say(f"    expected: a line from 1 to {len(lines)}, `=`, and how many")
                continue
            number, said = lines[int(match[1]) - 1]
            self._change(number, groups[number, said], match[2].strip(), found, answers)
        return self._confirmed(found, signed, answers)

    def _change(
        self, number: str, rows: list[PartsThere], typed: str, found: dict[str, dict[str, str]], answers: Answers
    ) -> None:
        problems = ProblemList()
        node = node_of(number, NOT_KNOWN if typed in _NOT_KNOWN else typed, "your answer", self._interview, problems)
        values = read_answer(number, node, answers, self._interview, problems) if not len(problems) else None
        if values is None:
            self.say_why(problems.problems)
            return
        too_few = next((row for row in rows if _is_too_few(row, values)), None)
        if too_few is not None:
            self._console.say(f"    expected: at least {fewest_there(too_few)}: every such car has them")
            return
        self.say_why(hardly_so(number, values, self._interview))
        own = found.setdefault(number, {})
        for row in rows:
            at = row.container.position
            said = values.get(at, values.get(ALIKE, ""))
            if said:
                own[at] = said
            elif not values:
                own.pop(at, None)
        self._console.say(
            f"    {number.replace('_', ' ')}: {', '.join(f'{at} {one}'.strip() for at, one in own.items()) or '?'}"
        )

    def _confirmed(self, found: Mapping[str, Values], signed: str, answers: Answers) -> Mapping[str, Values]:
        """The numbers with who counted and when; none where nobody says that he did."""
        by, on = f"{signed}_by", f"{signed}_on"
        prompt = "  Who counted them: name, and in brackets the role unless it is the owner; Enter: nobody yet"
        who = answers.by_key.get(by) or self._until_read(by, prompt, (), "", answers, must=False)
        if not who:
            return {}
        signing = answers.with_these({by: who})
        return {
            by: who,
            on: self._signed(signed, signing).by_key[on],
            **{key: one for key, one in found.items() if one},
        }


def _is_too_few(row: PartsThere, values: Values) -> bool:
    """Whether an answer says fewer than every such car has. Where fewer are a fault, there may be fewer."""
    said = values.get(row.container.position, values.get(ALIKE, ""))
    number = 0 if said == NONE_FITTED else int(said) if said.isdigit() else None
    return number is not None and not row.row.bad_news and number < fewest_there(row)


def interview_on(
    console: Console,
    interview: Interview,
    answers: Answers,
    hosts: Collection[str] = (),
    days: Mapping[str, str] | None = None,
) -> Answers:
    """The answers given on a console, with those that were given before. hosts: those of which a circular is at hand.
    days: key of a question → the day that is offered.

    Raises EOFError and KeyboardInterrupt where whoever answers ends it.
    """
    asking = _Asking(console, interview, hosts, days or {})
    console.say(
        "Enter takes what stands in brackets; `not known` is a good answer; `back` asks the screen before once more. "
        "Ctrl-C stops; nothing is written then."
    )
    found, number = answers, 0
    before: list[tuple[int, Answers]] = []  # the screens that were asked, each with the answers before it
    while number < len(interview.screens):
        screen = interview.screens[number]
        try:
            after = asking.screen(screen, f"{number + 1} of {len(interview.screens)}: {screen.title}", found)
            if after is not found and axles_of(after, interview):
                rows_of(places_draft(after, interview), after)
        except InputRefused as refused:
            asking.say_why(refused.problems)
            console.say("  These answers do not go together. Once more:")
            continue
        except _Back:
            if before:
                number, found = before.pop()
            continue
        if asking.shown:
            before.append((number, found))
        found, number = after, number + 1
    return found
