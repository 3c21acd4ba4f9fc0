"""Each demo case: the outcome and the refusals that its author expects, and the whole page, letter by letter."""

import pytest
from case_list import answer, expected, golden, names
from pages import appendix, markdown, text

from carknocker.judgement.restrictions import restriction_words
from carknocker.wording.refusals import against_words


def refusals(judgement):
    found = []
    for refusal in judgement.refusals:
        if refusal.finding is not None:
            found.append(f"{refusal.finding.criterion.id} @ {refusal.finding.part.label}")
        elif refusal.duty is not None:
            found.append(f"{refusal.duty.consequence.id} @ {refusal.duty.part.label}")
        else:
            found.append(against_words(refusal.against))
    return sorted(found)


@pytest.mark.parametrize("name", names())
def test_the_outcome_is_the_one_expected(name):
    judgement = answer(name).judgement
    wanted = expected(name)
    assert judgement.outcome == wanted["outcome"]
    if "refusals" in wanted:
        assert refusals(judgement) == sorted(wanted["refusals"] or [])
    if "restrictions" in wanted:
        words = [restriction_words(one.restriction) for one in judgement.restrictions]
        assert len(words) == len(wanted["restrictions"] or []), words


@pytest.mark.parametrize("name", names())
def test_the_text_page_is_the_golden_one(name):
    assert text(name) == golden(name, "txt").read_text(encoding="utf-8"), "see tests/cases/write_golden.py"


@pytest.mark.parametrize("name", names())
def test_the_markdown_page_is_the_golden_one(name):
    assert markdown(name) == golden(name, "md").read_text(encoding="utf-8"), "see tests/cases/write_golden.py"


@pytest.mark.parametrize("name", names())
def test_the_appendix_is_the_golden_one(name):
    assert appendix(name) == golden(name, "appendix.md").read_text(encoding="utf-8"), "see tests/cases/write_golden.py"


def test_there_are_the_cases_that_the_readme_tells_of():
    told = {"wren-hollow/before", "wren-hollow/after", "larkspur/freight", "larkspur/passenger", "nothing-measured"}
    assert told <= set(names())
