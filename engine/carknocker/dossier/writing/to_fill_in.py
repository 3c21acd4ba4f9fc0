"""Boxes and blank lines to be filled in by hand, in signs: for media that can't draw them."""

BOX = "[__________]"
BLANK = "_" * 32


def box_lines(lines: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """A line for each box: the box, what is to be read, what helps."""
    return tuple(f"{BOX} {label}. {told}" if told else f"{BOX} {label}" for label, told in lines)


def blank_rows(lines: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """Labelled rows, each with a blank and what helps in brackets."""
    return tuple((label, f"{BLANK} ({told})" if told else BLANK) for label, told in lines)
