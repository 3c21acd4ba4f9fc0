"""The service calls nobody: no process of it opens a connection, or asks for an address, whatever it is asked."""

from __future__ import annotations

import os
import re
from pathlib import Path

import httpx
import pytest
from photograph_samples import photograph
from test_service_process import serving

PUBLIC = "https://cars.example.org"
WORD = "seven green lanterns"
CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "before"
WATCH = """
import os, sys

def told(event, given):
    if event in ("socket.connect", "socket.sendto", "socket.getaddrinfo", "socket.gethostbyname"):
        local = event == "socket.connect" and isinstance(given[1], (str, bytes))  # between its own processes
        if not local:
            write(f"{event} {given[1:]}")

def write(line):
    number = os.open(os.environ["SEEN"], os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    os.write(number, f"{line}\\n".encode())
    os.close(number)

write(f"watched {os.getpid()}")
sys.addaudithook(told)
"""
"""Imported by every Python that starts with its folder on the path."""


def test_no_process_of_it_calls_anybody(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "sitecustomize.py").write_text(WATCH, encoding="utf-8")
    seen = tmp_path / "seen"
    monkeypatch.setenv("SEEN", str(seen))
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")]))
    texts = {kind: (CASE / f"{file}.yaml").read_text("utf-8") for kind, file in (("record", "car"), ("move", "move"))}
    with serving(tmp_path / "data", "--processes", "1") as (process, client):
        car = client.post("/api/cars", json=texts).json()["id"]
        for page in ("", "/check?format=pdf", "/check?format=html", "/why", "/due", "/plan", "/form", "/parts"):
            assert client.get(f"/cars/{car}{page}", follow_redirects=True).status_code == 200, page
        shot = {"of": "wheel L3", "on": "2026-10-01", "by": "HM"}
        sent = client.post(f"/api/cars/{car}/photographs", params=shot, content=photograph(500, 400))
        assert sent.status_code == 201
        assert client.get("/rules").status_code == 200
        lines = seen.read_text(encoding="utf-8").splitlines()
        watched = {int(line.split()[1]) for line in lines if line.startswith("watched")}
        assert process.pid in watched
        assert len(watched) >= 2, "the workers too"
    assert [line for line in lines if not line.startswith("watched")] == []


def test_nor_with_accounts_links_and_calendars(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "sitecustomize.py").write_text(WATCH, encoding="utf-8")
    seen = tmp_path / "seen"
    monkeypatch.setenv("SEEN", str(seen))
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")]))
    texts = {kind: (CASE / f"{file}.yaml").read_text("utf-8") for kind, file in (("record", "car"), ("move", "move"))}
    said = {"Host": "cars.example.org", "X-Forwarded-Proto": "https", "X-Forwarded-For": "192.0.2.7",
            "Origin": PUBLIC}  # fmt: skip
    with serving(tmp_path / "data", "--processes", "1", "--public-name", PUBLIC) as (process, client):
        client.headers.update(said)
        assert process.stderr is not None
        told = ""
        while not told.startswith("Set-up token"):
            told = process.stderr.readline()
        secret = told.rpartition(": ")[2].strip()

        def send(page: str, address: str, **fields: str) -> httpx.Response:
            """The form of a page; the cookie is for https, which the proxy ends."""
            shown = client.get(page)
            keep_cookie(client, shown)
            token = re.search(r'name="token" value="([0-9a-f]{64})"', shown.text)
            assert token is not None, shown.text
            done = client.post(address, data={"token": token[1], **fields})
            keep_cookie(client, done)
            return done

        assert send("/set-up", "/set-up", secret=secret, name="Ash", password=WORD).status_code == 303
        made = client.post("/api/cars", json=texts)
        assert made.status_code == 201, made.text
        car = f"/cars/{made.json()['id']}"
        dossier = send(car, f"{car}/dossiers", form="html").headers["location"].rpartition("/")[2]
        link = send(f"{car}/links", f"{car}/links", kind="inspector", about=dossier, label="the host", days="9")
        opened = re.search(rf"{PUBLIC}(/inspect/[\w-]+)", link.text)
        assert opened is not None
        assert client.get(f"{opened[1]}/dossier").status_code == 200
        diary = send(f"{car}/calendar", f"{car}/calendar", label="diary")
        dates = re.search(rf"{PUBLIC}(/calendars/[\w-]+\.ics)", diary.text)
        assert dates is not None
        assert client.get(dates[1]).text.startswith("BEGIN:VCALENDAR")
        assert send("/people", "/people/invitations", role="helper", label="Birch").status_code == 200
        lines = seen.read_text(encoding="utf-8").splitlines()
    assert len([line for line in lines if line.startswith("watched")]) >= 2
    assert [line for line in lines if not line.startswith("watched")] == []


def keep_cookie(client: httpx.Client, answer: httpx.Response) -> None:
    """Sends a cookie for https back over the connection of the proxy."""
    found = re.search(r"__Host-carknocker=([^;]+)", answer.headers.get("set-cookie", ""))
    if found is not None:
        client.headers["Cookie"] = f"__Host-carknocker={found[1]}"
