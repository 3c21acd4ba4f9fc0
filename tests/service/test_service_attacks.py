"""What a stranger may send to a service that runs: odd content types, numbers and days past every bound, names in odd
letters, pictures that unpack to much, archives with links, a spreadsheet with entities, the ids of another car. Each is
refused in words; nothing is written, and no answer is an error of the server."""

from __future__ import annotations

import io
import re
import struct
import time
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from PIL import Image
from test_service_process import answers, processes_of, serving, wait_until

CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "before"
LONGEST_SECONDS = 20


@dataclass
class Running:
    client: httpx.Client
    process: int
    car: str
    other: str
    token: str

    def look_alike(self) -> tuple[str, ...]:
        """The history of both cars, by digests."""
        return tuple(
            one["digest"]
            for car in (self.car, self.other)
            for one in self.client.get(f"/api/cars/{car}/history").json()["versions"]
        )


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    texts = {kind: (CASE / f"{file}.yaml").read_text("utf-8") for kind, file in (("record", "car"), ("move", "move"))}
    with serving(tmp_path_factory.mktemp("data"), "--processes", "1") as (process, client):
        car, other = (client.post("/api/cars", json=texts).json()["id"] for _ in range(2))
        found = re.search(r'name="token" value="([0-9a-f]{64})"', client.get(f"/cars/{car}").text)
        assert found is not None
        client.post(f"/cars/{other}/dossiers", data={"token": found[1], "form": "html"})
        yield Running(client, process.pid, car, other, found[1])


@pytest.fixture
def attacked(running: Running) -> Iterator[Running]:
    before = running.look_alike()
    began = time.monotonic()
    yield running
    assert time.monotonic() - began < LONGEST_SECONDS
    assert running.look_alike() == before, "nothing was written"
    assert answers(running.client)


TYPES = [
    "text/plain", "application/xml", "multipart/form-data", "multipart/form-data; boundary=",
    f"multipart/form-data; boundary={'x' * 5_000}", "application/x-www-form-urlencoded; charset=utf-16",
    "application/json; charset=utf-7", "application/json;;;;=", "",
]  # fmt: skip


@pytest.mark.parametrize("content_type", TYPES)
def test_odd_content_types(attacked: Running, content_type: str) -> None:
    sent = [("/new", f"token={attacked.token}&record=x"), ("/api/cars", '{"record": "x", "move": "y"}'),
            (f"/cars/{attacked.car}/forms", "--x--"), (f"/cars/{attacked.car}/photographs", "--x--")]  # fmt: skip
    for address, body in sent:
        answer = attacked.client.post(address, content=body.encode(), headers={"Content-Type": content_type})
        assert answer.status_code in (400, 403, 422), address
        is_page = answer.headers["content-type"].startswith("text/html")
        assert is_page is not address.startswith("/api/"), answer.text


def in_parts(running: Running, *parts: bytes) -> httpx.Response:
    own = b'Content-Disposition: form-data; name="token"\r\n\r\n' + running.token.encode()
    body = b"".join(b"--b\r\n" + part + b"\r\n" for part in (own, *parts)) + b"--b--\r\n"
    kind = {"Content-Type": "multipart/form-data; boundary=b"}
    return running.client.post(f"/cars/{running.car}/forms", content=body, headers=kind)


FILE = b'Content-Disposition: form-data; name="form"; filename'


@pytest.mark.parametrize(
    "parts",
    [
        [b'Content-Disposition: form-data; name="a"\r\n\r\n'] * 300_000,
        [FILE + b'="a.yaml"\r\n\r\nx'] * 5_000,
        [FILE + b'="a.yaml"\r\nX: ' + b"y" * 2_000_000 + b"\r\n\r\nx"],
        [FILE + b'="\xe2\x80\xae\x00lmth.\xff.yaml"\r\n\r\nx: 1'],
        [FILE + b"*=utf-8''%2e%2e%2fevil%00.yaml\r\n\r\nx: 1"],
        [FILE + b'="a.yaml"\r\nContent-Transfer-Encoding: base64\r\n\r\neDogMQ=='],
        [b'Content-Disposition: form-data; name="token"\r\n\r\nx', FILE + b'="a.yaml"\r\n\r\nx: 1'],
        [FILE + b'="../../../etc/passwd"\r\n\r\nx: 1'],
    ],
)
def test_odd_parts_and_names_of_files(attacked: Running, parts: list[bytes]) -> None:
    answer = in_parts(attacked, *parts)
    assert answer.status_code in (400, 403, 422)
    assert "\u202e" not in answer.text
    assert "\0" not in answer.text


