"""The service as a process of its own: started, asked, told to stop, killed."""

import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest

from carknocker.service.running import PortRefused, _listening

WITHIN_SECONDS = 60.0


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as one:
        return int(one.getsockname()[1])


@contextmanager
def serving(data: Path, *more: str) -> Iterator[tuple[subprocess.Popen[str], httpx.Client]]:
    """The process, and a client that asks it."""
    port = free_port()
    program = "from carknocker.cli.start import command; command()"
    command = [sys.executable, "-c", program, "serve", "--data", str(data), "--port", str(port), *more]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as process:
        try:
            with httpx.Client(base_url=f"http://localhost:{port}", timeout=WITHIN_SECONDS, trust_env=False) as client:
                wait_until(lambda: answers(client))
                yield process, client
        finally:
            with_its_children = processes_of(process.pid)
            for one in {process.pid, *with_its_children}:
                if runs(one):
                    os.kill(one, signal.SIGKILL)


def wait_until(holds) -> None:  # type: ignore[no-untyped-def]
    until = time.monotonic() + WITHIN_SECONDS
    while not holds():
        assert time.monotonic() < until
        time.sleep(0.05)


def answers(client: httpx.Client) -> bool:
    try:
        return client.get("/healthz").text == "ok\n"
    except httpx.TransportError:
        return False


def processes_of(session: int) -> set[int]:
    """Every process that the service started: all are of its session."""
    found = set()
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            fields = (folder / "stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[3]) == session and fields[0] != "Z":
            found.add(int(folder.name))
    return found


def runs(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_what_is_under_way_is_answered_new_is_refused_and_no_process_stays(
    tmp_path: Path, record: str, move: str
) -> None:
    with serving(tmp_path, "--processes", "2") as (process, client):
        made = client.post("/api/cars", json={"record": record, "move": move}).json()["id"]
        workers = processes_of(process.pid) - {process.pid}
        assert len(workers) >= 2
        with ThreadPoolExecutor(1) as asker:
            asked = asker.submit(client.get, f"/cars/{made}/check?format=pdf")
            time.sleep(0.1)
            os.kill(process.pid, signal.SIGTERM)
            time.sleep(0.2)
            with pytest.raises(httpx.ConnectError):
                httpx.get(f"{client.base_url}/healthz", trust_env=False)
            answer = asked.result()
        assert answer.status_code == 200
        assert answer.content.startswith(b"%PDF")
        said, complained = process.communicate(timeout=WITHIN_SECONDS)
    assert process.returncode == 0
    assert "Traceback" not in complained
    lines = [json.loads(line) for line in said.splitlines()]
    assert [lines[0]["what"], lines[-1]["what"]] == ["started", "stopped"]
    assert ("/cars/{car}/{question}", 200) in {(one.get("route"), one.get("status")) for one in lines}
    wait_until(lambda: not any(map(runs, workers)))


def test_an_interrupt_that_goes_to_all_its_processes_stops_it_quietly(tmp_path: Path) -> None:
    with serving(tmp_path) as (process, _):
        os.killpg(process.pid, signal.SIGINT)
        _, complained = process.communicate(timeout=WITHIN_SECONDS)
    assert process.returncode == 0
    assert complained.splitlines()[1:] == [], complained


def test_the_workers_end_with_a_service_that_was_killed(tmp_path: Path) -> None:
    with serving(tmp_path) as (process, _):
        workers = processes_of(process.pid) - {process.pid}
        assert workers
        process.kill()
        process.wait()
        wait_until(lambda: not any(map(runs, workers)))


def test_a_port_that_is_taken_is_said() -> None:
    with (
        socket.create_server(("127.0.0.1", 0)) as one,
        pytest.raises(PortRefused, match=r"can't be used: address already in use; name another with --port"),
    ):
        _listening("127.0.0.1", one.getsockname()[1])


def test_that_it_answers_is_said_once_port_and_folder_are_had(
    tmp_path: Path,
) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        taken = str(other.getsockname()[1])
        for folder, port in ((tmp_path / "data", taken), (Path("/dev/null/x"), str(free_port()))):
            program = "from carknocker.cli.start import command; command()"
            asked = [sys.executable, "-c", program, "serve", "--data", str(folder), "--port", port]
            done = subprocess.run(asked, capture_output=True, text=True, check=False)
            assert done.returncode == 2, done.stderr
            assert "answers on" not in done.stderr
    with serving(tmp_path / "data") as (service, _):
        service.terminate()
        assert "answers on http://localhost:" in service.communicate()[1]


def test_small_answers_are_sent_at_once(tmp_path: Path) -> None:
    """Without that a second answer on one connection takes 40 ms, since each side waits for the other."""
    with serving(tmp_path) as (_, client):
        client.get("/style.css")
        took = []
        for _ in range(20):
            began = time.perf_counter()
            assert client.get("/").status_code == 200
            took.append(time.perf_counter() - began)
    assert min(took) < 0.03


def test_a_set_up_token_is_told_once_and_is_in_no_line_of_the_log(tmp_path: Path) -> None:
    with serving(tmp_path, "--public-name", "https://cars.example.org") as (process, client):
        assert client.get("/log-in").status_code == 403
        by_proxy = {"Host": "cars.example.org", "X-Forwarded-Proto": "https", "X-Forwarded-For": "192.0.2.7"}
        assert client.get("/log-in", headers=by_proxy).status_code == 200
        os.kill(process.pid, signal.SIGTERM)
        logged, told = process.communicate(timeout=WITHIN_SECONDS)
    found = re.findall(r"Set-up token, .* within 24 hours: ([\w-]{43})", told)
    assert len(found) == 1
    assert found[0] not in logged
    assert "/log-in" in logged


def test_what_it_keeps_and_a_backup_of_it_are_for_its_user_alone(tmp_path: Path) -> None:
    data, file = tmp_path / "cars", tmp_path / "cars.zip"
    with serving(data):
        program = "from carknocker.cli.start import command; command()"
        made = subprocess.run(
            [sys.executable, "-c", program, "backup", "--data", str(data), str(file)], capture_output=True, text=True
        )
        assert made.returncode == 0, made.stderr
        kept = [data, file, *data.rglob("*")]
        assert len(kept) > 2
        assert [one.name for one in kept if one.stat().st_mode & 0o077] == []
