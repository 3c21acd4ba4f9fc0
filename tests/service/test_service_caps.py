"""What would stop the service, fill its memory or its disk, or lead out of its folder: each tried, each refused."""

import asyncio
import gzip
import io
import json
import socket
import threading
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import anyio
import httpx
import pytest
import uvicorn
from fastapi.testclient import TestClient

from carknocker.service.address import LOOPBACK
from carknocker.service.connection import Connection
from carknocker.service.guard import MOST_BYTES_OF_BODY, MOST_FIELDS, Guard
from carknocker.service.storage import backup
from carknocker.service.storage.backup import BackupRefused, read_backup, write_backup
from carknocker.service.storage.car_list import Car
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History, NewVersion

AT = "2026-10-08T12:00:00Z"
ALIASES = "a: &a [x,x,x,x,x,x,x,x,x]\n" + "".join(
    f"{new}: &{new} [{','.join([f'*{old}'] * 9)}]\n" for old, new in zip("abcdefgh", "bcdefghi", strict=True)
)
"""Nine lines that stand for 9**9 words."""


@pytest.fixture
def car(client: TestClient, record: str, move: str) -> str:
    return f"/api/cars/{client.post('/api/cars', json={'record': record, 'move': move}).json()['id']}"


@pytest.mark.parametrize("text", [ALIASES, "[" * 100_000, "{a: " * 50_000, "&a [*a]", "<<: *a\n" * 1000])
def test_alias_bombs_and_deep_texts_are_refused_wherever_a_text_comes_in(
    client: TestClient, car: str, text: str
) -> None:
    asked = [
        lambda: client.put(f"{car}/texts/record", json={"text": text}, headers={"If-Match": '"1"'}),
        lambda: client.put(f"{car}/texts/move", json={"text": text}, headers={"If-Match": '"1"'}),
        lambda: client.post("/api/cars", json={"answers": text}),
        lambda: client.post("/api/cars", json={"record": text, "move": text}),
        lambda: client.post(f"{car}/forms?name=w.yaml", content=text.encode()),
        lambda: client.put(
            "/api/rulesets/a-host/1", json={"files": {"edition.yaml": text}}, headers={"If-Match": '"0"'}
        ),
    ]  # fmt: skip
    for ask in asked:
        before = time.monotonic()
        answer = ask()
        assert answer.status_code == 422, answer.text
        assert time.monotonic() - before < 20
        assert len(answer.content) < 100_000
    assert len(client.get("/api/cars").json()["cars"]) == 1


@pytest.mark.parametrize("body", ["[" * 1_000_000, '{"record":' * 100_000, '{"record": "x", "move": "y", "record": 1}'])
def test_deep_or_doubled_json_is_refused(client: TestClient, body: str) -> None:
    answer = client.post("/api/cars", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code == 400


def zip_bomb(name: str, size: int) -> bytes:
    to = io.BytesIO()
    with (
        zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open(name, "w", force_zip64=True) as opened,
    ):
        for _ in range(size // 2**20):
            opened.write(bytes(2**20))
    return to.getvalue()


@pytest.mark.parametrize("inside", ["xl/workbook.xml", "[Content_Types].xml", "../../evil", "/etc/passwd"])
def test_a_spreadsheet_that_unpacks_to_much_or_elsewhere_is_refused(client: TestClient, car: str, inside: str) -> None:
    bomb = zip_bomb(inside, 250 * 2**20)
    assert len(bomb) < 2**20
    answer = client.post(f"{car}/forms?name=w.xlsx", content=bomb)
    assert answer.status_code == 422
    assert [one["kind"] for one in client.get(f"{car}/history").json()["versions"]] == ["move", "record"]


def test_a_packed_body_is_not_unpacked(client: TestClient, car: str) -> None:
    packed = gzip.compress(json.dumps({"text": "x" * 10_000_000}).encode())
    headers = {"Content-Encoding": "gzip", "Content-Type": "application/json", "If-Match": '"1"'}
    assert client.put(f"{car}/texts/record", content=packed, headers=headers).status_code == 400


@pytest.mark.parametrize(("fields", "status"), [(MOST_FIELDS, 403), (MOST_FIELDS + 1, 413), (4_000_000, 413)])
def test_a_form_of_very_many_fields_is_refused_before_it_is_taken_apart(
    client: TestClient, fields: int, status: int
) -> None:
    """403: it has no token of a page, and so was taken apart."""
    before = time.monotonic()
    body = "&".join(["a=1"] * fields)
    answer = client.post("/new", content=body, headers={"Content-Type": "application/x-www-form-urlencoded"})
    assert answer.status_code == status
    assert time.monotonic() - before < 5


async def _in_pieces(body: bytes) -> Any:
    for start in range(0, len(body), 2**20):
        yield body[start : start + 2**20]
        await asyncio.sleep(0)


def test_all_bodies_together_have_a_cap_and_what_was_held_is_given_back(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("carknocker.service.guard.MOST_BYTES_AT_ONCE", 2 * 2**20)
    inside = asyncio.Event()

    async def answers(scope: Any, receive: Any, send: Any) -> None:
        if scope["path"] == "/waits":
            await inside.wait()
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b""})

    guard = Guard(answers, LOOPBACK)

    async def ask() -> list[int]:
        transport = httpx.ASGITransport(app=guard)  # type: ignore[arg-type]
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as client:
            one = asyncio.create_task(client.post("/waits", content=bytes(2**20 + 1)))
            await asyncio.sleep(0.05)
            second = await client.post("/", content=bytes(2**20))
            inside.set()
            first = await one
            third = await client.post("/", content=bytes(2**20))
            return [first.status_code, second.status_code, third.status_code]

    told: list[list[int]] = []
    apart = threading.Thread(target=lambda: told.append(anyio.run(ask)))
    apart.start()
    apart.join()
    assert told == [[200, 503, 200]]
    assert guard._held == 0


class Hasty(Connection):
    longest = 0.4


@pytest.fixture(scope="module")
def port() -> Iterator[int]:
    """A server with the service's own connections and guard, in a hurry."""

    async def answers(scope: Any, receive: Any, send: Any) -> None:
        await receive()
        await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"0")]})
        await send({"type": "http.response.body", "body": b""})

    listening = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(Guard(answers, LOOPBACK, longest=0.4), http=Hasty, ws="none", log_config=None,
                            lifespan="off")  # fmt: skip
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, args=([listening],))
    thread.start()
    yield int(listening.getsockname()[1])
    server.should_exit = True
    thread.join()


