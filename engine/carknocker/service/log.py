"""The log: a line of JSON for each request, without anything that somebody wrote. What is between the slashes of an
address, its query, bodies, names of people and of cars are not in it, and no text of an error: only where it arose."""

import json
import logging
import sys
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from time import perf_counter
from typing import Any, TypeAlias

from carknocker.service.guard import Application, Message, Receive, Scope, Send

WriteLine: TypeAlias = Callable[[str], None]

_METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")


def to_standard_output(line: str) -> None:
    """Writes a line at once, so that none is lost with the process."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


class Log:
    """Lines of the log. now: the clock."""

    def __init__(self, write: WriteLine, now: Callable[[], datetime]) -> None:
        self._write = write
        self._now = now

    def event(self, what: str, **more: str | float | None) -> None:
        """A line that says what happened. more: words of ours and figures alone."""
        at = self._now().astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        self._write(json.dumps({"at": at, "what": what, **more}))

    def error(self, what: str, error: BaseException) -> None:
        """A line about an error: its kind and where it arose, since its text may hold what somebody wrote."""
        self.event(what, error=type(error).__name__, where=_place(error))


class RequestLog:
    """Writes the line of each request when it is answered. An error that nobody caught is in it, and ends there."""

    def __init__(self, app: Application, log: Log) -> None:
        self._app = app
        self._log = log

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        status: int | None = None
        began = perf_counter()
        more: dict[str, str] = {}

        async def watched(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        try:
            await self._app(scope, receive, watched)
        except Exception as error:  # its answer, 500, was sent
            more = {"error": type(error).__name__, "where": _place(error)}
        finally:
            self._log.event(
                "request", method=scope["method"] if scope["method"] in _METHODS else "other",
                route=getattr(scope.get("route"), "path", None), status=status,
                ms=round((perf_counter() - began) * 1000, 1), who=_who(scope), **more,
            )  # fmt: skip


def _who(scope: Scope) -> str | None:
    """The id of the account, the number of the link, or else the role: never a name."""
    visitor = scope.get("state", {}).get("visitor")
    if visitor is None:
        return None
    if visitor.account:
        return str(visitor.account)
    return f"link {visitor.opener}" if visitor.opener else str(visitor.role.value)


def _place(error: BaseException) -> str:
    """The last place of ours on the way to an error: module and line."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if "carknocker" in frame.filename] or frames[-1:]
    return f"{ours[-1].filename.rpartition('carknocker')[2].lstrip('/')}:{ours[-1].lineno}" if ours else ""


class _AsLines(logging.Handler):
    """What libraries log, as lines of ours: who logged, how grave, and of an error its kind and place. Their texts may
    hold what somebody wrote."""

    def __init__(self, log: Log) -> None:
        super().__init__(logging.WARNING)
        self._log = log

    def emit(self, record: logging.LogRecord) -> None:
        """Writes the line."""
        error = record.exc_info[1] if record.exc_info else None
        if error is None:
            self._log.event(record.levelname.casefold(), by=record.name)
        else:
            self._log.error(record.levelname.casefold(), error)


def take_over(log: Log) -> None:
    """Has the libraries log through this log alone."""
    root: Any = logging.getLogger()
    root.handlers[:] = [_AsLines(log)]
    root.setLevel(logging.WARNING)
