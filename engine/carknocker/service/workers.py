"""Worker processes that judge, each with limits of time and memory, so that no record can stop the service."""

import resource
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import TimeoutError as TookTooLong
from multiprocessing import get_context
from threading import Lock
from typing import Any, ParamSpec, TypeVar

from pebble import ProcessExpired, ProcessPool

from carknocker.service.asked import Refused

LONGEST_SECONDS = 30
MOST_BYTES_OF_MEMORY = 2 * 1024**3
MOST_KEPT_ANSWERS = 64
MOST_BYTES_KEPT = 64 * 1024**2

Given = ParamSpec("Given")
Answer = TypeVar("Answer")


def _limit_memory(most: int) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


class Workers:
    """A pool of processes, and the answers that were given last. A function asked of it is pure, so that the same
    question has the same answer."""

    def __init__(self, processes: int, *, longest: float = LONGEST_SECONDS, memory: int = MOST_BYTES_OF_MEMORY) -> None:
        self._pool: Any = ProcessPool(
            max_workers=processes, context=get_context("spawn"), initializer=_limit_memory, initargs=(memory,)
        )
        self._longest = longest
        self._kept: OrderedDict[Any, Any] = OrderedDict()
        self._bytes = 0
        self._lock = Lock()

    def ask(self, function: Callable[Given, Answer], *given: Given.args, **named: Given.kwargs) -> Answer:
        """The function's answer, made in a worker. Raises what it raises, and Refused where it took too long or too
        much."""
        key = (function.__qualname__, given)
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]  # type: ignore[no-any-return]
        future = self._pool.schedule(function, args=given, timeout=self._longest)
        try:
            answer: Answer = future.result()
        except TookTooLong:
            raise Refused("stopped", f"it took longer than {self._longest:g} seconds and was stopped") from None
        except (ProcessExpired, MemoryError):
            raise Refused("stopped", "it took more memory than one answer may and was stopped") from None
        self._keep(key, answer)
        return answer

    def _keep(self, key: Any, answer: Any) -> None:
        size = len(getattr(answer, "body", b""))
        if size > MOST_BYTES_KEPT // 4:
            return
        with self._lock:
            self._kept[key] = answer
            self._bytes += size
            while len(self._kept) > MOST_KEPT_ANSWERS or self._bytes > MOST_BYTES_KEPT:
                _, dropped = self._kept.popitem(last=False)
                self._bytes -= len(getattr(dropped, "body", b""))

    def stop(self) -> None:
        """Ends the processes."""
        self._pool.stop()
        self._pool.join()
