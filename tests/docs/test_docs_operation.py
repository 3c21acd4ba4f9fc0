"""The unit and the container file in docs/: read as those read them who run them, and their command lines as carknocker
reads them."""

import configparser
import json
import re
import shlex
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest
import typer

from carknocker.cli.main import app

DOCS = Path(__file__).resolve().parents[2] / "docs"
UNIT = DOCS / "carknocker.service"
CONTAINER = DOCS / "Containerfile"


def accepted(arguments: list[str]) -> dict[str, object]:
    """What the command makes of its arguments. Raises what it raises for some that it does not know."""
    whole = typer.main.get_command(app)
    context = whole.make_context("carknocker", list(arguments))
    _, command, rest = whole.resolve_command(context, [*context._protected_args, *context.args])  # type: ignore[attr-defined]
    assert command is not None
    return dict(command.make_context(arguments[0], rest, parent=context).params)


def unit() -> configparser.RawConfigParser:
    read = configparser.RawConfigParser(strict=False)
    read.optionxform = str  # type: ignore[assignment, method-assign]
    read.read_string(UNIT.read_text(encoding="utf-8"))
    return read


def test_the_command_of_the_unit_is_one_and_its_data_lie_where_alone_it_can_write() -> None:
    program, *arguments = shlex.split(unit()["Service"]["ExecStart"])
    assert program == "/opt/carknocker/bin/carknocker"
    given = accepted(arguments)
    assert (arguments[0], given["data"], given["port"]) == ("serve", Path("/var/lib/carknocker"), 8215)
    service = unit()["Service"]
    assert (service["StateDirectory"], service["ProtectSystem"], service["DynamicUser"]) == (
        "carknocker", "strict", "yes",
    )  # fmt: skip
    assert "ReadWritePaths" not in service


def test_the_unit_leaves_time_for_what_is_under_way() -> None:
    from carknocker.service.running import _STOPS_WITHIN_SECONDS

    assert unit()["Service"]["KillMode"] == "mixed"
    assert int(unit()["Service"]["TimeoutStopSec"]) > _STOPS_WITHIN_SECONDS == 35
    assert "for 35 seconds at most" in (DOCS / "operation.md").read_text(encoding="utf-8")


def test_systemd_finds_nothing_wrong_with_the_unit(tmp_path: Path) -> None:
    """Where there is no systemd, every key of the unit is at least one that it has."""
    text = UNIT.read_text(encoding="utf-8")
    if shutil.which("systemd-analyze") is None:
        assert set(re.findall(r"^([A-Z][A-Za-z]+)=", text, re.MULTILINE)) <= set(KEYS.split())
        return
    copy = tmp_path / UNIT.name
    copy.write_text(text.replace("/opt/carknocker/bin/carknocker", sys.executable), encoding="utf-8")
    done = subprocess.run(["systemd-analyze", "verify", str(copy)], capture_output=True, text=True)
    assert (done.returncode, done.stdout + done.stderr) == (0, "")


KEYS = """
    Description Documentation After ExecStart Restart RestartSec KillMode TimeoutStopSec DynamicUser StateDirectory
    StateDirectoryMode UMask ProtectSystem ProtectHome PrivateTmp PrivateDevices IPAddressDeny IPAddressAllow
    RestrictAddressFamilies NoNewPrivileges CapabilityBoundingSet AmbientCapabilities LockPersonality ProtectClock
    ProtectControlGroups ProtectHostname ProtectKernelLogs ProtectKernelModules ProtectKernelTunables ProtectProc
    RestrictNamespaces RestrictRealtime RestrictSUIDSGID SystemCallArchitectures SystemCallFilter TasksMax MemoryMax
    WantedBy
"""


def instructions() -> list[tuple[str, str]]:
    """Each instruction of the container file, with its words."""
    lines = [line for line in CONTAINER.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    whole = re.sub(r"\\\n\s*", " ", "\n".join(lines))
    return [(line.split()[0], line.partition(" ")[2]) for line in whole.splitlines() if line.strip()]


def test_the_command_of_the_container_is_one_and_no_user_of_the_machine() -> None:
    said = instructions()
    assert {name for name, _ in said} <= {
        "FROM", "RUN", "COPY", "USER", "VOLUME", "STOPSIGNAL", "HEALTHCHECK", "ENTRYPOINT", "CMD",
    }  # fmt: skip
    last = dict(said)
    assert json.loads(last["ENTRYPOINT"]) == ["/opt/carknocker/bin/carknocker"]
    given = accepted(json.loads(last["CMD"]))
    assert (given["data"], given["port"]) == (Path(json.loads(last["VOLUME"])[0]), 8215)
    assert last["USER"] == "8215:8215"
    assert last["STOPSIGNAL"] == "SIGTERM"


@pytest.fixture(params=[200, 503])
def status(request: pytest.FixtureRequest) -> Iterator[tuple[int, int]]:
    """A port at which /healthz answers with a status."""

    class Health(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(request.param if self.path == "/healthz" else 404)
            self.end_headers()

        def log_message(self, *_: object) -> None:
            return None

    with HTTPServer(("127.0.0.1", 0), Health) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield server.server_port, request.param
        server.shutdown()


def test_the_container_is_well_only_where_the_service_says_so(status: tuple[int, int]) -> None:
    port, told = status
    words = dict(instructions())["HEALTHCHECK"].partition("CMD ")[2]
    _, *arguments = json.loads(words)
    program = [sys.executable, *(one.replace(":8215/", f":{port}/") for one in arguments)]
    done = subprocess.run(program, capture_output=True, env={"no_proxy": "localhost"})
    assert (done.returncode == 0) is (told == 200)


@pytest.mark.parametrize("file", [UNIT, CONTAINER, DOCS / "operation.md"])
def test_no_secret_stands_in_what_is_copied(file: Path) -> None:
    assert not re.search(r"(?i)password=|token=|secret=|postgres(ql)?://[^/ ]*:[^/ ]*@", file.read_text("utf-8"))


LINES = [
    line
    for file in ("operation.md", "service.md", "fleet.md")
    for block in re.findall(r"```(?:sh)?\n(.*?)```", (DOCS / file).read_text("utf-8"), re.DOTALL)
    for line in block.replace("\\\n", " ").splitlines()
    if line.startswith("carknocker ")
]


@pytest.mark.parametrize("line", LINES)
def test_each_command_of_these_pages_is_one(line: str) -> None:
    _, *arguments = shlex.split(line, comments=True)
    accepted(arguments)


def test_the_commands_were_found() -> None:
    assert {line.split()[1] for line in LINES} == {"serve", "check"}