def until_closed(opened: socket.socket) -> bytes:
    opened.settimeout(10)
    said = b""
    while True:
        try:
            piece = opened.recv(65_536)
        except ConnectionResetError:
            return said
        if not piece:
            return said
        said += piece


@pytest.mark.parametrize(
    "before",
    [
        b"",
        b"GET / HT",
        b"GET / HTTP/1.1\r\nHost: localhost\r\nX: ",
        b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\nGET / H",
    ],
)
def test_whoever_sends_the_head_of_a_request_slowly_is_hung_up_on(port: int, before: bytes) -> None:
    with socket.create_connection(("127.0.0.1", port)) as opened:
        began = time.monotonic()
        opened.sendall(before)
        said = until_closed(opened)
        assert 0.3 < time.monotonic() - began < 5
        assert said.startswith(b"HTTP/1.1 200") is before.endswith(b"GET / H")


def send_for_ever(opened: socket.socket, piece: bytes, pause: float = 0) -> None:
    """Until it is hung up on, which has to be soon."""
    began = time.monotonic()
    with pytest.raises((BrokenPipeError, ConnectionResetError)):  # noqa: PT012
        while time.monotonic() - began < 10:
            opened.sendall(piece)
            time.sleep(pause)
    assert time.monotonic() - began < 5


def test_byte_by_byte_is_no_way_around_it(port: int) -> None:
    with socket.create_connection(("127.0.0.1", port)) as opened:
        send_for_ever(opened, b"x", 0.05)


