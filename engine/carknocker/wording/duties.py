"""What a duty asks for, in words."""

from datetime import date

from carknocker.rulebook.model import Requires


def requirement_of_duty(requires: Requires, part: str, since: date | None) -> str:
    """What a duty asks for, on which part."""
    if requires.test:
        after = f", dated after {since.isoformat()}" if since is not None else ""
        return f"{requires.test} of {part}, passed{after}"
    if requires.spare:
        return f"{requires.spare}, sound and fitting {part}, rides along"
    return f"{requires.words} ({part})"


def duty_words(requires: Requires) -> str:
    """What a duty asks for."""
    if requires.test:
        return f"{requires.test}, passed"
    return f"{requires.spare}, fitting and sound, riding along" if requires.spare else requires.words
