"""A dossier worked out again: identical, or what differs and whose digest changed; what is no dossier is refused."""

import json
from datetime import date
from functools import lru_cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.cli.inputs import Place, cases_folder, read_both
from carknocker.documents import InputRefused
from carknocker.dossier.json_form import json_of
from carknocker.judgement.answer import check
from carknocker.page.text import text_of
from carknocker.questions.verify import dossier_reader
from carknocker.questions.verify.ask import verify
from carknocker.questions.verify.dossier_reader import read_dossiers
from carknocker.questions.verify.page import verify_page
from carknocker.rulebook import load_library, rulesets_folders

AS_OF = date(2026, 10, 8)


def written(name, day=AS_OF):
    base = cases_folder()
    car, move = read_both(Place(base / name, base), None)
    return json_of([check(car, move, load_library(rulesets_folders()), day)])


@pytest.fixture(scope="module")
def before():
    return written("wren-hollow/before")


@lru_cache(maxsize=2)  # nearly every test reads the same dossier a second time
def read(text):
    (found,) = read_dossiers(text.encode(), "dossier.json")
    return found


def changed(text, *path, to):
    """The dossier with one value changed; a callable changes what is there."""
    form = json.loads(text)
    place = form
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = to(place[path[-1]]) if callable(to) else to
    return read(json.dumps(form))


def test_the_same_is_identical(before):
    found = verify(read(before), read(written("wren-hollow/before")))
    assert found.identical
    assert (found.digests, found.findings, found.also) == ((), (), ())
    assert "IDENTICAL" in text_of(verify_page(read(before), found))


def test_how_the_json_is_laid_out_does_not_matter(before):
    assert verify(read(json.dumps(json.loads(before))), read(before)).identical


@pytest.mark.parametrize(
    ("path", "name"),
    [
        (("digests", "car"), "the car record"),
        (("digests", "move"), "the move"),
        (("digests", "editions", "us-federal 2020"), "edition us-federal 2020"),
        (("digests", "rulebook"), "all rules together"),
    ],
)
def test_a_changed_digest_is_told_by_name_and_is_a_difference(before, path, name):
    found = verify(changed(before, *path, to="0" * 64), read(before))
    assert not found.identical
    assert [change.name for change in found.digests] == [name]
    assert found.findings == ()
    assert name in text_of(verify_page(read(before), found))


@pytest.mark.parametrize(
    ("version", "words"),
    [("", "was changed in the dossier after it was made."), ("0.0.9", "or the other version judged otherwise.")],
)
def test_an_altered_outcome_from_the_same_files_is_said_to_be_altered(before, version, words):
    altered = json.loads(before)
    altered["outcome"] = "ready"
    altered["made_by"]["version"] = version or altered["made_by"]["version"]
    given_then = read(json.dumps(altered))
    page = " ".join(text_of(verify_page(given_then, verify(given_then, read(before)))).split())
    assert "DIFFERS: the dossier says ready, as far as the rules at hand go; it comes out not ready." in page
    assert "every edition are those that the dossier names: what differs" in page
    assert words in page


SLIP = {"edition": "2015", "on": "2026-11-29", "what": "a slip", "rules": ["flange-thickness"]}


def with_corrections(text, corrections, digest):
    """The dossier as if the law had been corrected so before it was made."""
    form = json.loads(text)
    (law,) = (one for one in form["rulebook"]["editions"] if one["ruleset"] == "us-federal")
    law["corrections"] = corrections
    form["digests"]["editions"]["us-federal 2020"] = digest * 64
    return json.dumps(form)


@pytest.mark.parametrize("listed", [True, False])
def test_a_correction_that_the_dossier_does_not_know_is_named_with_its_rules(before, listed):
    older = json.loads(with_corrections(before, [{**SLIP, "what": "an earlier slip"}], "0"))
    if not listed:  # a dossier of a program that wrote nothing of corrections knows none
        for edition in older["rulebook"]["editions"]:
            del edition["revision"], edition["corrections"]
    now = read(with_corrections(before, [{**SLIP, "what": "an earlier slip"}, SLIP], "1"))
    then = read(json.dumps(older))
    found = verify(then, now)
    (change,) = (one for one in found.digests if one.name == "edition us-federal 2020")
    assert [one.what for one in change.corrections] == (["a slip"] if listed else ["an earlier slip", "a slip"])
    page = " ".join(text_of(verify_page(then, found)).split())
    assert "corrected since edition 2015, 2026-11-29: " in page
    assert "edition 2015, 2026-11-29: a slip (flange-thickness)" in page
    assert ("an earlier slip" in page) is not listed


def test_an_edition_that_is_not_used_any_more_is_told(before):
    given_then = changed(before, "digests", "editions", to=lambda editions: {**editions, "toy 1": "1" * 64})
    found = verify(given_then, read(before))
    assert [(change.name, change.now) for change in found.digests] == [("edition toy 1", "")]
    assert "not used" in text_of(verify_page(given_then, found))


