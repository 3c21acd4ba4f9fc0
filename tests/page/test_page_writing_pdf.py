"""Where no PDF can be made, that is said in plain words, with what to do; nothing is written."""

from __future__ import annotations

import builtins
import sys

import pytest
from typer.testing import CliRunner

from carknocker.cli.main import app
from carknocker.page.pdf import NoPdf, pdf_of

ARGUMENTS = ["rules", "list", "--format", "pdf"]


def broken(monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    """Makes the import of the library fail, as it does where it or what it needs is missing."""
    real = builtins.__import__

    def refusing(name, *arguments, **more):
        if name == "weasyprint":
            print("the library's own lines")
            raise error
        return real(name, *arguments, **more)

    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(builtins, "__import__", refusing)


def test_a_missing_extra_is_named(monkeypatch, capsys):
    broken(monkeypatch, ImportError("No module named 'weasyprint'"))
    with pytest.raises(NoPdf, match=r"pip install 'carknocker\[pdf\]'"):
        pdf_of("<p>x</p>")
    assert capsys.readouterr().out == ""


def test_a_missing_library_of_the_system_is_named(monkeypatch, capsys):
    broken(monkeypatch, OSError("cannot load library 'libpango-1.0-0': no such file\nand more"))
    with pytest.raises(NoPdf, match=r"libpango-1\.0-0': no such file\); on Debian: `apt-get install libpango"):
        pdf_of("<p>x</p>")
    assert capsys.readouterr().out == ""


def test_the_command_ends_with_2_and_writes_nothing(monkeypatch, tmp_path):
    broken(monkeypatch, ImportError("No module named 'weasyprint'"))
    answer = CliRunner().invoke(app, [*ARGUMENTS, "--output", str(tmp_path / "page.pdf")])
    assert answer.exit_code == 2
    assert "carknocker[pdf]" in answer.output
    assert "Traceback" not in answer.output
    assert list(tmp_path.iterdir()) == []
