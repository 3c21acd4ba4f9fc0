"""Places in the car's record, by their lines alone."""

from carknocker.wording.sources import FilePlaces


def line_words(at: FilePlaces, file: str) -> str:
    """`line 12` or `lines 12–40` of the file; a place in another file also with that file's name."""
    numbers = line_numbers(at, file)
    if numbers == str(at):
        return numbers
    return f"line{'s' if '–' in numbers else ''} {numbers}"


def line_numbers(at: FilePlaces, file: str) -> str:
    """`12`, `12–40`, for a column that is headed as lines."""
    if [one.file for one in at.stretches] != [file]:
        return str(at)
    (one,) = at.stretches
    return f"{one.first}" if one.first == one.last else f"{one.first}–{one.last}"
