"""How often somebody may try to log in."""

import ipaddress
from collections import OrderedDict, deque
from collections.abc import Callable
from threading import Lock
from time import monotonic

WITHIN_SECONDS = 15 * 60
MOST_OF_NAME = 10
MOST_OF_ADDRESS = 50
_MOST_KEPT = 10_000


class TooManyTries(Exception):
    """It was tried too often. minutes: until it may be tried again, at the most."""

    def __init__(self, minutes: int) -> None:
        super().__init__(minutes)
        self.minutes = minutes


class Tries:
    """Counts tries by what is tried, whether there is such a thing or not. clock: seconds that only grow."""

    def __init__(self, most: int, within: float = WITHIN_SECONDS, clock: Callable[[], float] = monotonic) -> None:
        self._most = most
        self._within = within
        self._clock = clock
        self._times: OrderedDict[str, deque[float]] = OrderedDict()
        self._lock = Lock()

    def count(self, what: str) -> None:
        """Counts a try before it is looked at, so that many at once are not many. Raises TooManyTries."""
        now = self._clock()
        with self._lock:
            times = self._times.setdefault(what, deque(maxlen=self._most))
            self._times.move_to_end(what)
            while times and times[0] <= now - self._within:
                times.popleft()
            if len(times) >= self._most:
                raise TooManyTries(int((times[0] + self._within - now) // 60) + 1)
            times.append(now)
            while len(self._times) > _MOST_KEPT:
                self._times.popitem(last=False)

    def forget(self, what: str) -> int:
        """What succeeded is tried anew from nothing. How often it was tried, the last time counted."""
        with self._lock:
            return len(self._times.pop(what, ()))


def network_of(address: str) -> str:
    """The address that counts: of IPv6 the part that a house is given."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    if found.version == 6 and found.ipv4_mapped is None:
        return str(ipaddress.ip_network((found, 64), strict=False))
    return str(getattr(found, "ipv4_mapped", None) or found)
