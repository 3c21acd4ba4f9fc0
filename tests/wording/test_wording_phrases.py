"""Lists and numbers of things as phrases."""

import pytest

from carknocker.documents import listed
from carknocker.wording.phrases import counted, run_out


@pytest.mark.parametrize(
    ("number", "said"), [(0, "0 readings"), (1, "1 reading"), (2, "2 readings"), (1234, "1,234 readings")]
)
def test_one_reading_and_several(number, said):
    assert counted(number, "reading") == said


def test_a_plural_of_its_own():
    assert counted(1, "criterion", "criteria") == "1 criterion"
    assert counted(3, "criterion", "criteria") == "3 criteria"


def test_a_list():
    assert [listed(()), listed("a"), listed("ab"), listed("abc")] == ["nothing", "a", "a and b", "a, b and c"]


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (["liability insurance"], "runs out"),
        (["sheet of wheel readings"], "runs out"),
        (["log of moves and work"], "runs out"),
        (["owner's drawings"], "run out"),
        (["conditions approved for a restricted car"], "run out"),
        (["liability insurance", "release of liability"], "run out"),
    ],
)
def test_papers_run_out_and_a_paper_runs_out(names, said):
    assert run_out(names) == said
