"""What messages suggest: the nearest right word, and lists of what could stand there."""

import difflib
import re
from collections.abc import Collection, Iterable, Mapping
from itertools import pairwise

MOST_LISTED = 12
_MOST_COMPARED = 300
"""Of more candidates only those with the same first letter are compared, and no more than these."""
_LIKE, _OTHER_NAME_LIKE, _RUN_TOGETHER, _NEARLY_THE_SAME, _LIKE_TO_PRAISE = 0.6, 0.85, 0.85, 0.9, 0.8
"""How like two texts must be: a word, another name of it, two words written as one or one as two, a word of praise that
was said or bad news that is suggested, praise that is suggested."""
OtherNames = Mapping[str, Collection[str]]
NO_OTHER_NAMES: OtherNames = {}
_EARLIER_WORDS: OtherNames = {
    "void": ("withdrawn",),
    "voids": ("withdraws",),
    "removed": ("withdrawn",),
    "needs_head_end_power": ("needs_trainline_power",),
}
"""Keys and words of files → how they were written before."""

_DENIALS = frozenset(
    ("no", "not", "non", "none", "never", "without", "nothing", "nobody", "nil", "zero", "w/o", "cannot", "lacks")
)
_DENYING = re.compile(r"(?:un|non|in|im|ir|dis|mis)(?=[a-z]{3})")
_SHORTEST_UNDOING = len("unlit")
_NO_UNDOING = ("under", "until", "unit", "union")
"""Beginnings of words that begin with `un` and undo nothing."""
_OPPOSITES = {
    word: frozenset(others)
    for row in (
        (("inside", "inner", "inboard"), ("outside", "outer", "outboard")),
        (("left",), ("right",)),
        (("front", "ahead"), ("rear", "behind", "back")),
        (("open", "opened"), ("closed", "shut", "close")),
        (("largest", "highest", "most", "longest", "greatest", "maximum"),
         ("smallest", "lowest", "least", "shortest", "minimum")),
        (("over", "above"), ("under", "below")),
        (("before",), ("after",)),
        (("applies", "apply", "applied"), ("releases", "release", "released")),
        (("wide",), ("narrow",)),
        (("first",), ("last",)),
        (("lit",), ("dark", "unlit")),
        (("tight",), ("loose",)),
        (("sealed",), ("open", "unsealed")),
        (("on",), ("off",)),
        (("works", "working", "operative"), ("inoperative", "fails", "dead")),
        (("dry",), ("wet",)),
        (("smooth",), ("rough",)),
        (("straight",), ("curved",)),
        (("missing", "absent"), ("fitted", "present", "place")),
    )
    for own, others in (row, row[::-1])
    for word in own
}  # fmt: skip
_PRAISE = frozenset((
    "good", "fine", "fair", "ok", "okay", "right", "correct", "sound", "solid", "whole", "intact", "clean", "smooth",
    "straight", "dry", "tight", "secure", "secured", "locked", "closed", "sealed", "fitted", "works", "working", "lit",
    "marked", "legible", "present", "complete", "fast", "free", "full", "new", "safe",
))  # fmt: skip
"""Words that say that all is well. One of them is meant for no word that only looks like it: `works` is not `worn`."""
_BRITISH = (
    ("centre", "center"), ("tyre", "tire"), ("colour", "color"), ("grey", "gray"), ("gage", "gauge"),
    ("metre", "meter"), ("draught", "draft"), ("calliper", "caliper"), ("stencilled", "stenciled"),
    ("labelled", "labeled"), ("licence", "license"), ("mould", "mold"), ("aluminium", "aluminum"),
)  # fmt: skip
_FILLING = frozenset(("a", "an", "the", "of", "in", "at", "is", "are", "and", "or", "to", "has", "have"))


