"""The service calls nobody: no process of it opens a connection, or asks for an address, whatever it is asked."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from photograph_samples import photograph
from test_service_process import serving

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
