"""Turns at a car: what is written to one car from its newest version is written one after the other."""

from collections.abc import Callable
from threading import Condition
from time import monotonic
from typing import TypeVar

from carknocker.service.asked import Refused
from carknocker.service.storage.history import Changed

MOST_WAITING = 60
"""How many may wait for their turns, at all cars together; whoever comes then is told to come again."""
LONGEST_WAIT_SECONDS = 60.0
_BUSY = "too many are writing to this car at once; nothing was written; send it again in a few seconds"

Done = TypeVar("Done")


class Turns:
    """Who writes waits for the one before. Another process on the same database has its own turns: where that one wrote
    meanwhile, the writing is done again."""

    def __init__(self, *, most_waiting: int = MOST_WAITING, longest_wait: float = LONGEST_WAIT_SECONDS) -> None:
        self._most_waiting = most_waiting
        self._longest_wait = longest_wait
        self._taken: set[str] = set()
        self._waiting = 0
        self._changed = Condition()

    def write(self, car_id: str, writing: Callable[[], Done]) -> Done:
        """What `writing` returns, which reads the newest version itself. Raises what it raises, but Changed only where
        another process was quicker again and again; and Refused where too many wait, or it waited too long."""
        until = monotonic() + self._longest_wait
        self._take(car_id, until)
        try:
            while True:
                try:
                    return writing()
                except Changed:
                    if monotonic() >= until:
                        raise
        finally:
            with self._changed:
                self._taken.remove(car_id)
                self._changed.notify_all()

    def _take(self, car_id: str, until: float) -> None:
        with self._changed:
            if car_id in self._taken:
                if self._waiting >= self._most_waiting:
                    raise Refused("busy", _BUSY)
                self._waiting += 1
                try:
                    free = self._changed.wait_for(lambda: car_id not in self._taken, max(0.0, until - monotonic()))
                finally:
                    self._waiting -= 1
                if not free:
                    raise Refused("busy", _BUSY)
            self._taken.add(car_id)
