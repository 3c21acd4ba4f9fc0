"""Line ends: what was put into a text with line feeds alone, put into the text as the owner has it."""


def with_line_ends(text: str, plain: str, written: str) -> str:
    """What `written` makes of `text`, where `plain` is `text` with line feeds alone.

    Every line that was there keeps the line end that it had, also where the owner's editors have mixed them; new lines
    get the one that most lines have.
    """
    start = _alike(plain, written)
    end = min(_alike(plain[::-1], written[::-1]), len(plain) - start, len(written) - start)
    places = _places(text)
    ending = "\r\n" if 2 * text.count("\r\n") > text.count("\n") else "\n"
    added = written[start : len(written) - end].replace("\n", ending)
    return text[: places[start]] + added + text[places[len(plain) - end] :]


def _alike(one: str, other: str) -> int:
    """How many letters two texts begin with in common."""
    most = min(len(one), len(other))
    return next((index for index in range(most) if one[index] != other[index]), most)


def _places(text: str) -> list[int]:
    """Where each letter of the text with line feeds alone begins in the text itself, and behind the last, its end."""
    places = [index for index, letter in enumerate(text) if letter != "\n" or text[index - 1 : index] != "\r"]
    return [*places, len(text)]