FAR = "99999999999999999999"


@pytest.mark.parametrize(
    ("method", "address"),
    [("GET", "/cars/{car}/compare/" + FAR + "/1"), ("GET", "/cars/{car}/compare/-1/1"),
     ("POST", "/cars/{car}/links/" + FAR + "/end"), ("POST", "/cars/{car}/calendar/" + FAR + "/end"),
     ("GET", "/cars/{car}/sent/" + FAR), ("GET", "/cars/{car}/history/" + FAR + "/blank"),
     ("POST", "/cars/{car}/history/2147483648/blank"), ("GET", "/cars/{car}/form/" + FAR + "/1/2026-10-08"),
     ("GET", "/cars/{car}/form/1/1/9999-12-31"), ("GET", "/cars/{car}/form/1/1/0001-01-01"),
     ("GET", "/cars/{car}/check?as_of=0001-01-01"), ("GET", "/cars/{car}/due?as_of=9999-12-31"),
     ("GET", "/cars/{car}/plan?as_of=9999-12-31"), ("GET", "/api/cars/{car}/answers/due?as_of=9999-12-31"),
     ("GET", "/api/cars/{car}/answers/check?version=" + FAR), ("GET", "/api/cars/{car}/history?before=" + FAR),
     ("POST", "/api/cars/{car}/dossiers?as_of=0001-01-01"), ("GET", "/api/audit?before=" + FAR)],
)  # fmt: skip
def test_numbers_and_days_past_every_bound(attacked: Running, method: str, address: str) -> None:
    data = {"token": attacked.token, "why": "x"} if method == "POST" else None
    answer = attacked.client.request(method, address.replace("{car}", attacked.car), data=data)
    assert answer.status_code in (400, 404), answer.text


@pytest.mark.parametrize("day", ["1800-01-01", "2200-12-31"])
@pytest.mark.parametrize("question", ["check", "due", "plan"])
def test_the_first_and_the_last_day_are_answered(attacked: Running, question: str, day: str) -> None:
    assert attacked.client.get(f"/cars/{attacked.car}/{question}?as_of={day}").status_code == 200


