"""`check --appendix`: a second file beside the first."""

import json

import pytest
from command_line import invoke

BEFORE = "wren-hollow/before"
OF_A_CAR = ("check", BEFORE, "--as-of", "2026-10-08")


@pytest.mark.parametrize(("form", "ending"), [("text", "txt"), ("markdown", "md"), ("html", "html"), ("json", "json")])
def test_the_appendix_is_a_second_file(tmp_path, form, ending):
    target = tmp_path / f"dossier.{ending}"
    done = invoke(*OF_A_CAR, "--format", form, "--output", target, "--appendix")
    assert done.exit_code == 1
    assert sorted(one.name for one in tmp_path.iterdir()) == [f"dossier-appendix.{ending}", f"dossier.{ending}"]
    first, second = (tmp_path / name for name in (f"dossier.{ending}", f"dossier-appendix.{ending}"))
    alone = tmp_path / "alone"
    invoke(*OF_A_CAR, "--format", form, "--output", alone)
    assert alone.read_bytes() == first.read_bytes()
    assert b"us-federal" in second.read_bytes()


def test_all_lists_what_does_not_apply(tmp_path):
    findings = []
    for more in ((), ("--all",)):
        invoke(*OF_A_CAR, "--format", "json", "--output", tmp_path / "d.json", "--appendix", *more)
        findings.append(json.loads((tmp_path / "d-appendix.json").read_text(encoding="utf-8"))["findings"])
    assert len(findings[0]) < len(findings[1])
    assert any(one["verdict"] == "not applicable" for one in findings[1])


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--appendix",), "--output FILE"),
        (("--all",), "--appendix"),
        (("--output", "x.txt", "--appendix", "--table"), "one car at a time"),
    ],
)
def test_an_appendix_without_its_place_is_refused_in_words(tmp_path, monkeypatch, more, said):
    monkeypatch.chdir(tmp_path)
    done = invoke(*OF_A_CAR, *more)
    assert done.exit_code == 2
    assert said in " ".join(done.stderr.split())
    assert list(tmp_path.iterdir()) == []


def test_two_cars_have_their_appendices_in_one_file(tmp_path):
    cars = (BEFORE, "wren-hollow/after")
    done = invoke("check", *cars, "--as-of", "2026-10-28", "--output", tmp_path / "d.txt", "--appendix")
    assert done.exit_code == 1
    assert (tmp_path / "d-appendix.txt").read_text(encoding="utf-8").count("appendix") >= 2
