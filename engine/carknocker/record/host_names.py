"""The names of railroads as people write them: which are one railroad's, and which are so alike that one has to ask."""

import re
from collections.abc import Iterable

_WORDS = re.compile(r"[^\W_]+")
_COMMON = frozenset((
    "the", "and", "of", "railroad", "railway", "rail", "road", "rr", "ry", "company", "co",
    "corporation", "corp", "inc", "incorporated", "limited", "ltd",
))  # fmt: skip
"""Words that tell no railroad from another."""
_LIKE = 0.8
"""How like the letters of two names are that may be one: no source, as names of railroads were tried."""


def same_railroad(one: str, other: str) -> bool:
    """Whether two names are the same but for capitals, spaces, signs, `&` or `and`, and words such as `RR`."""
    return _letters(one) == _letters(other)


def like_names(name: str, hosts: Iterable[str]) -> tuple[str, ...]:
    """Those of the hosts that a name may be meant for without being the same: all but alike in its letters, its
    initials, or some of its words."""
    return tuple(host for host in hosts if not same_railroad(name, host) and _alike(name, host))


def differ_by_one_letter(one: str, other: str) -> bool:
    """Whether two names are the same but for one letter: more or less, another one, or two exchanged. Eastern and
    Western differ by two."""
    shorter, longer = sorted((_letters(one), _letters(other)), key=len)
    at = next((n for n, (a, b) in enumerate(zip(shorter, longer, strict=False)) if a != b), len(shorter))
    if len(shorter) != len(longer):
        return len(longer) - len(shorter) == 1 and shorter[at:] == longer[at + 1 :]
    rest = shorter[at + 1 :] == longer[at + 1 :]
    exchanged = shorter[at : at + 2] == longer[at : at + 2][::-1] and shorter[at + 2 :] == longer[at + 2 :]
    return rest or exchanged


def _words(name: str) -> tuple[str, ...]:
    words = tuple(_WORDS.findall(name.casefold()))
    return tuple(word for word in words if word not in _COMMON) or words


def _letters(name: str) -> str:
    return "".join(_words(name)) or name.strip().casefold()


def _alike(name: str, host: str) -> bool:
    import difflib

    own, others = _words(name), _words(host)
    if own and others and (set(own) <= set(others) or set(others) <= set(own)):
        return True
    if _are_initials("".join(own), others) or _are_initials("".join(others), own):
        return True
    return difflib.SequenceMatcher(None, _letters(name), _letters(host)).ratio() >= _LIKE


def _are_initials(text: str, words: tuple[str, ...]) -> bool:
    """Whether a text is the first letters of several words, with `R`, `RR` or `RY` behind them or without."""
    initials = "".join(word[0] for word in words)
    return len(words) > 1 and text in (initials, f"{initials}r", f"{initials}rr", f"{initials}ry")
