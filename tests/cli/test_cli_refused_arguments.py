"""A command line that can't be used is refused as a file is: where, what was found, what was expected, what to do."""

import pytest
from command_line import invoke

BEFORE = "wren-hollow/before"
REFUSED = [
    (("check",), "carknocker check: found no CAR",
     "a car record, or a folder with one; several, or a folder of such folders"),
    (("check", BEFORE, "--format", "docx"), "carknocker check --format: found `docx`",
     "one of `text`, `markdown`, `json`, `html`, `pdf`"),
    (("check", BEFORE, "--format"), "carknocker check: found `--format` without its value",
     "a value after it: how the answer is written"),
    (("check", BEFORE, "--table=3"), "carknocker check: found `--table` with a value", "the option alone"),
    (("check", BEFORE, "--processes", "0"), "carknocker check --processes: found `0`",
     "a whole number from 1 to 512"),
    (("check", BEFORE, "--processes", "many"), "carknocker check --processes: found `many`",
     "a whole number from 1 to 512"),
    (("figures", BEFORE, "b"), "carknocker figures: found `b`, one word too many", ""),
    (("lift", BEFORE), "carknocker lift: found no --end", "the end that is lifted"),
    (("lift", BEFORE, "--end", "C"), "carknocker lift --end: found `C`", "one of `A`, `B`"),
    (("check", BEFORE, "--as-of", "10/8/2026"), "carknocker check --as-of: found `10/8/2026`, which is no day",
     "one written like 2026-10-08"),
    (("plan", BEFORE, "--work-days", "xyz"),
     "carknocker plan --work-days: found `xyz` is no day of the week", "days such as `sat,sun` or `mon-fri`"),
    (("due", BEFORE, "--miles-a-year", "0 mi"), "carknocker due --miles-a-year: found `0 mi`",
     "more than 0, or none of this option where no miles are planned"),
    (("worksheet", BEFORE, "--form", "x.doc"), "carknocker worksheet --form: found `x.doc`",
     "FILE.html, FILE.xlsx, FILE.csv or FILE.yaml"),
    (("compare", BEFORE), "carknocker compare: found nothing to compare it with",
     "a second record, or `--as-of`, `--move`, `--edition` twice"),
    (("rules", "frob"), "carknocker rules: found `frob`, which is no command", ""),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "where", "expected"), REFUSED, ids=[" ".join(one[0]) for one in REFUSED])
def test_a_command_line_is_refused_in_the_words_of_every_refusal(arguments, where, expected):
    answer = invoke(*arguments)
    assert (answer.exit_code, answer.stdout) == (2, "")
    first, *rest = answer.stderr.splitlines()
    assert first == where
    assert [line for line in rest if line.startswith("  expected: ")] == (
        [f"  expected: {expected}"] if expected else []
    )
    assert rest[-1].startswith("  to do: `carknocker ")
    assert rest[-1].endswith((" --help` says what it takes", " --help` lists the commands"))


@pytest.mark.parametrize(("given", "meant"), [("--frmat", "--format"), ("--asof", "--as-of"), ("--part", "")])
def test_an_option_is_answered_with_the_nearest_or_with_none(given, meant):
    said = invoke("check", BEFORE, given, "x").stderr
    assert f"carknocker check: found `{given}`, which is no option of it\n" in said
    assert ("nearest right word: " in said) is bool(meant)
    assert not meant or f"  nearest right word: {meant}\n" in said


def test_hidden_characters_of_what_was_given_are_replaced():
    said = invoke("check", BEFORE, "--as-of", "do\u202ecx").stderr
    assert "found `do\ufffdcx`" in said


def test_a_group_without_a_command_shows_its_help():
    answer = invoke("rules")
    assert "\n  show " in answer.stderr + answer.stdout
