"""How an entry of a list of the record is called where it is put right: `test hand brake test of 2030-04-20`."""

import re
from datetime import date

LISTS = {
    "test": "tests", "paper": "papers", "job": "work", "event": "events", "move made": "moves_made", "spare": "spares",
}  # fmt: skip
"""What an entry is called → its list in the record."""
NAMED_BY = {"test": "test", "paper": "paper", "job": "did", "event": "happened", "spare": "spare"}
"""The key that says which it is; a move made has none."""
DAYS = ("on", "from")
"""The key of the day by which an entry is told from others, the first that it has."""
ENTRY, NEVER_WAS = "entry", "never was"
"""What a correction says of an entry that is taken out."""
_CALLED = re.compile(rf"({'|'.join(LISTS)})(?: (.+?))??(?: of ([0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}))?")


def entry_called(text: str) -> tuple[str, str, str] | None:
    """What an entry is, which, and its day, each empty where that is not said; None for any other text."""
    told = _CALLED.fullmatch(text.strip())
    return None if told is None else (told[1], told[2] or "", told[3] or "")


def call_of(what: str, name: str, day: date | str) -> str:
    """The words that `entry_called` reads."""
    return " ".join(filter(None, (what, name, f"of {day}" if day else "")))