def test_another_version_that_says_the_same_is_no_difference(before):
    found = verify(changed(before, "made_by", "version", to="0.0.9"), read(before))
    assert found.identical
    assert found.program[0] != found.program[1]
    assert "re-checked by" in text_of(verify_page(read(before), found))


def test_another_evaluator_that_says_the_same_is_no_difference(before):
    assert verify(changed(before, "made_by", "evaluator", to="plain"), read(before)).identical


def test_a_newer_program_may_write_more(before):
    form = json.loads(before)
    form["made_by"]["version"] = "0.0.9"
    del form["sheets"]
    del form["findings"][0]["settled_by"]
    assert verify(read(json.dumps(form)), read(before)).identical


def test_the_same_program_does_not_write_less(before):
    form = json.loads(before)
    del form["sheets"]
    found = verify(read(json.dumps(form)), read(before))
    assert not found.identical
    assert found.also == ("sheets",)


def test_a_forged_outcome_is_found(before):
    found = verify(changed(before, "outcome", to="ready"), read(before))
    assert not found.identical
    assert found.outcome == ("ready", "not ready")
    assert "DIFFERS: the dossier says ready, as far as the rules at hand go; it comes out not ready." in " ".join(
        text_of(verify_page(read(before), found)).split()
    )


@pytest.mark.parametrize(
    ("key", "value"),
    [("verdict", "met"), ("measured", "2 in"), ("limit", "anything"), ("margin", "9 in to spare"), ("unmet", None)],
)
def test_a_forged_finding_is_found(before, key, value):
    form = json.loads(before)
    number = next(number for number, one in enumerate(form["findings"]) if one["parts"] == ["wheel W-35 right"])
    forged = (not form["findings"][number]["unmet"]) if key == "unmet" else value
    found = verify(changed(before, "findings", number, key, to=forged), read(before))
    assert not found.identical
    assert [(one.criterion, one.label) for one in found.findings] == [("us-federal/flange-thickness", "wheel R5")]
    assert found.findings[0].then != found.findings[0].now


def test_what_differs_is_headed_by_the_fault_now_or_the_one_that_was(before):
    """`Flange thicker than 7/8 in: breached` has to be read twice."""
    form = json.loads(before)
    number = next(number for number, one in enumerate(form["findings"]) if one["parts"] == ["wheel W-35 right"])
    assert form["findings"][number]["fault"] == "flange 7/8 in or thinner; must be over 7/8 in"
    found = verify(changed(before, "findings", number, "measured", to="2 in"), read(before))
    assert "\nWheel R5: flange 7/8 in or thinner; must be over 7/8 in\n" in text_of(verify_page(read(before), found))
    gone = changed(before, "findings", to=lambda all_: all_[:number] + all_[number + 1 :])
    (cleared,) = verify(read(before), gone).findings
    assert (cleared.fault, cleared.now) == ("flange 7/8 in or thinner; must be over 7/8 in", "")
    assert cleared.title == "Flange thicker than 7/8 in"


def test_a_test_that_is_void_is_headed_by_its_own_name(before):
    form = json.loads(before)
    (number,) = (n for n, one in enumerate(form["findings"]) if one["verdict"] == "void")
    assert (
        form["findings"][number]["fault"]
        == "single-car brake test: void; service portion replaced after it, 2026-09-24"
    )


def test_a_dossier_of_a_program_that_said_no_fault_is_headed_by_the_requirement(before):
    def without(findings):
        return [{key: value for key, value in one.items() if key != "fault"} for one in findings]

    older = changed(before, "findings", to=without)
    form = json.loads(before)
    number = next(number for number, one in enumerate(form["findings"]) if one["parts"] == ["wheel W-35 right"])
    gone = changed(before, "findings", to=lambda all_: all_[:number] + all_[number + 1 :])
    assert [one.fault for one in verify(older, gone).findings] == ["Flange thicker than 7/8 in"]


def test_a_finding_left_out_or_told_twice_is_found(before):
    form = json.loads(before)
    number = next(number for number, one in enumerate(form["findings"]) if one["parts"] == ["wheel W-35 right"])
    less = verify(changed(before, "findings", to=lambda all_: all_[:number] + all_[number + 1 :]), read(before))
    assert [(one.then, one.now.split(";")[0]) for one in less.findings] == [("", "breached")]
    twice = verify(changed(before, "findings", to=lambda all_: [*all_, all_[number]]), read(before))
    assert not twice.identical
    assert "findings" in twice.also