def nearest(
    word: str, candidates: Iterable[str], other_names: OtherNames = NO_OTHER_NAMES, bad: Collection[str] = ()
) -> str:
    """The candidate most like `word`, or "" if none is near. Case, spaces, hyphens, underscores, plurals and British
    spelling don't count. A denial is never suggested to be what it denies, nor anything to be its opposite.

    other_names: candidate → what people call it; a word that is one of those is that candidate. bad: candidates that
    are bad news; one of them is suggested only for nearly the same word, never for a word that is merely like it.
    """
    wanted = _folded(word)[:80]
    known = [candidate for candidate in candidates if candidate]
    meant = {
        _singular(_folded(name)): one
        for one in known
        for name in (*other_names.get(one, ()), *_EARLIER_WORDS.get(one, ()))
    }
    exact = meant.get(_singular(wanted))
    if exact is not None:
        return exact
    plain = {_folded(candidate): candidate for candidate in known}
    if len(plain) > _MOST_COMPARED:
        alike = [candidate for candidate in plain if candidate[:1] == wanted[:1]]
        plain = {candidate: plain[candidate] for candidate in alike[:_MOST_COMPARED]}
    likeness: list[tuple[float, str]] = []
    for texts, least in ((plain, _LIKE), (meant, _OTHER_NAME_LIKE)):
        if not texts:
            continue
        for text in difflib.get_close_matches(wanted, texts, n=5, cutoff=least):
            if not denies(wanted, text) and _shares_each_word(wanted, text) and _praises_alike(wanted, text):
                near = _likeness(wanted, text)
                if near >= _NEARLY_THE_SAME or texts[text] not in bad:
                    likeness.append((near, texts[text]))
    return max(likeness, key=lambda one: one[0])[1] if likeness else ""


def denies(one: str, other: str) -> bool:
    """Whether one of two texts denies what the other says, or says its opposite."""
    first, second = _folded(one).split(), _folded(other).split()
    if "".join(first) == "".join(second):
        return False
    if bool(_DENIALS.intersection(first)) != bool(_DENIALS.intersection(second)):
        return True
    if _has_denying_prefix(first, second) or _has_denying_prefix(second, first):
        return True
    if _is_out_of(first) != _is_out_of(second):
        return True
    return any(not _OPPOSITES.get(word, frozenset()).isdisjoint(second) and word not in second for word in first)


def _is_out_of(words: list[str]) -> bool:
    """Whether a text says that something is out of what it should be in: out of place, out of reach."""
    return ("out", "of") in pairwise(words)


def _praises_alike(wanted: str, text: str) -> bool:
    """Whether a text says every word of praise that was said, but for a letter of its end, and is itself no single
    word of praise that only looks like what was said."""
    said, other = wanted.split(), text.split()
    kept = all(_begins_like(word, other, _NEARLY_THE_SAME) for word in _PRAISE.intersection(said))
    return kept and (len(other) > 1 or text not in _PRAISE or _begins_like(text, said, _LIKE_TO_PRAISE))


def _begins_like(word: str, words: list[str], least: float) -> bool:
    return any(one[0] == word[0] and _likeness(word, one) >= least for one in words)


def _has_denying_prefix(words: Iterable[str], others: Collection[str]) -> bool:
    """Whether one of the words is one of the others with `un`, `non`, `in` … before it."""
    for word in words:
        prefix = _DENYING.match(word)
        if prefix is None:
            continue
        alike = [one for one in others if one.startswith(prefix[0])]
        if prefix[0] == "un" and len(word) >= _SHORTEST_UNDOING and not word.startswith(_NO_UNDOING) and not alike:
            return True
        if not _close(word, alike, 0.8) and _close(word[prefix.end() :], others, 0.8):
            return True
    return False


def _shares_each_word(wanted: str, text: str) -> bool:
    """Whether each of several words is like one of the other text, so that no common last word makes two things one."""
    words = [one for one in wanted.split() if one not in _FILLING]
    if len(words) < 2 or _likeness(wanted.replace(" ", ""), text.replace(" ", "")) >= _RUN_TOGETHER:
        return True
    return all(_close(one, text.split(), _LIKE) for one in words)


def _close(word: str, words: Iterable[str], least: float) -> bool:
    return any(_likeness(word, one) >= least for one in words)


def _likeness(one: str, other: str) -> float:
    return difflib.SequenceMatcher(None, other, one).ratio()


def _folded(word: str) -> str:
    text = " ".join(word.lower().replace("_", " ").replace("-", " ").split())
    for british, american in _BRITISH:
        text = text.replace(british, american)
    return text


def _singular(text: str) -> str:
    return " ".join(word[:-1] if len(word) > 3 and word.endswith("s") else word for word in text.split())


def one_of(words: Iterable[str], otherwise: str = "nothing: there is none here") -> str:
    """`one of` a list, as `some` writes it; of an empty list, what stands there instead."""
    listed = some(words)
    return f"one of {listed}" if listed else otherwise


def some(words: Iterable[str]) -> str:
    """The words of a list, each as it is written in a file; the first few if there are many."""
    listed = list(words)
    shown = ", ".join(f"`{word}`" for word in listed[:MOST_LISTED])
    return f"{shown}, … ({len(listed)} in all)" if len(listed) > MOST_LISTED else shown


def listed(words: Iterable[str], last: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`. last: the word before the last one."""
    names = list(words)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + f" {last} {names[-1]}" if names else "nothing"
