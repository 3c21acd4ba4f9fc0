"""A proxy that ends TLS with a certificate of its own making, as one stands before a service with a public name."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import ssl
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path


def certificate(folder: Path) -> ssl.SSLContext:
    """A certificate for `localhost` that nobody but its maker has signed."""
    folder.mkdir(parents=True, exist_ok=True)
    key, signed = folder / "key.pem", folder / "certificate.pem"
    made = subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes",
         "-days", "30", "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost",
         "-keyout", key, "-out", signed],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(signed, key)
    return context


@contextmanager
def ending_tls(listening: socket.socket, inner: int, folder: Path) -> Iterator[None]:
    """Takes https at a socket, and asks the port `inner` of this machine over http, one request a connection."""
    loop, started, stopped = asyncio.new_event_loop(), threading.Event(), asyncio.Event()
    context = certificate(folder)

    async def serve() -> None:
        async with await asyncio.start_server(partial(_one, inner), sock=listening, ssl=context):
            started.set()
            await stopped.wait()

    def run() -> None:
        with asyncio.Runner(loop_factory=lambda: loop) as runner:
            runner.run(serve())

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    assert started.wait(10)
    try:
        yield
    finally:
        loop.call_soon_threadsafe(stopped.set)
        thread.join(10)


async def _one(inner: int, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    with contextlib.suppress(OSError, asyncio.IncompleteReadError, asyncio.CancelledError):
        first, *lines = (await reader.readuntil(b"\r\n\r\n")).rstrip(b"\r\n").split(b"\r\n")
        kept = [one for one in lines if not one.lower().startswith((b"x-forwarded-", b"connection:"))]
        peer = str(writer.get_extra_info("peername")[0]).encode()
        said = [b"X-Forwarded-For: " + peer, b"X-Forwarded-Proto: https", b"Connection: close"]
        from_inner, to_inner = await asyncio.open_connection("127.0.0.1", inner)
        to_inner.write(b"\r\n".join((first, *kept, *said, b"", b"")))
        sending = asyncio.create_task(_poured(reader, to_inner))
        await _poured(from_inner, writer)
        sending.cancel()
        to_inner.close()
    writer.close()


async def _poured(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    with contextlib.suppress(OSError):
        while piece := await reader.read(65_536):
            writer.write(piece)
            await writer.drain()
