"""Worker processes that judge, each with limits of time and memory, so that no record can stop the service."""

import os
import pickle
import resource
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, CancelledError, Future
from concurrent.futures import TimeoutError as TookTooLong
from hashlib import sha256
from math import inf
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait
from threading import Lock, Thread
from time import monotonic
from typing import Any, ParamSpec, TypeVar

import msgspec
from pebble import ProcessExpired, ProcessPool

from carknocker.cli.interrupts import interrupts_blocked
from carknocker.service.asked import Refused

LONGEST_SECONDS = 30
LONGEST_WAIT_SECONDS = 30
MOST_BYTES_OF_MEMORY = 2 * 1024**3
MOST_WAITING = 20
"""How many may wait while every process is at work; whoever comes then is told to come again."""
_LONGEST_START_SECONDS = 10
MOST_KEPT_ANSWERS = 64
MOST_BYTES_KEPT = 64 * 1024**2

_BUSY = "too much is being worked out at once; ask again in a few seconds"

Given = ParamSpec("Given")
Answer = TypeVar("Answer")


def _begin(most: int) -> None:
    """What a worker does first: takes its limit of memory, and sees to it that it ends with the service, also where
    that was killed."""
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    service = parent_process()
    if service is not None:
        Thread(target=_end_with, args=(service.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


class _UnderWay(msgspec.Struct, frozen=True):
    """A question that was handed to the pool. Those who ask the same meanwhile wait for the same answer. until: when
    they are told that it takes too long, by the clock of `monotonic`."""

    future: "Future[Any]"
    until: float


class Workers:
    """A pool of processes, and the answers that were given last. A function asked of it is pure, so that the same
    question has the same answer. A process that is stopped or ends by itself is replaced."""

    def __init__(
        self, processes: int, *, longest: float = LONGEST_SECONDS, memory: int = MOST_BYTES_OF_MEMORY,
        waiting: int = MOST_WAITING, longest_wait: float = LONGEST_WAIT_SECONDS,
    ) -> None:  # fmt: skip
        """longest: seconds that one answer may take once it is begun. waiting: how many may wait for a process, each no
        longer than `longest_wait` seconds."""
        self.processes = processes
        self.most_asking = processes + waiting
        self._memory = memory
        self._longest = longest
        self._longest_wait = longest_wait
        self._pool = self._new_pool()
        self._kept: OrderedDict[Any, Any] = OrderedDict()
        self._bytes = 0
        self._under_way: dict[Any, _UnderWay] = {}
        self._asking = 0
        self._answered_at = -inf
        self._stopped = False
        self._lock = Lock()

    def ask(self, function: Callable[Given, Answer], *given: Given.args, **named: Given.kwargs) -> Answer:
        """The function's answer, made in a worker. Raises what it raises, and Refused where it took too long or too
        much, where too many wait, or where the service stops."""
        key = (function.__qualname__, sha256(pickle.dumps(given)).digest())
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]  # type: ignore[no-any-return]
            if self._asking >= self.most_asking:
                raise Refused("busy", _BUSY)
            under_way = self._under_way.get(key)
            if under_way is None:
                until = monotonic() + self._longest_wait + self._longest
                under_way = self._under_way[key] = _UnderWay(self._scheduled(function, given), until)
            self._asking += 1
        try:
            answer: Answer = self._waited_for(under_way)
        finally:
            with self._lock:
                self._asking -= 1
                if self._under_way.get(key) is under_way:
                    del self._under_way[key]
        self._keep(key, answer)
        return answer

    def _waited_for(self, under_way: _UnderWay) -> Any:
        future = under_way.future
        try:
            answer = future.result(max(0.0, under_way.until - monotonic()))
        except TookTooLong:
            if not future.done():  # it never came to its turn
                future.cancel()
                raise Refused("busy", _BUSY) from None
            raise Refused("stopped", f"it took longer than {self._longest:g} seconds and was stopped") from None
        except (ProcessExpired, MemoryError):
            raise Refused("stopped", "it took more memory than one answer may and was stopped") from None
        except (BrokenExecutor, CancelledError):
            raise Refused("busy", _BUSY) from None
        self._answered_at = monotonic()
        return answer

    def _scheduled(self, function: Callable[..., Any], given: tuple[Any, ...]) -> "Future[Any]":
        """The question, handed to the pool; to a new one where the old one has broken down, which it does when a
        process ends that had nothing to do."""
        if self._stopped:
            raise Refused("busy", _BUSY)
        with interrupts_blocked():  # it may start the processes
            if not self._pool.active:
                self._pool.stop()
                self._pool.join()
                self._pool = self._new_pool()
            try:
                scheduled: Future[Any] = self._pool.schedule(function, args=given, timeout=self._longest)
            except OSError:  # no process can be started: too many of them, no memory, no shared memory
                raise Refused("busy", _BUSY) from None
        return scheduled

    def _new_pool(self) -> Any:
        return ProcessPool(
            max_workers=self.processes, context=get_context("spawn"), initializer=_begin,
            initargs=(self._memory,),
        )  # fmt: skip

    def _keep(self, key: Any, answer: Any) -> None:
        size = _size(answer)
        if size > MOST_BYTES_KEPT // 4:
            return
        with self._lock:
            if key in self._kept:  # somebody who waited for the same answer kept it
                return
            self._kept[key] = answer
            self._bytes += size
            while len(self._kept) > MOST_KEPT_ANSWERS or self._bytes > MOST_BYTES_KEPT:
                _, dropped = self._kept.popitem(last=False)
                self._bytes -= _size(dropped)

    def forget(self) -> None:
        """Keeps no answer any longer that was given before."""
        with self._lock:
            self._kept.clear()
            self._bytes = 0

    def live(self) -> bool:
        """Whether the processes answer: one that is free does, and where none is, one did within the time that an
        answer may take."""
        with self._lock:
            if self._stopped:
                return False
            if self._asking >= self.processes:
                return monotonic() - self._answered_at < self._longest + self._longest_wait
            try:
                future = self._scheduled(_nothing, ())
            except Refused:
                return False
        try:
            future.result(_LONGEST_START_SECONDS)
        except Exception:
            future.cancel()
            return False
        return True

    def stop(self) -> None:
        """Ends the processes; who still waits for one is refused."""
        with self._lock:
            self._stopped = True
            waiting = [one.future for one in self._under_way.values()]
        self._pool.stop()
        for future in waiting:
            future.cancel()
        self._pool.join()


def _size(answer: Any) -> int:
    """How many bytes an answer holds, of texts and of files."""
    match answer:
        case bytes() | str():
            return len(answer)
        case msgspec.Struct():
            return sum(_size(getattr(answer, name)) for name in answer.__struct_fields__)
        case tuple() | list():
            return sum(map(_size, answer))
        case dict():
            return sum(map(_size, answer.values()))
    return 0


def _nothing() -> None:
    return None