def test_a_body_that_comes_slowly_is_refused_on_the_wire(port: int) -> None:
    with socket.create_connection(("127.0.0.1", port)) as opened:
        opened.sendall(b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 10\r\n\r\nx")
        assert until_closed(opened).startswith(b"HTTP/1.1 408")


def test_a_hundred_megabytes_are_refused_on_the_wire_whether_the_length_is_said_or_not(port: int) -> None:
    with socket.create_connection(("127.0.0.1", port)) as opened:
        opened.sendall(b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 104857600\r\n\r\n")
        assert until_closed(opened).startswith(b"HTTP/1.1 413")
    with socket.create_connection(("127.0.0.1", port)) as opened:
        opened.sendall(b"POST / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n")
        piece = b"100000\r\n" + bytes(2**20) + b"\r\n"
        for _ in range(MOST_BYTES_OF_BODY // 2**20 + 1):
            opened.sendall(piece)
        assert opened.recv(65_536).startswith(b"HTTP/1.1 413")
        send_for_ever(opened, piece, 0.01)


# -------------------------------------------------------------------- what is restored


@pytest.fixture
def whole(tmp_path: Path) -> io.BytesIO:
    """A backup of one car with a record and a large file."""
    history = History(open_database(tmp_path / "first"), tmp_path / "first")
    history.add_car(Car("c1", "QTST 1", "Test", AT, "owner"))
    history.add([NewVersion("c1", "record", "", b"one", "text/yaml", AT, "owner")])
    history.add([NewVersion("c1", "photograph", "p", b"x" * 300_000, "image/jpeg", AT, "owner")])
    to = io.BytesIO()
    write_backup(history.engine, history.data, to, AT)
    history.engine.dispose()
    return to


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[History]:
    made = History(open_database(tmp_path / "second"), tmp_path / "second")
    yield made
    made.engine.dispose()


def refused(source: io.BytesIO, elsewhere: History, why: str) -> None:
    with pytest.raises(BackupRefused, match=why):
        read_backup(elsewhere.engine, elsewhere.data, source)
    assert elsewhere.versions("c1") == ()
    assert [one for one in elsewhere.data.rglob("*") if one.is_file() and "sqlite" not in one.name] == []


def with_more(source: io.BytesIO, name: str, body: bytes, method: int = zipfile.ZIP_DEFLATED) -> io.BytesIO:
    """The backup with one file more, or one in place of its own."""
    to = io.BytesIO()
    with zipfile.ZipFile(source) as before, zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as after:
        for one in before.namelist():
            if one != name:
                after.writestr(one, before.read(one))
        after.writestr(name, body, method)
    return to


@pytest.mark.parametrize(
    "name",
    ["../../evil", "/etc/evil", "content/../../evil", "content/" + "a" * 63, "content/" + "A" * 64, "files/aa/x",
     "content\\..\\evil", "backup.json/x", "entry.jsonl\n", ".jsonl"],
)  # fmt: skip
def test_a_name_that_leads_elsewhere_is_refused(
    whole: io.BytesIO, elsewhere: History, tmp_path: Path, name: str
) -> None:
    refused(with_more(whole, name, b"evil"), elsewhere, "holds a file that no backup has")
    assert not list(tmp_path.rglob("*evil*"))


def row_of(source: io.BytesIO, name: str, number: int = 0) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    with zipfile.ZipFile(source) as archive:
        rows = [json.loads(line) for line in archive.read(f"{name}.jsonl").splitlines()]
    return rows, rows[number]


@pytest.mark.parametrize(
    ("table", "change"),
    [("content", {"digest": "../../../evil", "place": "blanked"}), ("content", {"digest": "../../../evil"}),
     ("content", {"digest": "A" * 64, "place": "blanked"}), ("content", {"size": "3"}), ("content", {"size": True}),
     ("content", {"media_type": "text/html\r\nSet-Cookie: a=b"}), ("content", {"media_type": None}),
     ("content", {"size": -1}), ("content", {"size": 10**12}),
     ("entry", {"number": "1"}), ("entry", {"number": 0}), ("entry", {"number": 10**30}), ("entry", {"by": None}),
     ("entry", {"digest": "0" * 64}), ("entry", {"car": "none"}), ("entry", {"id": 1.5}), ("entry", {"note": ["x"]}),
     ("car", {"mark": {"a": 1}})],
)  # fmt: skip
def test_a_row_that_the_service_never_wrote_is_refused(
    whole: io.BytesIO, elsewhere: History, table: str, change: dict[str, Any]
) -> None:
    rows, row = row_of(whole, table)
    row.update(change)
    lines = b"".join(json.dumps(one).encode() + b"\n" for one in rows)
    refused(with_more(whole, f"{table}.jsonl", lines), elsewhere, "none|no backup|not what they were")


def test_bombs_are_refused_before_they_are_unpacked(whole: io.BytesIO, elsewhere: History) -> None:
    before = time.monotonic()
    for name in ("entry.jsonl", "backup.json"):
        refused(with_more(whole, name, bytes(200 * 2**20)), elsewhere, "packed more tightly than any backup")
    digest = "0" * 64
    large = with_more(whole, f"content/{digest}", bytes(backup.MOST_BYTES_OF_CONTENT + 1))
    refused(large, elsewhere, "larger than any that the service keeps")
    assert time.monotonic() - before < 30


def test_a_file_that_says_to_be_smaller_than_it_is_is_refused(whole: io.BytesIO, elsewhere: History) -> None:
    """The size in the list of members and in the member's own head, of the content with the record."""
    digest = "7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed"  # of `one`, by sha256sum
    lying = with_more(whole, f"content/{digest}", b"one" + bytes(5 * 2**20)).getvalue()
    said = (5 * 2**20 + 3).to_bytes(4, "little")
    assert lying.count(said) == 2
    refused(io.BytesIO(lying.replace(said, (3).to_bytes(4, "little"))), elsewhere, "no backup, or it is damaged")


def test_the_same_name_twice_is_refused(whole: io.BytesIO, elsewhere: History) -> None:
    to = io.BytesIO(whole.getvalue())
    with zipfile.ZipFile(to, "a") as archive, pytest.warns(UserWarning, match="Duplicate name"):
        archive.writestr("entry.jsonl", b"")
    refused(to, elsewhere, "holds a file twice")
