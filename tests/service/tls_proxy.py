"""A proxy that ends TLS, as small as one can be: it hands each request on to the service and says who asked, and by
which protocol, as Caddy and nginx do."""

from __future__ import annotations

import asyncio
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial

import trustme

ENDS = b"\r\n\r\n"


def told(head: bytes, address: str) -> bytes:
    """The head of a request as it is handed on: the sender's own X-Forwarded-For is kept, and the address from which it
    came stands behind it; X-Forwarded-Proto is what the proxy saw. One request a connection."""
    first, *lines = head.removesuffix(ENDS).split(b"\r\n")
    kept = []
    came_from = [address.encode("ascii")]
    for line in lines:
        name, _, value = line.partition(b":")
        match name.strip().lower():
            case b"x-forwarded-for":
                came_from.insert(len(came_from) - 1, value.strip())
            case b"x-forwarded-proto" | b"connection":
                pass
            case _:
                kept.append(line)
    more = [b"X-Forwarded-For: " + b", ".join(came_from), b"X-Forwarded-Proto: https", b"Connection: close"]
    return b"\r\n".join([first, *kept, *more]) + ENDS


async def _copy(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    with suppress(ConnectionError):
        while piece := await reader.read(65_536):
            writer.write(piece)
            await writer.drain()


async def _handed_on(reader: asyncio.StreamReader, writer: asyncio.StreamWriter, port: int) -> None:
    with suppress(ConnectionError, asyncio.IncompleteReadError):
        head = await reader.readuntil(ENDS)
        to_read, to_write = await asyncio.open_connection("127.0.0.1", port)
        to_write.write(told(head, writer.get_extra_info("peername")[0]))
        sends = asyncio.create_task(_copy(reader, to_write))
        await _copy(to_read, writer)
        sends.cancel()
        to_write.close()
    writer.close()


@contextmanager
def tls_in_front(at: int, port: int) -> Iterator[ssl.SSLContext]:
    """A proxy at one port, before the service at another; what a client needs to know its certificate."""
    authority = trustme.CA()
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    authority.issue_cert("localhost").configure_cert(context)
    trusts = ssl.create_default_context()
    authority.configure_trust(trusts)
    loop, started, stopped = asyncio.new_event_loop(), threading.Event(), asyncio.Event()

    async def served() -> None:
        hand_on = partial(_handed_on, port=port)
        async with await asyncio.start_server(hand_on, "127.0.0.1", at, ssl=context):
            started.set()
            await stopped.wait()

    def run() -> None:  # in the thread from the start: that of a test may have a loop that runs
        loop.run_until_complete(served())

    thread = threading.Thread(target=run)
    thread.start()
    assert started.wait(10)
    try:
        yield trusts
    finally:
        loop.call_soon_threadsafe(stopped.set)
        thread.join()
        loop.close()
