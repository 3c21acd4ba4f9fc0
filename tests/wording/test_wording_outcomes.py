"""An outcome in words: what limits a *ready* is said with it."""

from datetime import date

import pytest
from msgspec.structs import replace
from question_samples import answer, library_in

from carknocker.rulebook.model import Completeness
from carknocker.wording.outcomes import limits_sentence, not_at_hand_words, outcome_words


@pytest.fixture(scope="module")
def judgement(tmp_path_factory):
    return answer(library_in(tmp_path_factory.mktemp("rules"))).judgement


SPRINGS = Completeness("why", ("springs",))


def lacking(judgement, complete: Completeness | None = SPRINGS):
    book = judgement.rulebook
    editions = tuple(
        replace(edition, complete=complete) if edition.layer == "law" else edition for edition in book.editions
    )
    return replace(judgement, rulebook=replace(book, editions=editions))


def test_nothing_missing_nothing_said(judgement):
    assert outcome_words(judgement) == "ready"
    assert limits_sentence(judgement.rulebook) == not_at_hand_words(judgement.rulebook) == ""


def test_ready_goes_as_far_as_the_rules_at_hand(judgement):
    found = lacking(judgement)
    assert outcome_words(found) == "ready, as far as the 6 rules at hand go"
    assert outcome_words(found, "not ready") == "not ready"
    assert limits_sentence(found.rulebook) == "As far as the 6 rules at hand go; not at hand: springs."


def test_law_that_does_not_say_is_not_taken_to_be_complete(judgement):
    found = lacking(judgement, complete=None)
    assert not_at_hand_words(found.rulebook) == "not at hand: what test-law 1 leaves out, which it does not say"


def test_a_move_that_is_over_is_said_to_be(judgement):
    last = judgement.move.back
    assert outcome_words(replace(judgement, as_of=last)) == "ready"
    after = replace(judgement, as_of=date.fromordinal(last.toordinal() + 1))
    assert outcome_words(after) == f"ready, for a move that ended on {last.isoformat()}"
