"""Whether a host that somebody names is one of those whose circulars are at hand, written a little otherwise: without
its circular the car would be judged by too little."""

import difflib
import re
from collections.abc import Collection

_ALIKE = 0.93
"""How like two names must be to be one with a slip of the pen: one wrong letter in fifteen."""
_FILLING = frozenset(("rr", "ry", "rwy", "railroad", "railway", "co", "company", "the", "and", "inc"))


def host_meant(name: str, at_hand: Collection[str]) -> str:
    """The host at hand that is meant by another spelling of its name; empty where the name is right, or another."""
    if not name or name in at_hand:
        return ""
    wanted = _folded(name)
    for host in sorted(at_hand):
        folded = _folded(host)
        if folded == wanted or difflib.SequenceMatcher(None, folded, wanted).ratio() >= _ALIKE:
            return host
    return ""


def _folded(name: str) -> str:
    """A name without capitals, points and what is left out in speech."""
    words = re.split(r"[^a-z0-9]+", name.casefold())
    return " ".join(word for word in words if word and word not in _FILLING)