def png(width: int, height: int) -> bytes:
    """A picture that says to be of a size, and packs 20 MB into 20 kB."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        said = kind + body
        return struct.pack(">I", len(body)) + said + struct.pack(">I", zlib.crc32(said))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(bytes(20_000_000))) + chunk(b"IEND", b"")


def picture(kind: str) -> bytes:
    to = io.BytesIO()
    Image.new("RGB", (64, 48)).save(to, kind)
    return to.getvalue()


PICTURES = {
    "many pixels": png(30_000, 30_000), "more": png(2**31 - 1, 2**31 - 1), "gif": picture("GIF"),
    "tiff": picture("TIFF"), "svg": b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "postscript": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\n(x) run", "page": b"<script>",
    "cut short": picture("JPEG")[:300], "nothing": b"",
}  # fmt: skip


@pytest.mark.parametrize("kind", PICTURES)
def test_a_picture_that_is_none_or_unpacks_to_much(attacked: Running, kind: str) -> None:
    asked = {"of": "wheel L3", "on": "2026-10-01", "by": "HM"}
    answer = attacked.client.post(f"/api/cars/{attacked.car}/photographs", params=asked, content=PICTURES[kind])
    assert answer.status_code == 422, answer.text


ENTITIES = b'<?xml version="1.0"?><!DOCTYPE r [<!ENTITY a SYSTEM "file:///etc/passwd"><!ENTITY l0 "lol">' + b"".join(
    b'<!ENTITY l%d "%s">' % (number + 1, b"&l%d;" % number * 10) for number in range(9)
) + b"]>"  # fmt: skip


def with_entities(_name: str, part: bytes) -> bytes:
    whole = part.partition(b"?>")[2] if part.startswith(b"<?xml") else part
    return ENTITIES + whole.replace(b"<t>", b"<t>&a;&l9;", 3)


def with_a_far_cell(name: str, part: bytes) -> bytes:
    return part.replace(b'r="A1"', b'r="XFD1048576"', 1) if "sheet" in name else part


def rewritten(source: bytes, change: object) -> bytes:
    to = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(source)) as before, zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as after:
        for name in before.namelist():
            after.writestr(name, change(name, before.read(name)) if ".xml" in name else before.read(name))  # type: ignore[operator]
    return to.getvalue()


def links() -> bytes:
    to = io.BytesIO()
    with zipfile.ZipFile(to, "w") as archive:
        for name in ("xl/workbook.xml", "[Content_Types].xml"):
            member = zipfile.ZipInfo(name)
            member.external_attr = 0o120777 << 16
            archive.writestr(member, "/etc/passwd")
    return to.getvalue()


def test_a_spreadsheet_with_links_entities_or_a_cell_far_away(attacked: Running) -> None:
    blank = attacked.client.get(f"/cars/{attacked.car}/worksheet.xlsx").content
    for sent in (links(), rewritten(blank, with_entities), rewritten(blank, with_a_far_cell)):
        answer = attacked.client.post(f"/api/cars/{attacked.car}/forms?name=w.xlsx", content=sent)
        assert answer.status_code == 422, answer.text
        assert "root:" not in answer.text
        assert "lollol" not in answer.text


LONE = "%ed%a0%80"
"""Half a letter: no text at all."""


def test_half_letters_and_letters_that_turn_a_line_around(attacked: Running) -> None:
    car, kind = attacked.car, {"Content-Type": "application/x-www-form-urlencoded"}
    for address, fields in (("/new", f"answer.mark={LONE}"), (f"/cars/{car}/links", f"kind=shop&about=x&label={LONE}"),
                            (f"/cars/{car}/part/readings", f"part={LONE}&by={LONE}")):  # fmt: skip
        body = f"token={attacked.token}&{fields}"
        assert attacked.client.post(address, content=body, headers=kind).status_code in (400, 404, 422), address
    for text in ('"\\ud800"', '"\\u202e"', '"\\u0000"'):
        body = f'{{"record": {text}, "move": {text}}}'
        sent = attacked.client.post("/api/cars", content=body, headers={"Content-Type": "application/json"})
        assert sent.status_code in (400, 422)
        assert not {"\u202e", "\0"} & set(sent.text)
    assert attacked.client.get(f"/cars/{car}/reasons?part={LONE}").status_code == 404


def test_the_ids_of_another_car_in_a_form(attacked: Running) -> None:
    """Also of the place in which rulesets are kept, which is no car."""
    theirs = attacked.client.get(f"/api/cars/{attacked.other}/history").json()["versions"][0]
    forms = [
        (f"/cars/{attacked.car}/history/{theirs['id']}/blank", {"why": "x"}),
        (f"/cars/{attacked.other}/history/{theirs['id']}/blank", {"why": "x", "also": "1"}),
        (f"/cars/{attacked.car}/links", {"kind": "inspector", "about": theirs["digest"]}),
        (f"/cars/{attacked.car}/sent/{theirs['id']}", {"decision": "accept"}),
        ("/cars/rulesets/links", {"kind": "shop", "about": "brakes", "label": "Kim"}),
        ("/cars/rulesets/dossiers", {"form": "html"}),
        ("/cars/rulesets/calendar", {"label": "x"}),
    ]
    for address, fields in forms:
        answer = attacked.client.post(address, data={"token": attacked.token, **fields})
        assert answer.status_code == 404, address


def test_workers_are_as_many_as_before(running: Running) -> None:
    """Stands last: whatever was stopped was replaced, and nothing was left running."""
    wait_until(lambda: len(processes_of(running.process)) <= 3)
    assert running.client.get(f"/cars/{running.car}/check").status_code == 200
