"""The README shows what the program really says, and its commands are those that exist."""

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from carknocker.cli.main import app

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
GOLDEN = (ROOT / "tests" / "cases" / "golden" / "wren-hollow-before.txt").read_text(encoding="utf-8")


def test_the_picture_is_what_the_demo_case_says():
    picture = README.split("```text\n")[1].split("```")[0]
    pieces = [piece.strip() for piece in picture.split("…\n") if piece.strip()]
    assert len(pieces) == 2
    for piece in pieces:
        assert piece in GOLDEN


@pytest.mark.parametrize("command", re.findall(r"`carknocker (\w+)(?: |`)", README))
def test_every_command_that_the_readme_names_is_there(command):
    answer = CliRunner().invoke(app, [command, "--help"])
    assert answer.exit_code == 0


def test_the_links_of_the_readme_lead_somewhere():
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).exists(), target
