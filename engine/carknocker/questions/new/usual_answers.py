"""Answers that could be but hardly are: a figure, a count or a day outside of what is usual, a hand brake at end A
alone."""

from carknocker.documents import Location, Node, Problem, ProblemList
from carknocker.questions.new.answers import Values, asked_in
from carknocker.record.files import RecordReporter
from carknocker.record.possible_values import in_range, is_within
from carknocker.record.value_reader import read_value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview
from carknocker.vocabulary.model import Attribute

_HAND_BRAKE = ("end", "hand_brake_at_this_end")


def hardly_so(key: str, values: Values, interview: Interview) -> tuple[Problem, ...]:
    """What of an answer could be but hardly is: each figure, count or day outside of what is usual, and a hand brake
    at A alone, since the B end is the one with the hand brake, from which axles are counted."""
    vocabulary = load_vocabulary()
    asked = asked_in(interview, vocabulary)
    if key in asked.questions and asked.questions[key].about == _HAND_BRAKE:
        if [end for end, said in values.items() if said == "yes"] != ["A"]:
            return ()
        found = "a hand brake at A alone: the B end is the one with the hand brake, and axles are counted from it"
        return (Problem(Location("your answer", 1, 1), found, "the ends named right: else L and R are exchanged"),)
    if key in asked.numbers:
        attribute: Attribute | None = vocabulary.kinds[asked.numbers[key]].attributes[key]
    else:
        attribute = vocabulary.attribute(*asked.questions[key].about) if key in asked.questions else None
    usual = None if attribute is None or attribute.ranges is None else attribute.ranges.usual
    if attribute is None or usual is None:
        return ()
    problems: list[Problem] = []
    for text in dict.fromkeys(values.values()):
        node = Node("scalar", "your answer", 0, 0, text)
        read = read_value(node, attribute, RecordReporter(ProblemList(), vocabulary))
        if read is not None and not is_within(read.value, usual):
            problems.append(Problem(node.where, f"`{text}` for `{key}`, which is not usual", in_range(usual)))
    return tuple(problems)
