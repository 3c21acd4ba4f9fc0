"""A car record as a file: what is no YAML, what is too much of it, and what is no file at all."""

from pathlib import Path

import pytest
from record_samples import CAR, MOVE, changed, problem_at_mark, problems_of

from carknocker.documents import InputRefused, Problem
from carknocker.record import find_car, find_move, read_car, read_move


def refused(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(InputRefused) as caught:
        read_car(path)
    assert caught.value.problems
    return caught.value.problems


@pytest.mark.parametrize(
    ("old", "new", "found", "expected"),
    [
        ("name: Tern,", "name: «!!python/object/apply:os.system echo,", "the tag", "plain YAML without tags"),
        ("name: Tern,", "name: «!bird Tern,", "the tag `!bird`", "plain YAML without tags"),
        ("name: Tern,", "name: Tern, «name: Gull,", "`name` a second time (first on line 2)", "each key once"),
        ("name: Tern,", "«? [a, b] : Tern,", "a key that is a list", "a plain word"),
        ("name: Tern,", "«<<: {name: Tern},", "a merge key `<<`", "every value written out"),
        ("name: Tern,", "name: Tern, «well kept,", "inside braces a comma ends the value", "a value without a comma"),
        ("{role: owner}", "«[owner]", "a list of 1", "a mapping"),
        ("sheets:\n", "sheets: «{}\nmore:\n", "a mapping without keys", "a list, each entry beginning"),
    ],
)
def test_yaml_that_is_not_read(old: str, new: str, found: str, expected: str) -> None:
    text = CAR
    if "more:" in new:  # the list that stood under the key now stands under one that the record may not have
        problems = problems_of(changed(old, new.replace("«", "")))
        problem = next(one for one in problems if found in one.found)
    else:
        new_text = new if "? [" not in new else new.replace("«? [", "? «[")
        problem = problem_at_mark(old, new_text, text)
    assert found in problem.found
    assert expected in problem.expected


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "an empty document"), ("# nothing\n", "an empty document"), ("- a\n- b\n", "a list of 2"),
        ("text", "`text`"),
        ("car: {mark: x}\n", "no `format`"), ("format: carknocker-car/2\n", "`carknocker-car/2`"),
        ("format: [carknocker-car/1]\n", "a list of 1"), ("a: [1\nb: 2\n", "the YAML breaks off here"),
        ("a: 1\n---\nb: 2\n", "the YAML breaks off here"), ("a: b: c\n", "the YAML breaks off here"),
        ("a:\n\t- b\n", "the YAML breaks off here"), ("a: *none\n", "`*` to no anchor"), ("a: @b\n", "breaks off"),
        ("a: \"\\ud800\"\n", "breaks off"), ("a: \x07\n", "not YAML"), ("[" * 5000, "nesting"),
        ("a: " + "[" * 60 + "]" * 60, "nesting deeper than 40 levels"), ("&a [*a]", "an alias inside the value"),
        ("a: &a {b: *a}", "an alias inside the value"), ("x" * 4_000_001, "4,000,001 characters"),
    ],
)  # fmt: skip
def test_what_is_no_record(text: str, found: str) -> None:
    assert any(found in problem.found for problem in problems_of(text))


def test_aliases_can_not_multiply() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 9)]
    assert "aliases" in problems_of("\n".join(lines))[0].found
    many = "a: &a [x]\n" + "".join(f"b{n}: *a\n" for n in range(300))
    assert problems_of(many)[0].found == "more than 200 aliases"


def test_the_line_itself_is_shown() -> None:
    problem = problems_of(changed("name: Tern,", "name: Tern, name: Gull,"))[0]
    assert problem.line_text == CAR.splitlines()[1].replace("name: Tern,", "name: Tern, name: Gull,")


def test_files_that_can_not_be_read(tmp_path: Path) -> None:
    assert refused(tmp_path / "none.yaml")[0].found == "there is no such file"
    assert refused(tmp_path)[0].found == "this is a folder"
    (tmp_path / "latin.yaml").write_bytes(CAR.replace("Tern", "Stärling").encode("latin-1"))
    assert "is not UTF-8 text" in refused(tmp_path / "latin.yaml")[0].found
    (tmp_path / "large.yaml").write_text("#" * 4_000_001, encoding="utf-8")
    assert "4,000,001 bytes" in refused(tmp_path / "large.yaml")[0].found
    with pytest.raises(InputRefused):
        read_move(tmp_path / "none.yaml")


def test_a_byte_order_mark_and_other_line_ends(tmp_path: Path) -> None:
    (tmp_path / "car.yaml").write_bytes(b"\xef\xbb\xbf" + CAR.replace("\n", "\r\n").encode())
    assert read_car(tmp_path / "car.yaml").name == "Tern"


def test_finding_the_files_of_a_folder(tmp_path: Path) -> None:
    with pytest.raises(InputRefused, match="no car file"):
        find_car(tmp_path)
    (tmp_path / "tern.yaml").write_text(CAR.replace("format: carknocker-car/1", '"format": "carknocker-car/1"  # tern'))
    (tmp_path / "out.yml").write_text(MOVE)
    (tmp_path / "notes.yaml").write_text("format of this file: none\n")
    assert find_car(tmp_path).name == "tern.yaml"
    assert find_move(tmp_path).name == "out.yml"
    assert find_move(tmp_path / "tern.yaml").name == "out.yml"
    (tmp_path / "home.yaml").write_text(MOVE)
    with pytest.raises(InputRefused, match=r"2 move files \(home.yaml, out.yml\)"):
        find_move(tmp_path)
    (tmp_path / "car.yaml").write_text(CAR)
    assert find_car(tmp_path).name == "car.yaml"
    assert find_car(tmp_path / "x.yaml").name == "x.yaml"
