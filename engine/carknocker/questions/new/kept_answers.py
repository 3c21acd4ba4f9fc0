"""What was answered, as a file of answers: kept where a record can't be made of it, so that nothing is typed twice."""

from carknocker.questions.new.answers import ALIKE, Answers, asked_in, axles_of, positions_of
from carknocker.record.insertion import plain_text
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview

_LISTED = ("people", "gauges", "spares")


def answers_text(answers: Answers, interview: Interview) -> str:
    """The answers as `--answers FILE` reads them."""
    asked = asked_in(interview, load_vocabulary())
    axles = sum(axles_of(answers, interview).values())
    lines: list[str] = []
    for key in asked.keys:
        values, question = answers.by_key.get(key, {}), asked.questions.get(key)
        if not values:
            continue
        if question is not None and question.entry in _LISTED:
            lines += [f"{key}:", *(f"  {plain_text(name)}: {plain_text(line)}" for name, line in values.items())]
        elif question is not None and question.which:
            places = [place for place, word in values.items() if word == "yes"]
            lines.append(f"{key}: [{', '.join(places)}]" if places else f"{key}: none")
        elif set(values) == {ALIKE}:
            lines.append(f"{key}: {plain_text(values[ALIKE])}")
        else:
            kind = question.about[0] if question is not None else asked.numbers[key]
            told = {**dict.fromkeys(positions_of(kind, axles), values.get(ALIKE, "")), **values}
            pairs = (f"{plain_text(place)}: {plain_text(text)}" for place, text in told.items() if place and text)
            lines.append(f"{key}: {{{', '.join(pairs)}}}")
    return "\n".join(lines) + "\n"
