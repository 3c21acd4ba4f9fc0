"""What `carknocker new` asks about a car, as data: screens of questions, and what is usual on each kind of car."""

from collections.abc import Mapping
from typing import Literal

import msgspec

from carknocker.vocabulary.load import INTERVIEW_FILE, load_vocabulary

Entry = Literal["mark", "name", "kind of car", "spares", "numbers", "people", "gauges", "host is not"]
"""What is asked and is no attribute of a part. `numbers`: how many parts of each kind stand where. `people`, `gauges`:
who reads and signs, and with what, one line each. `host is not`: railroads with a circular at hand and a name like the
host's, which it is not."""


class Question(msgspec.Struct, frozen=True):
    """One question. about: the kind and the attribute that it is about, or entry: what else it asks for.

    when: key of another question and the words of which its answer has to be one, at some part. must: `not known` will
    not do. which: the answer names the parts of which it is yes. puts_in: word and the kind of part over which parts
    with that word are shared out. axles: word and how many axles a truck with that word has.
    """

    key: str
    text: str
    about: tuple[str, str] = ("", "")
    entry: Entry | Literal[""] = ""
    when: tuple[tuple[str, tuple[str, ...]], ...] = ()
    must: bool = False
    which: bool = False
    puts_in: tuple[tuple[str, str], ...] = ()
    axles: tuple[tuple[str, int], ...] = ()


class Screen(msgspec.Struct, frozen=True):
    """Questions that are asked together. signed: the beginning of the keys for who read and when; empty where nothing
    on it is a reading."""

    title: str
    asks: tuple[Question, ...]
    signed: str = ""


class Interview(msgspec.Struct, frozen=True):
    """kinds_of_car: name → key of a question, or name of a number → what is usual. It is offered, never supposed."""

    kinds_of_car: Mapping[str, Mapping[str, str]]
    screens: tuple[Screen, ...]

    @property
    def questions(self) -> tuple[Question, ...]:
        return tuple(question for screen in self.screens for question in screen.asks)


def load_interview() -> Interview:
    """The interview that is installed with the package. Raises InputRefused, with every problem, if its file is bad."""
    from carknocker.vocabulary.interview_reader import read_interview

    text = INTERVIEW_FILE.read_text(encoding="utf-8")
    return read_interview(text, INTERVIEW_FILE.name, load_vocabulary())
