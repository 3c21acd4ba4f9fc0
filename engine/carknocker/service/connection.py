"""A connection that waits only so long for the head of a request: the server by itself would wait for ever."""

from asyncio import TimerHandle, Transport
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

LONGEST_HEAD_SECONDS = 10.0


class Connection(H11Protocol):
    """Closed where the head of a request, the first or a later one, has not come as a whole in time, and where somebody
    sends on after the answer. The time for a body that is read is the guard's."""

    longest = LONGEST_HEAD_SECONDS
    _closes: TimerHandle | None = None

    def connection_made(self, transport: Transport) -> None:  # type: ignore[override]
        """Begins to wait for the first head."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Waits on, unless these bytes end a head."""
        if self.cycle is None or self.cycle.response_complete:
            self._wait()
        super().data_received(data)
        if self.cycle is not None and not self.cycle.response_complete:
            self._wait_no_more()

    def on_response_complete(self) -> None:
        """Waits for the next head."""
        super().on_response_complete()
        if self.cycle.response_complete and not self.transport.is_closing():
            self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forgets the time."""
        self._wait_no_more()
        super().connection_lost(exc)

    def _wait(self) -> None:
        if self._closes is None:
            loop: Any = self.loop
            self._closes = loop.call_later(self.longest, self.transport.close)

    def _wait_no_more(self) -> None:
        if self._closes is not None:
            self._closes.cancel()
            self._closes = None
