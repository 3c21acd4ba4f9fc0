"""Keyboard interrupts, which go to every process of a terminal: the first process alone handles them, and stops the
others."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker


@contextmanager
def interrupts_blocked() -> Iterator[None]:
    """Blocks keyboard interrupts in this thread and in the processes that it starts meanwhile. Otherwise a new process
    that is interrupted before it ignores interrupts would print a traceback."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    resource_tracker.ensure_running()  # it would unblock them when it is started meanwhile
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
