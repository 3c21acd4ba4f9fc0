"""What may be typed short on a terminal: the number of a choice, the beginning of a word, several positions at once."""

from collections.abc import Collection


def long_answer(typed: str, words: tuple[str, ...], positions: Collection[str], *, several: bool) -> str:
    """What was typed, with each number of a choice, and each beginning of one word alone, as that word. A position
    without a word of its own belongs to the next that has one: `1, 3: yes, 2: no`. several: whether
    an answer may be several words."""
    if not words:
        return typed
    if ":" not in typed and not several:
        return _one_word(typed.strip(), words, positions)
    if ":" not in typed:
        return ", ".join(_one_word(piece.strip(), words, positions) for piece in typed.split(","))
    found: list[tuple[list[str], list[str]]] = []
    waiting: list[str] = []
    for piece in typed.split(","):
        place, colon, value = piece.rpartition(":")
        if colon:
            found.append(([*waiting, place.strip()], [_one_word(value.strip(), words, positions)]))
            waiting = []
        elif _is_position(piece.strip(), positions) or not found:
            waiting.append(piece.strip())
        else:
            found[-1][1].append(_one_word(piece.strip(), words, positions))
    if waiting:
        return typed
    return ", ".join(f"{_quoted(', '.join(places))}: {_listed(said)}" for places, said in found)


def _is_position(text: str, positions: Collection[str]) -> bool:
    return text in positions or all(end.strip() in positions for end in text.split("-"))


def _quoted(text: str) -> str:
    return f'"{text}"' if "," in text and '"' not in text else text


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"[{', '.join(words)}]"


_BEFORE_A_NAME = ("the ", "type ")


def _bare(word: str) -> str:
    """A word without what people leave out: `D22` is D-22, `public` is the public, `H` is type H."""
    folded = word.casefold()
    for beginning in _BEFORE_A_NAME:
        folded = folded.removeprefix(beginning)
    return "".join(letter for letter in folded if letter.isalnum())


def _one_word(value: str, words: tuple[str, ...], positions: Collection[str]) -> str:
    if value.isdigit() and 1 <= int(value) <= len(words):
        return words[int(value) - 1]
    return value if value in positions else word_meant(value, words)


def word_meant(value: str, words: tuple[str, ...]) -> str:
    """The word of a choice that was written in other letters, without what people leave out, or only begun; else what
    was written."""
    folded = value.casefold()
    alike = [word for word in words if word.casefold() == folded]
    alike = alike or [word for word in words if folded and _bare(word) == _bare(folded)]
    begin = [word for word in words if word.casefold().startswith(folded)] if folded else []
    return alike[0] if len(alike) == 1 else begin[0] if len(begin) == 1 else value
