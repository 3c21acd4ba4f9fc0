"""The unit for systemd and the container's image start what the program knows, as docs/operation.md says."""

from __future__ import annotations

import json
import shlex
import subprocess
from configparser import RawConfigParser
from pathlib import Path

import pytest
import typer

from carknocker.cli.main import app
from carknocker.service.running import _STOPS_WITHIN_SECONDS

DOCS = Path(__file__).resolve().parents[2] / "docs"


@pytest.fixture(scope="module")
def unit() -> RawConfigParser:
    parser = RawConfigParser(strict=True)
    parser.optionxform = str  # type: ignore[assignment, method-assign]
    parser.read(DOCS / "carknocker.service", encoding="utf-8")
    return parser


@pytest.fixture(scope="module")
def image() -> list[tuple[str, str]]:
    """Each instruction of the image that runs, with what follows it."""
    lines = (DOCS / "Containerfile").read_text(encoding="utf-8").replace("\\\n", " ").splitlines()
    said = [tuple(line.split(maxsplit=1)) for line in lines if line.strip() and not line.startswith("#")]
    last = max(number for number, (instruction, _) in enumerate(said) if instruction == "FROM")
    return said[last:]  # type: ignore[return-value]


def parsed(arguments: list[str]) -> dict[str, object]:
    """The values of a command of carknocker, as its own parser reads them."""
    whole = typer.main.get_command(app)
    context = whole.make_context("carknocker", list(arguments))
    command = whole.get_command(context, arguments[0])  # type: ignore[attr-defined]
    assert command is not None
    return dict(command.make_context(arguments[0], arguments[1:], parent=context).params)


def test_the_unit_starts_the_service_on_its_folder(unit: RawConfigParser) -> None:
    program, *arguments = shlex.split(unit["Service"]["ExecStart"])
    assert program == "/opt/carknocker/bin/carknocker"
    assert arguments[0] == "serve"
    folder = f"/var/lib/{unit['Service']['StateDirectory']}"
    assert (str(parsed(arguments)["data"]), parsed(arguments)["port"]) == (folder, 8215)


def test_the_unit_gives_it_time_to_stop_and_stops_the_first_process_alone(unit: RawConfigParser) -> None:
    assert unit["Service"]["KillMode"] == "mixed"
    assert int(unit["Service"]["TimeoutStopSec"]) > _STOPS_WITHIN_SECONDS


def test_the_unit_shuts_it_in(unit: RawConfigParser) -> None:
    shut = ("DynamicUser", "NoNewPrivileges", "PrivateTmp", "PrivateDevices", "ProtectHome", "RestrictNamespaces")
    assert {name: unit["Service"][name] for name in shut} == dict.fromkeys(shut, "yes")
    assert unit["Service"]["ProtectSystem"] == "strict"
    assert (unit["Service"]["IPAddressDeny"], unit["Service"]["IPAddressAllow"]) == ("any", "localhost")
    assert unit["Service"]["CapabilityBoundingSet"] == ""


def test_the_image_starts_the_service_on_its_volume_and_asks_it_whether_it_is_well(
    image: list[tuple[str, str]],
) -> None:
    told = dict(image)
    assert json.loads(told["ENTRYPOINT"]) == ["/opt/carknocker/bin/carknocker"]
    started = parsed(json.loads(told["CMD"]))
    (volume,) = json.loads(told["VOLUME"])
    assert (str(started["data"]), started["port"]) == (volume, 8215)
    assert told["USER"] == "8215:8215", "by number, so that a host can see that it is not root"
    assert f"http://localhost:{started['port']}/healthz" in told["HEALTHCHECK"]
    assert told["STOPSIGNAL"] == "SIGTERM"


def test_what_operation_says_of_other_arguments_is_taken() -> None:
    text = (DOCS / "operation.md").read_text(encoding="utf-8")
    (line,) = [one for one in text.splitlines() if one.startswith("carknocker serve --data /data")]
    said = parsed(shlex.split(line)[1:])
    assert (said["public_name"], said["proxy"]) == ("https://cars.example.org", ["10.88.0.1"])


@pytest.mark.long
def test_systemd_reads_every_line_of_the_unit_and_finds_it_shut_in(tmp_path: Path) -> None:
    """By Debian's `systemd-analyze`. verify wants the program to be there; security says how much is open, of 100."""
    program = tmp_path / "carknocker"
    program.write_text("#!/bin/sh\n", encoding="utf-8")
    program.chmod(0o755)
    text = (DOCS / "carknocker.service").read_text(encoding="utf-8")
    assert text.count("/opt/carknocker/bin/carknocker") == 1
    copy = tmp_path / "carknocker.service"
    copy.write_text(text.replace("/opt/carknocker/bin/carknocker", str(program)), encoding="utf-8")
    for asked in (["verify", "--man=no"], ["security", "--offline=yes", "--threshold=20"]):
        done = subprocess.run(["systemd-analyze", *asked, copy], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr
        assert done.stderr == ""