@given(st.data())
def test_no_changed_key_passes(before, data):
    """Whatever is changed anywhere but in `made_by`, it is not identical."""
    form = json.loads(before)
    keys = sorted(set(form) - {"made_by", "format", "as_of"})
    place = form
    step = data.draw(st.sampled_from(keys))
    while isinstance(place[step], (dict, list)) and place[step]:
        place = place[step]
        step = data.draw(st.sampled_from(sorted(place) if isinstance(place, dict) else range(len(place))))
    old = place[step]
    place[step] = {True: False, False: True}.get(old, f"{old} forged") if isinstance(old, bool) else f"{old} forged"
    try:
        then = read(json.dumps(form))
    except InputRefused:
        return  # a forgery that is not even of the right shape
    assert not verify(then, read(before)).identical


@given(st.binary(max_size=200) | st.text(max_size=100).map(lambda text: text.encode()))
def test_any_bytes_are_refused_in_words(content):
    with pytest.raises(InputRefused) as refused:
        read_dossiers(content, "dossier.json")
    assert refused.value.problems[0].found


@pytest.mark.parametrize("length", [1, 50, 5_000, 100_000, -2])
def test_a_truncated_dossier_is_refused_at_its_end(before, length):
    content = before.encode()[:length]
    with pytest.raises(InputRefused) as refused:
        read_dossiers(content, "dossier.json")
    (problem,) = refused.value.problems
    assert "ends in the middle" in problem.found
    assert problem.where.line == content.count(b"\n") + 1


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("", "empty"),
        ("[1]", "no object"),
        ("{}", "without `format`"),
        ('{"format": 3}', "without `format`"),
        ('{"format": "carknocker-dosier/1"}', "carknocker-dosier/1"),
        ('{"format": "carknocker-dossier/3"}', "outcome"),
        ("[" * 100_000, "nested"),
        ('{"a": nope}', "no JSON"),
        ('{"format": "carknocker-dossiers/3", "dossiers": [3]}', "dossiers[0]"),
        ('{"format": "carknocker-dossiers/3", "dossiers": [{}]}', "dossiers[0]"),
        ("\ufeff{}", "without `format`"),
    ],
)
def test_what_is_no_dossier_is_refused_in_words(content, told):
    with pytest.raises(InputRefused) as refused:
        read_dossiers(content.encode(), "dossier.json")
    assert told in refused.value.problems[0].found


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("as_of",), "yesterday", "as_of"),
        (("as_of",), 3, "as_of"),
        (("digests", "editions"), [], "digests.editions"),
        (("findings", 3, "verdict"), None, "findings[3].verdict"),
        (("car", "file"), {}, "car.file"),
        (("made_by",), "me", "made_by"),
    ],
)
def test_a_wrong_shape_is_refused_by_its_key(before, path, value, told):
    with pytest.raises(InputRefused) as refused:
        changed(before, *path, to=value)
    assert told in refused.value.problems[0].found


def test_a_file_of_too_many_values_is_not_even_decoded(monkeypatch):
    decoded = []
    monkeypatch.setattr("msgspec.json.decode", lambda *given, **more: decoded.append(given))
    for content in (b"{}" * 5_000_000, b"[" + b"{}," * 2_000_000 + b"{}]", b'{"a": [' + b"1," * 4_000_000 + b"1]}"):
        with pytest.raises(InputRefused) as refused:
            read_dossiers(content, "dossier.json")
        assert "values" in refused.value.problems[0].found
    assert decoded == []


def test_a_dossier_of_too_many_values_or_bytes_is_not_built_up(monkeypatch):
    many = b'{"format": "carknocker-dossier/3", "findings": [' + b"{}," * 400_000 + b"{}]}"
    several = b'{"format": "carknocker-dossiers/3", "dossiers": [' + many + b"]}"
    for content, told in (
        (many, "a dossier of up to 800,005 values"),
        (several, "`dossiers[0]` of up to 800,005 values"),
    ):
        with pytest.raises(InputRefused) as refused:
            read_dossiers(content, "dossier.json")
        assert refused.value.problems[0].found == told
    long = b'{"format": "carknocker-dossier/3", "x": "' + b"x" * dossier_reader.MOST_BYTES_OF_ONE + b'"}'
    with pytest.raises(InputRefused) as refused:
        read_dossiers(long, "dossier.json")
    assert "a dossier of 20,000,0" in refused.value.problems[0].found


def test_a_large_file_of_dossiers_reads_like_a_small_one(before, monkeypatch):
    several = json.dumps({"format": "carknocker-dossiers/3", "dossiers": [json.loads(before)] * 3}).encode()
    small = read_dossiers(several, "dossier.json")
    monkeypatch.setattr(dossier_reader, "MOST_VALUES_OF_ONE", dossier_reader.most_values(before.encode()))
    assert read_dossiers(several, "dossier.json") == small
    assert [given.form() for given in small] == [json.loads(before)] * 3
    with pytest.raises(InputRefused) as refused:
        read_dossiers(several[:-40], "dossier.json")
    assert "ends in the middle" in refused.value.problems[0].found
